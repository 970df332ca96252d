"""`asfound gate` and `asfound log`: what is written, byte for byte, and that no rule keeps anybody from writing it."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest

from asfound import desk
from asfound.desk import Refused, open_desk, plan_gate, when, write_one
from asfound.model.work import GateKind
from tests.rules.support import BASE
from tests.unit.cli.support import Done, apart, repository, run

ON = ("--on", "2026-03-20")
AT = ("--at", "2026-03-10 11:00 -05:00")


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """The base case in a folder with an accent and a space in its name."""
    shutil.copytree(BASE, tmp_path / "Prüf stand")
    (tmp_path / "Prüf stand/cases/base").rename(tmp_path / "Prüf stand/cases/Fall 1 é")
    return tmp_path / "Prüf stand"


def file(home: Path, name: str) -> Path:
    return home / "cases/Fall 1 é" / name


def gate(home: Path, *arguments: str) -> Done:
    return apart(home, "gate", "base", *arguments, *ON)


def log(home: Path, *arguments: str) -> Done:
    return apart(home, "log", "base", *arguments, *ON)


RETURN = (
    "I-4", "--kind", "transfer", "--from", "store", "--to", "risk-manager", "--from-place", "examiner's store",
    "--to-place", "risk office", "--purpose", "return", "--seal-before", "2003", "--seal-after", "2003",
    "--condition", "seal whole", "--signed-out", "examiner", "--signed-in", "risk-manager",
)  # fmt: skip


def test_a_gate_is_one_record_more_and_is_shown(home: Path) -> None:
    before = file(home, "gates.yml").read_bytes()
    done = gate(home, "weighed", "--by", "examiner", "--note", "Once more, after a talk: it stands.", *AT)
    added = (
        b"  G-14:\n    gate: weighed\n    at: 2026-03-10 11:00 -05:00\n    by: examiner\n"
        b'    note: "Once more, after a talk: it stands."\n'
    )
    assert file(home, "gates.yml").read_bytes() == before + added
    assert done.code == 0 and done.out.splitlines()[0] == "cases/Fall 1 é/gates.yml:21 G-14"
    assert done.out.splitlines()[1:] == [f"    {line}" for line in added.decode().splitlines()]


def test_a_line_of_custody_is_one_row_more_and_nothing_is_said_of_a_sound_one(home: Path) -> None:
    before = file(home, "custody.csv").read_bytes()
    done = log(home, *RETURN, *AT, "--note", 'his words: "as new"')
    added = (
        "8,I-4,transfer,2026-03-10 11:00 -05:00,2026-03-10 11:00 -05:00,store,risk-manager,"
        "examiner's store,risk office,"
        'return,2003,2003,seal whole,examiner,risk-manager,,"his words: ""as new"""'
    )
    assert file(home, "custody.csv").read_bytes() == before + added.encode() + b"\n"
    assert done.code == 0 and done.out == f"cases/Fall 1 é/custody.csv:9 C-8\n    {added}\n"
    assert "The check has nothing to say of C-8 itself." in done.err


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_byte_order_mark_line_ends_comments_and_an_open_last_line_are_kept(home: Path, mark: bytes) -> None:
    for name in ("gates.yml", "custody.csv"):
        data = file(home, name).read_bytes().replace(b"\n", b"\r\n")
        if name == "gates.yml":
            data = b"# kept by hand\r\n" + data.replace(b"  G-3:", b"  # before the third\r\n  G-3:")
        file(home, name).write_bytes(mark + data.removesuffix(b"\r\n"))
    gates, custody = file(home, "gates.yml").read_bytes(), file(home, "custody.csv").read_bytes()
    assert gate(home, "weighed", "--by", "examiner", *AT).code == log(home, *RETURN, *AT).code == 0
    new = b"\r\n  G-14:\r\n    gate: weighed\r\n    at: 2026-03-10 11:00 -05:00\r\n    by: examiner"
    assert file(home, "gates.yml").read_bytes() == gates + new
    rest = file(home, "custody.csv").read_bytes().removeprefix(custody)
    assert rest.startswith(b"\r\n8,I-4,transfer,") and not rest.endswith(b"\n") and rest.count(b"\n") == 1


