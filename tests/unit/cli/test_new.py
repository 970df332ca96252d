"""`asfound new`: a case in its first hour, by options and by questions; the check must take what it writes."""

from __future__ import annotations

import os
import re
import select
import shlex
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from asfound.cli.cmd_new import EVENTS, HARMED, OUTCOMES
from asfound.intake import read_bench, read_case
from asfound.model.event import EventKind, OutcomeClass
from asfound.model.event import Harmed as HarmedWord
from tests.unit.cli.support import Done, command, run

WHOLE = (
    "--safe-at", "2026-05-04 10:30 +02:00", "--safe-by", "ward-nurse", "--safe-how", "left on its battery",
    "--in-use", "Syringe pump", "--in-use", "consumable: Syringe", "--in-use", "power cord: Mains cord",
    "--not-impounded", "Syringe: thrown away before anybody came", "--collected-by", "custodian",
    "--collected-at", "2026-05-04 11:10 +02:00", "--asked-by", "risk-manager", "--asked-at", "2026-05-04 11:00 +02:00",
    "--asked-how", "by telephone", "--jurisdiction", "United States", "--outcome", "not yet known",
    "--aware-at", "2026-05-04 10:25 +02:00", "--device", "syringe-pump", "--event", "too much", "--harmed", "patient",
    "--told-at", "2026-05-04 10:20 +02:00", "--time-source", "the wall clock", "--where", "a bed place on a ward",
    "--account", "The syringe was found empty: hours too early.", "--title", "A syringe emptied early",
)  # fmt: skip
FOLDER = "cases/2026-05-04-syringe-pump"

Call = Callable[..., Done]


