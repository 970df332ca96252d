"""`asfound explain`, `--version`, and that neither they nor the arguments load what only a check needs."""

from __future__ import annotations

import csv
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

import asfound
from asfound.cli.explain import known_rules
from asfound.problems import Entry

from .support import apart, run


def test_every_rule_is_listed_once_with_level_and_title(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    done = run(capsys, monkeypatch, tmp_path, "explain")
    assert (done.code, done.err) == (0, "")
    lines = done.out.splitlines()
    assert [line.split()[0] for line in lines] == sorted(entry.name for entry in known_rules())
    for line, entry in zip(lines, known_rules(), strict=True):
        assert line.endswith(f"{entry.level:<12}  {entry.title}")


@pytest.mark.parametrize("entry", list(known_rules()), ids=lambda entry: entry.name)
def test_a_rule_says_what_why_on_whose_authority_and_how_to_mend_it(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path, entry: Entry
) -> None:
    done = run(capsys, monkeypatch, tmp_path, "explain", entry.name)
    assert (done.code, done.err) == (0, "")
    said = " ".join(done.out.split())
    for part in (entry.name, entry.title, entry.reason, f"{entry.source} ({entry.status})", entry.mend):
        assert " ".join(part.split()) in said
    assert ("Shown at work, and in nothing that is handed over." in said) == entry.private
    assert ("Nothing lifts it." in said) == (entry.level == "reject" and not entry.liftable)
    assert max(len(line) for line in done.out.splitlines()) <= 120


OWN = """\
protocol: foot-suction
title: Suction unit worked by foot
device_kinds: [foot-suction, hand-suction]
"""


def test_a_protocol_is_printed_as_its_file_stands(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Ours as the package holds it, an organisation's as it wrote it, under whatever name its file has."""
    (tmp_path / ".asfound/protocols").mkdir(parents=True)
    (tmp_path / ".asfound/protocols/by-foot.yml").write_text(f"# Ours alone.\n{OWN}", "utf-8")
    home = Path(asfound.__file__).parent / "limits/protocols"
    for name, text in (
        ("fluid-warmer", (home / "fluid-warmer.yml").read_text("utf-8")),
        ("foot-suction", f"# Ours alone.\n{OWN}"),
    ):
        done = run(capsys, monkeypatch, tmp_path, "explain", "--protocol", name)
        assert (done.code, done.out, done.err) == (0, text, "")
    listed = run(capsys, monkeypatch, tmp_path, "explain", "--protocol", "list").out.splitlines()
    assert [line.split()[0] for line in listed] == sorted({one.stem for one in home.glob("*.yml")} | {"foot-suction"})
    assert any(line.endswith("Suction unit worked by foot: foot-suction, hand-suction") for line in listed)
    near = run(capsys, monkeypatch, tmp_path, "explain", "--protocol", "fluid-warmers")
    assert near.code == 2 and 'Did you mean "fluid-warmer"?' in near.err
    far = run(capsys, monkeypatch, tmp_path, "explain", "--protocol", "zzzz")
    assert far.code == 2 and "foot-suction" in far.err
    two = run(capsys, monkeypatch, tmp_path, "explain", "--protocol", "list", "--starter", "list")
    assert two.code == 2 and "not two of them" in two.err


def test_a_second_protocol_of_a_name_is_not_the_one_that_is_printed(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The check refuses it, and goes by the program's."""
    (tmp_path / ".asfound/protocols").mkdir(parents=True)
    (tmp_path / ".asfound/protocols/a.yml").write_text(OWN.replace("foot-suction", "generic", 1), "utf-8")
    done = run(capsys, monkeypatch, tmp_path, "explain", "--protocol", "generic")
    assert done.out.startswith("protocol: generic\n") and "by foot" not in done.out


def test_the_version_is_that_of_the_package(tmp_path: Path) -> None:
    done = apart(tmp_path, "--version")
    assert (done.code, done.out, done.err) == (0, f"asfound {version('asfound')}\n", "")


@pytest.mark.parametrize("arguments", [(), ("--version",), ("--help",)], ids=["import", "version", "help"])
def test_the_command_line_loads_nothing_it_does_not_need(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    heavy = (
        "pydantic",
        "scipy",
        "yaml",
        "mkdocs",
        "plotly",
        "numpy",
        "PIL",
        "jinja2",
        "rich",
        "holidays",
        "markdown_it",
    )
    call = f"sys.argv = ['asfound', *{arguments!r}]\ntry: main()\nexcept SystemExit: pass\n" if arguments else ""
    script = (
        f"import sys\nfrom asfound.cli import main\n{call}"
        f"print('LOADED', *[name for name in {heavy!r} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=tmp_path, capture_output=True, encoding="utf-8", check=True
    )
    assert done.stdout.splitlines()[-1] == "LOADED"


@pytest.fixture
def bare(tmp_path: Path) -> Path:
    """A pump with its set, received and not looked at; no plan names a protocol yet."""
    folder = tmp_path / "cases/bare"
    folder.mkdir(parents=True)
    (tmp_path / ".asfound").mkdir()
    (folder / "case.yml").write_text(
        "case: bare\ntitle: A bag emptied early\nstage: open\ndevice_kind: volumetric-pump\nharmed: none\nevent:\n"
        "  {kind: too much, told_at: 2026-05-04 06:30 +02:00, time_source: the clock, where: a ward, account: Empty.}\n"
    )
    (folder / "items.yml").write_text(
        "I-1: {what: Pump, role: main device, in_use_at_event: yes, impounded: yes}\n"
        "I-2: {what: Set, role: consumable, in_use_at_event: yes, impounded: yes}\n"
        "I-3: {what: Bag, role: consumable, in_use_at_event: yes, impounded: no, why_not_impounded: thrown away}\n"
    )
    return folder


def test_what_is_still_to_be_looked_at_is_printed_as_rows_that_answer_the_rule_once_filled(bare: Path) -> None:
    table = bare / "inspection.csv"
    table.touch()  # as `>>` does before the command runs
    done = apart(bare.parents[1], "explain", "--checklist", "bare")
    assert done.code == 0 and "found, nothing seen, or could not look" in done.err
    head, *rows = csv.reader(done.out.splitlines())
    assert head == ["row", "item", "check", "place", "seen", "what", "evidence", "relevance", "why", "at", "by"]
    assert [row[0] for row in rows] == [str(number) for number in range(1, len(rows) + 1)]
    asked = {(row[1], row[2]): row[3] for row in rows}
    assert asked["I-2", "flow-stop"] == "Flow stop of the set and its roller clamp: open, closed, in its holder"
    assert ("I-1", "door-and-latch") in asked and ("I-1", "outside") in asked
    assert not any(ref == "I-3" for ref, _ in asked), "what nobody has cannot be looked at"
    # Half of them are answered: the rest is printed, without a head, and goes on counting.
    said = ["nothing seen", "", "", "not relevant", "", "2026-05-05 09:12 +02:00", ""]
    half = len(rows) // 2
    answers = [",".join([*row[:3], "all", *said]) + "\n" for row in rows[:half]]
    table.write_text("".join([",".join(head) + "\n", *answers]))
    again = list(csv.reader(apart(bare.parents[1], "explain", "--checklist", "bare").out.splitlines()))
    assert again[0][0] == str(half + 1) and {row[2] for row in again} <= {row[2] for row in rows}
    with table.open("a") as file:
        file.writelines(",".join([*row[:3], "all", *said]) + "\n" for row in again)
    done = apart(bare.parents[1], "explain", "--checklist", "bare")
    assert (done.code, done.out) == (0, "") and "Every line of the checklist is answered" in done.err
    # The rule says the same, once a plan names the protocol.
    (bare / "plan.yml").write_text(
        "written_at: 2026-05-05 10:00 +02:00\nwritten_by: examiner\nprotocols: [infusion-volumetric]\n"
        "limit_sets: [common-practice-infusion]\ndecision_rule: guard band\n"
        "tests: {volume-left: {item: I-1, why: What is left.}}\n"
    )
    assert "inspection-unanswered" not in apart(bare.parents[1], "check", "bare", "--on", "2026-05-06").out
    table.write_text("".join(line for line in table.read_text().splitlines(True) if not line.startswith("1,")))
    assert "inspection-unanswered" in apart(bare.parents[1], "check", "bare", "--on", "2026-05-06").out


def test_a_row_is_taken_out_where_the_command_says_that_it_may_be_and_not_elsewhere(bare: Path) -> None:
    with (bare / "items.yml").open("a") as file:
        file.write("I-4: {what: Clip, role: consumable, in_use_at_event: yes, impounded: yes}\n")
    table, home = bare / "inspection.csv", bare.parents[1]
    done = apart(home, "explain", "--checklist", "bare")
    assert "taken out where another such thing answers its line" in " ".join(done.err.split())
    head, *rows = csv.reader(done.out.splitlines())
    said = ["all", "nothing seen", "", "", "not relevant", "", "2026-05-05 09:12 +02:00", ""]

    def still_asked(*out: tuple[str, str]) -> set[tuple[str, str]]:
        kept = [[*row[:3], *said] for row in rows if (row[1], row[2]) not in out]
        table.write_text("".join(",".join(row) + "\n" for row in (head, *kept)))
        return {(row[1], row[2]) for row in csv.reader(apart(home, "explain", "--checklist", "bare").out.splitlines())}

    assert {("I-2", "flow-stop"), ("I-4", "flow-stop")} <= {(row[1], row[2]) for row in rows}
    assert still_asked(("I-4", "flow-stop")) == set()
    both = ("I-2", "flow-stop"), ("I-4", "flow-stop")
    assert still_asked(*both) == set(both), "where no other answers it, it is asked"
    assert still_asked(("I-1", "outside")) == {("I-1", "outside")}, "the device answers every line itself"


def looked_at(home: Path) -> tuple[set[tuple[str, str]], str]:
    done = apart(home, "explain", "--checklist", "bare")
    assert done.code == 0
    return {(row[1], row[2]) for row in csv.reader(done.out.splitlines())}, done.err


def test_a_pump_without_mains_is_not_asked_for_its_cord_and_plug_and_the_command_says_so(bare: Path) -> None:
    """As its tests of earth and leakage are not planned for it either."""
    mains = {("I-1", "power-cord"), ("I-1", "plug-and-inlet")}
    items = bare / "items.yml"
    plain = items.read_text()
    asked, said = looked_at(bare.parents[1])
    assert mains <= asked and "Not asked" not in said
    own = plain.replace("impounded: yes}", "impounded: yes, characteristics: {class: Internally powered}}", 1)
    items.write_text(own)
    left, said = looked_at(bare.parents[1])
    assert asked - left == mains and left < asked, "nothing else goes: fuses and labels are there without mains too"
    assert (
        "Not asked of I-1, since items.yml says class Internally powered of it: power-cord, plug-and-inlet. A cord or "
        "a charger that was used with it is an item of its own." in " ".join(said.split())
    )
    # A charger that came with it is a thing with a cord of its own.
    items.write_text(own + "I-4: {what: Charger, role: power cord, in_use_at_event: yes, impounded: yes}\n")
    assert looked_at(bare.parents[1])[0] - left == {("I-4", "power-cord"), ("I-4", "plug-and-inlet")}
    # What is typed in another word leaves nothing out.
    items.write_text(own.replace("Internally powered", "battery"))
    assert looked_at(bare.parents[1])[0] == asked


def test_what_is_built_in_is_looked_at_where_it_is(bare: Path) -> None:
    items = bare / "items.yml"
    items.write_text(
        "I-1: {what: Panel, role: main device, in_use_at_event: yes, impounded: no, why_not_impounded: built in}\n"
    )
    case = bare / "case.yml"
    case.write_text(case.read_text().replace("volumetric-pump", "isolated-power-panel"))
    done = apart(bare.parents[1], "explain", "--checklist", "bare")
    assert '1,I-1,panel,"Panel and monitor: display' in done.out
    # The rule asks for it once something is measured on it, and not of a thing that nobody has.
    assert "inspection-unanswered" not in apart(bare.parents[1], "check", "bare", "--on", "2026-05-06").out
    (bare / "plan.yml").write_text(
        "written_at: 2026-05-05 10:00 +02:00\nwritten_by: examiner\nprotocols: [isolated-power]\n"
        "limit_sets: [nfpa-99-2012-wiring]\ndecision_rule: guard band\n"
        "tests: {monitor-record: {item: I-1, why: What it holds.}}\n"
    )
    assert "no inspection of I-1 is on record" in apart(bare.parents[1], "check", "bare", "--on", "2026-05-06").out


def test_rows_of_an_inspection_that_cannot_be_read_are_not_taken_for_missing(bare: Path) -> None:
    (bare / "inspection.csv").write_text("row,item,check,place,seen,what\n1,I-1,outside,all,perhaps,\n")
    done = apart(bare.parents[1], "explain", "--checklist", "bare")
    assert (done.code, done.out) == (1, "") and "asfound check says why" in done.err
    case = bare / "case.yml"
    (bare / "inspection.csv").unlink()
    # Printed once, not filled in, and asked for again: one line a person can read.
    laid = apart(bare.parents[1], "explain", "--checklist", "bare").out
    (bare / "inspection.csv").write_text(laid)
    more = laid.count("\n") - 1 - 6
    assert more > 0
    done = apart(bare.parents[1], "explain", "--checklist", "bare")
    assert done.code == 1 and done.err.strip() == (
        f"V-1, V-2, V-3, V-4, V-5, V-6 and {more} more cannot be read as they stand; asfound check says why."
    )
    (bare / "inspection.csv").unlink()
    # Nor is a thing that cannot be read left out without a word.
    items = bare / "items.yml"
    whole = items.read_text()
    items.write_text(whole.replace("impounded: yes}", "impounded: yes, colour: grey}", 1))
    done = apart(bare.parents[1], "explain", "--checklist", "bare")
    assert (done.code, done.out) == (1, "") and "I-1 cannot be read as it stands; asfound check" in done.err
    items.write_text(whole)
    case.write_text(case.read_text().replace("device_kind: volumetric-pump\n", ""))
    assert apart(bare.parents[1], "explain", "--checklist", "bare").code == 2