def test_what_a_rule_refuses_is_written_down_and_flagged(home: Path) -> None:
    """A gate before the inspection, of a thing nobody tagged, by somebody nobody listed."""
    more = ("--by", "porter", "--outcome", "yes", "--at", "2026-03-05 08:00 -06:00")
    done = gate(home, "Safe_to connect", "I-1", "I-9", *more)
    assert done.code == 0
    assert b"at: 2026-03-05 08:00 -06:00\n    by: porter\n" in file(home, "gates.yml").read_bytes()
    for rule in ("impossible-time", "citation-leads-nowhere", "role-not-listed"):
        assert f" reject {rule} — " in done.err
    assert "The check says of G-14; it is written down all the same:" in done.err
    line = log(home, "I-1", "--from", "examiner", "--to", "risk-manager", *AT)
    assert (
        line.code == 0 and " reject custody-line-unsigned — " in line.err and " reject custody-overlap — " in line.err
    )
    # What follows from it in other files is told apart.
    assert "With it, the check now says elsewhere:\ncases/Fall 1 é/conclusion.yml:" in line.err


def test_without_a_time_it_is_the_machines_and_the_record_says_so(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    here = dt.timezone(dt.timedelta(hours=-3, minutes=-30))
    monkeypatch.setattr("asfound.cli.entering.now", lambda: dt.datetime(2026, 3, 10, 9, 5, 7, 123456, here))
    run(capsys, monkeypatch, home, "gate", "base", "weighed", "--by", "examiner", "--note", "Twice", *ON)
    told = f"Twice. {desk.one_record.MACHINE}"
    text = file(home, "gates.yml").read_text("utf-8")
    assert text.endswith(f"    at: 2026-03-10 09:05:07 -03:30\n    by: examiner\n    note: {told}\n")
    run(capsys, monkeypatch, home, "log", "base", *RETURN, *ON)
    cells = file(home, "custody.csv").read_text("utf-8").splitlines()[-1].split(",")
    assert cells[3] == cells[4] == "2026-03-10 09:05:07 -03:30" and cells[-1] == desk.one_record.MACHINE


def test_one_end_that_was_timed_leaves_the_other_open(home: Path) -> None:
    done = log(
        home, "I-4", "--from", "store", "--to", "examiner", "--received-at", "2026-03-10 11:00 -05:00", "--signed"
    )
    cells = file(home, "custody.csv").read_text("utf-8").splitlines()[-1].split(",")
    assert cells[3:5] == ["", "2026-03-10 11:00 -05:00"] and cells[13:15] == ["", "examiner"] and cells[-1] == ""
    assert done.code == 0 and "custody-line-unsigned" in done.err


def test_files_that_are_not_there_yet_are_begun(tmp_path: Path) -> None:
    at = repository(tmp_path)
    assert apart(at, "gate", "small-case", "made safe", "--by", "ward-nurse", *AT).code == 0
    assert (at / "cases/small-case/gates.yml").read_bytes() == (
        b"gates:\n  G-1:\n    gate: made safe\n    at: 2026-03-10 11:00 -05:00\n    by: ward-nurse\n"
    )
    assert apart(at, "log", "small-case", "I-1", "--kind", "collected", "--to", "custodian", *AT).code == 0
    lines = (at / "cases/small-case/custody.csv").read_text("utf-8").splitlines()
    assert lines[0].startswith("line,items,kind,") and lines[1].startswith("1,I-1,collected,") and len(lines) == 2
    again = apart(at, "gate", "small-case", "impounded", "I-1", "--by", "custodian", *AT)
    assert again.out.startswith("cases/small-case/gates.yml:6 G-2\n")


def test_an_id_that_stands_in_a_broken_record_is_not_given_again(home: Path) -> None:
    gates = file(home, "gates.yml")
    gates.write_bytes(gates.read_bytes() + b"  G-30: {gate: nonsense}\n")
    assert gate(home, "weighed", "--by", "examiner", *AT).out.startswith("cases/Fall 1 é/gates.yml:22 G-31\n")
    custody = file(home, "custody.csv")
    custody.write_bytes(custody.read_bytes() + b"40,I-4,nonsense,,,,,,,,,,,,,,\n")
    assert "\n    41,I-4,transfer," in log(home, *RETURN, *AT).out


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (("gate", "base", "inspektion", "--by", "examiner"), "there is no gate"),
        (("gate", "base", "nonsense", "--by", "examiner"), 'there is no gate "nonsense". The gates are: made safe, '),
        (("gate", "base", "inspectd", "--by", "examiner"), 'did you mean "inspected"?'),
        (("gate", "base", "inspected"), "--by"),
        (("gate", "base", "inspected", "i-1", "--by", "examiner"), "ITEM holds"),
        (("gate", "base", "inspected", "--by", "The Examiner"), "--by holds"),
        (("gate", "nowhere", "inspected", "--by", "examiner"), "no case"),
        (("log", "base", "--to", "examiner"), "at least one ITEM"),
        (("log", "base", "I-1", "--to", "The Store"), "--to holds"),
        (("log", "base", "I-1", "--signed", "--signed-in", "examiner"), "give it alone"),
        (("log", "base", "I-1", *AT, *("--received-at", "2026-03-10 11:00 -05:00")), "give it alone"),
    ],
)
def test_wrong_usage_is_told_apart(home: Path, arguments: tuple[str, ...], why: str) -> None:
    before = {name: file(home, name).read_bytes() for name in ("gates.yml", "custody.csv")}
    done = apart(home, *arguments)
    assert done.code == 2 and why in done.err and done.out == ""
    assert before == {name: file(home, name).read_bytes() for name in before}