@pytest.fixture
def call(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Call:
    (tmp_path / ".asfound").mkdir()
    return lambda *arguments: run(capsys, monkeypatch, tmp_path, *arguments)


def without(name: str, *more: str) -> tuple[str, ...]:
    """All options but one, and others in its place."""
    at = WHOLE.index(name)
    return (*WHOLE[:at], *WHOLE[at + 2 :], *more)


def files(root: Path) -> dict[str, str]:
    return {
        path.relative_to(root).as_posix(): path.read_text("utf-8")
        for path in sorted((root / "cases").rglob("*"))
        if path.is_file()
    }


def test_what_it_writes_is_an_open_case_that_the_check_takes(tmp_path: Path, call: Call) -> None:
    done = call("new", *WHOLE)
    assert done.code == 0, done.err
    assert set(files(tmp_path)) == {f"{FOLDER}/{name}" for name in ("case.yml", "gates.yml", "items.yml")}
    checked = call("check", FOLDER, "--on", "2026-05-05")
    assert checked.code == 0 and re.search(r"syringe-pump: open, \d+ things still needed", checked.out)
    assert " reject " not in checked.out and " warn " not in checked.out and "custody-gap" in checked.out
    reading = read_case(tmp_path, tmp_path / FOLDER, read_bench(tmp_path))
    case = reading.case
    assert case is not None and reading.problems == ()
    assert case.head.event.account == "The syringe was found empty: hours too early."
    assert [(ref, one.role, one.impounded) for ref, one in case.items.items()] == [
        ("I-1", "main device", True), ("I-2", "consumable", False), ("I-3", "power cord", True),
    ]  # fmt: skip
    assert case.items["I-2"].why_not_impounded == "thrown away before anybody came"
    assert case.items["I-1"].collected_by == "custodian" and case.items["I-2"].collected_by is None
    assert [(one.gate, one.by) for one in case.gates.gates.values()] == [("made safe", "ward-nurse")]
    assert set(case.head.people) == {"risk-manager", "ward-nurse", "custodian"}
    assert case.head.asked is not None and case.head.asked.how == "by telephone"


def test_each_file_is_commented_and_leads_an_editor_to_its_schema(tmp_path: Path, call: Call) -> None:
    done = call("new", *WHOLE)
    made = files(tmp_path)
    for path, text in made.items():
        name = path.rpartition("/")[2].removesuffix(".yml")
        lines = text.splitlines()
        assert lines[0] == f"# yaml-language-server: $schema=../../.asfound/schemas/{name}.schema.json"
        assert sum(line.startswith("#") for line in lines) > 1
    told = [line.partition(" ") for line in done.out.splitlines()]
    assert [(at, text) for at, _, text in told] == [
        (f"{path}:{number}", line)
        for name in ("items", "gates", "case")
        for path in (f"{FOLDER}/{name}.yml",)
        for number, line in enumerate(made[path].splitlines(), 1)
    ]


def test_the_same_answers_give_the_same_bytes_and_nothing_is_written_over(tmp_path: Path, call: Call) -> None:
    call("new", *WHOLE)
    before = files(tmp_path)
    again = call("new", *WHOLE)
    assert again.code == 1 and f"{FOLDER} is there already" in again.err and files(tmp_path) == before
    (tmp_path / "cases/2026-05-04-syringe-pump").rename(tmp_path / "cases/elsewhere")
    other = call("new", *WHOLE)
    assert other.code == 1 and "stands in cases/elsewhere" in other.err
    assert call("new", *WHOLE, "--id", "another").code == 0
    made = files(tmp_path)
    assert made["cases/another/items.yml"] == made["cases/elsewhere/items.yml"]


def test_what_is_not_known_is_not_written(tmp_path: Path, call: Call) -> None:
    least = ("--not-safe", "--in-use", "Bed", "--device", "powered-bde", "--event", "mechanical", "--harmed", "staff")
    rest = WHOLE[WHOLE.index("--told-at") :]
    kind = call("new", *least, *rest)
    assert kind.code == 2 and '--device "powered-bde" is a kind no protocol knows; there is ' in " ".join(
        kind.err.split()
    )
    known = re.search(r"there is (.*)", " ".join(kind.err.split()))
    assert known is not None and "syringe-pump" in known[1] and "any-device has the tests for all" in known[1]
    done = call("new", *least[:4], "syringe-pump", *least[5:], *rest)
    assert done.code == 0 and "see that the device is out of use" in done.err
    made = files(tmp_path)
    assert not any(path.endswith("gates.yml") for path in made)
    assert "asked:" not in made[f"{FOLDER}/case.yml"] and "people:" not in made[f"{FOLDER}/case.yml"]
    assert call("check", FOLDER).code == 0


def test_every_wrong_answer_is_told_in_one_run(tmp_path: Path, call: Call) -> None:
    done = call("new")
    said = " ".join(done.err.split())
    assert done.code == 2 and "a case is opened with: --safe-at with --safe-by and --safe-how, or --not-safe" in said
    assert "--in-use, --device, --event, --harmed, --told-at, --time-source, --where, --account, --title" in said
    wrong = call(
        "new", *without("--told-at", "--told-at", "noon"), "--not-safe", "--not-impounded", "Line: gone",
        "--not-impounded", "Mains cord", "--examiner", "Dr X", "--id", "A b",
    )  # fmt: skip
    said = " ".join(wrong.err.split())
    for one in (
        '--told-at "noon" is no time with its offset from UTC', "--safe-at and --not-safe contradict each other",
        '--not-impounded "Mains cord" lacks its reason', '--not-impounded "line" names nothing that was in use',
        '--examiner "Dr X" is no role', '--id "A b" is no identity',
    ):  # fmt: skip
        assert one in said
    assert call("new", *without("--asked-how")).code == 2
    assert call("new", *without("--safe-by")).code == 2
    bad = call("new", *without("--account", "--account", "A bell \x07 rang"))
    assert bad.code == 1 and "event cannot be written: the text holds a character that no file" in bad.err
    assert not (tmp_path / "cases").exists()


def test_the_words_of_the_options_are_those_of_the_records() -> None:
    assert tuple(EventKind) == EVENTS and tuple(HarmedWord) == HARMED and tuple(OutcomeClass) == OUTCOMES


@pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are the other systems' own")
def test_on_a_terminal_it_asks_what_cannot_wait_first(tmp_path: Path) -> None:
    (tmp_path / ".asfound").mkdir()
    answers = (
        "y", "noon", "2026-05-04 10:30 +02:00", "ward-nurse", "left on its battery",
        "Syringe pump", "y", "consumable: Syringe", "n", "thrown away", "", "custodian", "2026-05-04 11:10 +02:00",
        "risk-manager", "2026-05-04 11:00 +02:00", "by telephone", "not yet known", "2026-05-04 10:25 +02:00",
        "United States", "syringe-pump", "too much", "patient", "2026-05-04 10:20 +02:00", "the wall clock",
        "a bed place on a ward", "The syringe was found empty.", "A syringe emptied early", "",
    )  # fmt: skip
    code, screen = on_a_terminal(tmp_path, answers, "new")
    assert code == 0, screen
    order = ("Is it out of use", "What was in use", "Is it impounded", "asked for the examination", "What is due",
             "Kind of the device", "Its identity")  # fmt: skip
    at = [screen.index(question) for question in order]
    assert at == sorted(at) and '"noon" is no time with its offset' in screen
    made = files(tmp_path)
    assert set(made) == {f"{FOLDER}/{name}" for name in ("case.yml", "gates.yml", "items.yml")}
    assert "why_not_impounded: thrown away" in made[f"{FOLDER}/items.yml"]


@pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are the other systems' own")
def test_no_answer_costs_those_before_it(tmp_path: Path) -> None:
    """What cannot be taken is told where it is typed and asked again; the identity, the last one, besides."""
    (tmp_path / "cases/taken").mkdir(parents=True)
    (tmp_path / "cases/taken/notes.txt").write_text("Somebody's.\n")
    (tmp_path / ".asfound").mkdir()
    answers = (
        "", "Ventilator", "breathing circuit", "", "y", "", "", "", "", "not yet known", "", "", "ventilator",
        "no therapy", "none", "2026-05-04 10:20 +02:00", "the wall clock", "a ward", "It stopped.",
        "A ventilator that stopped", "Ventilator 7", "taken", "ventilator-7",
    )  # fmt: skip
    code, screen = on_a_terminal(tmp_path, answers, "new")
    assert code == 0, screen
    for said in (
        '"breathing circuit" is neither yes nor no; y or n is needed.', "nothing was typed; y or n is needed.",
        '"Ventilator 7" is no identity; small letters, digits and hyphens, 40 at most, are needed.',
        "cases/taken is there already; another identity is needed.",
        "see that the device is out of use and that nobody tries it again",
    ):  # fmt: skip
        assert said in screen
    made = {f"cases/ventilator-7/{name}" for name in ("case.yml", "items.yml")}
    assert set(files(tmp_path)) == {"cases/taken/notes.txt", *made}


@pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are the other systems' own")
def test_a_name_with_a_colon_keeps_its_reason_and_no_two_things_share_one(tmp_path: Path) -> None:
    (tmp_path / ".asfound").mkdir()
    answers = (
        "", "Patient lift", "y", "charger: Wall charger", "n", "screwed to the wall: in use for other lifts",
        "accessory: Sling", "y", "Sling", "Sling, blue", "n", "gone to the laundry", "", "", "", "", "not yet known",
        "", "", "patient-lift", "mechanical", "patient", "2026-05-04 10:20 +02:00", "the wall clock", "a ward",
        "A loop came off.", "A loop that came off", "loop",
    )  # fmt: skip
    code, screen = on_a_terminal(tmp_path, answers, "new")
    assert code == 0, screen
    assert '"charger" is no role, and stays part of the name.' in screen
    assert '"Sling" stands in the list already; a name that no other thing has is needed' in screen
    items = files(tmp_path)["cases/loop/items.yml"]
    assert 'why_not_impounded: "screwed to the wall: in use for other lifts"' in items, items
    assert items.count("impounded: no") == 2 and items.count("impounded: yes") == 2


def test_a_reason_for_one_of_two_things_of_one_name_is_refused(call: Call) -> None:
    """Else the first would bear what was told of the second, and the second would count as impounded."""
    done = call("new", *WHOLE, "--in-use", "Syringe")
    assert done.code == 2 and '--not-impounded "syringe" names 2 things; a name that no other' in " ".join(
        done.err.split()
    )


@pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are the other systems' own")
def test_questions_that_were_broken_off_are_taken_up_by_the_command_that_is_printed(tmp_path: Path) -> None:
    (tmp_path / ".asfound").mkdir()
    first = ("y", "2026-05-04 10:30 +02:00", "ward-nurse", "left on its battery",
             "Syringe pump", "y", "Nurse's line", "n", "thrown away", "", "custodian", "\x04")  # fmt: skip
    code, screen = on_a_terminal(tmp_path, first, "new")
    assert code == 130 and "Nothing was written." in screen and not (tmp_path / "cases").exists()
    line = next(line for line in screen.splitlines() if line.strip().startswith("asfound new "))
    rest = ("2026-05-04 11:10 +02:00", "", "not yet known", "", "", "syringe-pump", "too much", "patient",
            "2026-05-04 10:20 +02:00", "the wall clock", "a bed place on a ward", "The syringe was found empty.",
            "A syringe emptied early", "")  # fmt: skip
    code, screen = on_a_terminal(tmp_path, rest, *shlex.split(line)[1:])
    assert code == 0 and "Is it out of use" not in screen and "Device:" not in screen, screen
    made = files(tmp_path)
    assert "collected_by: custodian" in made[f"{FOLDER}/items.yml"] and "safe" in made[f"{FOLDER}/gates.yml"]
    assert "what: Nurse's line" in made[f"{FOLDER}/items.yml"]


def test_files_that_a_run_left_without_case_yml_are_taken_up_and_other_lines_are_not(
    tmp_path: Path, call: Call
) -> None:
    call("new", *WHOLE)
    whole = files(tmp_path)
    for lost in (("case.yml",), ("case.yml", "gates.yml"), ("case.yml", "gates.yml", "items.yml")):
        for name in lost:
            (tmp_path / FOLDER / name).unlink()
        assert call("new", *WHOLE).code == 0 and files(tmp_path) == whole
    (tmp_path / FOLDER / "case.yml").unlink()
    items = tmp_path / FOLDER / "items.yml"
    items.write_text(items.read_text("utf-8") + "# seen twice\n", "utf-8")
    done = call("new", *WHOLE)
    assert done.code == 1 and f"{FOLDER}/items.yml is there without a case.yml, and holds other lines" in done.err
    assert not (tmp_path / FOLDER / "case.yml").exists() and items.read_text("utf-8").endswith("# seen twice\n")


def on_a_terminal(at: Path, answers: tuple[str, ...], *arguments: str) -> tuple[int, str]:
    """Run a command on a pseudo-terminal and type an answer whenever it waits for one."""
    ours, theirs = os.openpty()
    process = subprocess.Popen(command(*arguments), cwd=at, stdin=theirs, stdout=theirs, stderr=theirs, close_fds=True)
    os.close(theirs)
    screen, waiting = b"", list(answers)
    while True:
        ready, _, _ = select.select([ours], [], [], 60)
        if not ready:
            process.kill()
            raise AssertionError(f"it waits for nothing known: {screen.decode()}")
        try:
            new = os.read(ours, 4096)
        except OSError:
            break
        if not new:
            break
        screen += new
        # A question ends with a colon and a space, and nothing after it.
        if screen.endswith(b": ") and waiting:
            os.write(ours, waiting.pop(0).encode() + b"\n")
    os.close(ours)
    return process.wait(60), screen.decode("utf-8", "replace")