@pytest.mark.parametrize(
    ("name", "content", "arguments", "why"),
    [
        ("gates.yml", None, ("gate", "base", "weighed", "--by", "examiner", "--at", "2026-03-10 11:00"), "offset"),
        ("gates.yml", b"gates: {}\n", ("gate", "base", "weighed", "--by", "examiner", *AT), "in braces"),
        ("gates.yml", b"gates: [\n", ("gate", "base", "weighed", "--by", "examiner", *AT), "gates.yml:"),
        ("custody.csv", b"line;items;kind\n", ("log", "base", *RETURN, *AT), "csv-delimiter"),
        ("custody.csv", b"line,items,kind,released_by,received_by\n", ("log", "base", *RETURN, *AT), "no column"),
        ("custody.csv", None, ("log", "base", *RETURN, *AT, "--note", "=1+1"), "csv-formula"),
    ],
)
def test_what_could_not_be_read_again_is_not_written(
    home: Path, name: str, content: bytes | None, arguments: tuple[str, ...], why: str
) -> None:
    if content is not None:
        file(home, name).write_bytes(content)
    before = file(home, name).read_bytes()
    done = apart(home, *arguments)
    assert done.code == 1 and done.err.startswith("Nothing was written:") and why in done.err and done.out == ""
    assert "Traceback" not in done.err and file(home, name).read_bytes() == before


def test_a_file_that_changed_meanwhile_is_not_written_over(home: Path) -> None:
    at = open_desk(home, file(home, "."))
    made = plan_gate(at, GateKind.WEIGHED, (), when("2026-03-10 11:00 -05:00", dt.datetime.now()), "examiner")
    file(home, "gates.yml").write_bytes(b"gates:\n")
    with pytest.raises(Refused, match="changed by somebody else"):
        write_one(at, made)
    assert file(home, "gates.yml").read_bytes() == b"gates:\n"


@pytest.mark.parametrize("name", ["gate", "log"])
def test_help_has_an_example(home: Path, name: str) -> None:
    done = apart(home, name, "--help")
    assert done.code == 0 and f"\n  asfound {name} return-pad-lesion " in done.out
