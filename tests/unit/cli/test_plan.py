"""`asfound plan`: from protocol and device to plan and sheets; nothing typed is touched. Contents: common practice."""

from __future__ import annotations

import csv
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from asfound.intake import read_bench, read_case, read_yaml
from tests.unit.cli.support import Done, run

CASES = Path(__file__).parents[3] / "cases"
CASE = """\
case: bench-1
title: A lesion under a pad
stage: open
device_kind: high-frequency-surgical-generator
examiner: examiner
event:
  kind: skin lesion
  told_at: 2026-05-04 10:20 +02:00
  time_source: the wall clock
  where: theatre 4
  account: A lesion was seen.
harmed: patient
people:
  examiner: {title: Examiner}
"""
BEGIN = ("--limits", "nfpa-99-2012", "--rule", "guard band", "--at", "2026-05-04 11:20 +02:00")

TAKEN = (
    "  instrument: M-1\n  function: touch current\n  by: examiner\n"
    "  from: 2026-05-04 12:00 +02:00\n  to: 2026-05-04 12:10 +02:00\n"
)

Call = Callable[..., Done]


@pytest.fixture
def home(tmp_path: Path) -> Path:
    folder = tmp_path / "cases" / "bench"
    folder.mkdir(parents=True)
    (folder / "case.yml").write_text(CASE, encoding="utf-8")
    for name in ("items.yml", "scene.yml"):
        shutil.copy(CASES / "return-pad-lesion" / name, folder / name)
    return tmp_path


@pytest.fixture
def call(home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Call:
    return lambda *arguments: run(capsys, monkeypatch, home, "plan", "bench-1", *arguments)


def read(home: Path, name: str) -> str:
    return (home / "cases/bench" / name).read_text(encoding="utf-8")


def every(home: Path) -> dict[str, bytes]:
    folder = home / "cases/bench"
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def add(home: Path, name: str, old: str, new: str) -> None:
    text = read(home, name)
    assert text.count(old) == 1, (name, old)
    (home / "cases/bench" / name).write_bytes(text.replace(old, new).encode())


def touch(home: Path, old: str, new: str) -> None:
    """Change something below touch-current in the plan."""
    before, name, after = read(home, "plan.yml").partition("\n  touch-current:\n")
    assert name and old in after
    (home / "cases/bench/plan.yml").write_bytes(f"{before}{name}{after.replace(old, new, 1)}".encode())


def test_a_plan_is_begun_with_what_is_on_record_of_the_device(home: Path, call: Call) -> None:
    done = call(*BEGIN)
    assert done.code == 0, done.err
    assert "pad-thermal" in done.err and "left out, since they change or destroy" in done.err
    assert "output-power: no value is on record for port" in done.err
    reading = read_case(home, home / "cases/bench", read_bench(home))
    plan = reading.case.plan if reading.case else None
    assert plan is not None and reading.case is not None
    power = plan.tests["output-power"]
    # Modes and settings are those at which the maker states values; words are the protocol's; the class is the item's.
    assert power.coverage["mode"] == ("cut", "high-current coagulation")
    assert power.coverage["setting"] == ("20 W", "45 W", "90 W", "120 W")
    assert power.coverage["activation"] == ("hand switch", "foot switch", "automatic")
    assert "applied_part" not in plan.tests["applied-part-leakage"].coverage
    assert plan.tests["touch-current"].as_used == {"power": "on"}
    assert not any(test.separates or test.expected for test in plan.tests.values())
    assert set(reading.case.prepared) == {f"S-{name}" for name in plan.tests} and not reading.case.sheets
    assert reading.case.reading == {} and len(reading.case.waiting) > 50
    assert [one for one in reading.problems if one.level == "reject"] == []


def test_each_line_that_was_written_is_printed_with_its_place(home: Path, call: Call) -> None:
    done = call(*BEGIN)
    told: dict[str, list[str]] = {}
    for line in done.out.splitlines():
        path, number, text = line.split(" ", 1)[0].rpartition(":")[0], line.split(" ", 1)[0].rpartition(":")[2], ""
        text = line.partition(" ")[2]
        file = home / path
        assert file.read_text(encoding="utf-8").splitlines()[int(number) - 1] == text
        told.setdefault(path, []).append(text)
    for path, lines in told.items():
        assert (home / path).read_text(encoding="utf-8").splitlines() == lines
    assert {"cases/bench/plan.yml", "cases/bench/sheets.yml"} < set(told) and len(told) == 19
    assert read(home, "plan.yml").startswith(
        "# yaml-language-server: $schema=../../.asfound/schemas/plan.schema.json\n"
    )


def test_every_required_row_stands_there_once_and_that_of_the_event_first(home: Path, call: Call) -> None:
    call(*BEGIN)
    assert read(home, "readings/touch-current.csv").splitlines() == [
        "row,earth,polarity,power,measuring device,value [µA],at,note",
        "1,closed,normal,on,,,,", "2,closed,reversed,on,,,,", "3,open,normal,on,,,,", "4,open,reversed,on,,,,",
        "5,closed,normal,off,,,,", "6,closed,reversed,off,,,,", "7,open,normal,off,,,,", "8,open,reversed,off,,,,",
    ]  # fmt: skip


def test_again_it_writes_nothing(home: Path, call: Call) -> None:
    call(*BEGIN)
    before = every(home)
    done = call()
    assert (done.code, done.out) == (0, "") and "Every required row has its place; nothing was written." in done.err
    assert every(home) == before


def test_a_dry_run_writes_nothing(home: Path, call: Call) -> None:
    before = every(home)
    done = call(*BEGIN, "--dry-run")
    assert done.code == 0 and "plan.yml:5 written_at:" in done.out and every(home) == before


def test_after_a_change_of_plan_what_is_missing_goes_to_the_end_and_what_is_too_much_is_told(
    home: Path, call: Call
) -> None:
    call(*BEGIN)
    sheet = "readings/touch-current.csv"
    add(home, sheet, "1,closed,normal,on,,,,", "1,closed,normal,on,body model,12,2026-05-04 12:00 +02:00,hand typed")
    done = call()
    assert done.code == 1 and "S-touch-current cannot be read as it stands" in done.err, (
        "its instrument is not named yet"
    )
    add(home, "sheets.yml", "  test: touch-current\n", "  test: touch-current\n" + TAKEN)
    touch(home, 'power: ["on", "off"]', 'power: ["on", standby]')
    before = read(home, sheet)
    done = call()
    assert done.code == 0 and read(home, sheet) == before + (
        "9,closed,normal,standby,,,,\n10,closed,reversed,standby,,,,\n11,open,normal,standby,,,,\n"
        "12,open,reversed,standby,,,,\n"
    )
    assert [line.partition(" ")[0] for line in done.out.splitlines()] == [
        f"cases/bench/{sheet}:{number}" for number in range(10, 14)
    ]
    assert (
        "touch-current: the plan does not ask for R-touch-current-5, R-touch-current-6, R-touch-current-7, "
        "R-touch-current-8 (any more); nothing was removed, and a row without a value can be taken out by hand."
        in done.err
    )


def ports(home: Path) -> None:
    """Say in the plan which ports the output is measured at, which was on record nowhere."""
    before, name, after = read(home, "plan.yml").partition("\n  output-power:\n")
    after = after.replace("    coverage:\n", '    coverage:\n      port: ["1", "2"]\n', 1)
    (home / "cases/bench/plan.yml").write_bytes(f"{before}{name}{after}".encode())


def rows_of(home: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(read(home, "readings/output-power.csv").splitlines()))


def test_rows_that_waited_for_a_condition_get_it_once_the_plan_says_it(home: Path, call: Call) -> None:
    assert "output-power: no value is on record for port; write them below coverage" in call(*BEGIN).err
    before = rows_of(home)
    assert len(before) > 8 and {row["port"] for row in before} == {""}
    ports(home)
    done = call()
    assert done.code == 0 and "any more" not in done.err, "no row is left behind that nobody asks for"
    now = rows_of(home)
    assert now[: len(before)] == [{**row, "port": "1"} for row in before]
    assert [{**row, "row": ""} for row in now[len(before) :]] == [{**row, "port": "2", "row": ""} for row in before]
    assert [row["row"] for row in now] == [str(number) for number in range(1, 2 * len(before) + 1)]
    told = [line.partition(" ")[2] for line in done.out.splitlines() if "output-power.csv" in line]
    assert told == read(home, "readings/output-power.csv").splitlines()[1:]
    assert "nothing was written" in call().err


def test_a_waiting_row_in_which_somebody_wrote_is_left_alone(home: Path, call: Call) -> None:
    call(*BEGIN)
    first, *others = rows_of(home)
    line = read(home, "readings/output-power.csv").splitlines()[1]
    add(home, "readings/output-power.csv", f"{line}\n", f"{line}cable missing\n")
    ports(home)
    done = call()
    assert done.code == 0 and "ask for R-output-power-1 (any more); nothing was removed" in done.err
    noted, *now = rows_of(home)
    assert noted == {**first, "note": "cable missing"}
    assert now[: len(others)] == [{**row, "port": "1"} for row in others]
    there = [row for row in now if {**row, "row": "1"} == {**first, "port": "1"}]
    assert len(there) == 1, "what the plan asks for stands in a row of its own"


def test_a_condition_the_table_has_no_column_for_gets_a_sheet_of_its_own(home: Path, call: Call) -> None:
    call(*BEGIN)
    before = read(home, "readings/duty-log.csv")
    add(
        home, "plan.yml", "  duty-log:\n    item: I-1\n", "  duty-log:\n    item: I-1\n    coverage: {memory: [a, b]}\n"
    )
    done = call()
    assert done.code == 0 and read(home, "readings/duty-log.csv") == before
    assert "memory" in read(home, "readings/duty-log-2.csv").splitlines()[0]
    assert "S-duty-log-2:\n  test: duty-log\n" in read(home, "sheets.yml")


def test_bytes_of_a_table_are_kept(home: Path, call: Call) -> None:
    call(*BEGIN)
    place = home / "cases/bench/readings/touch-current.csv"
    old = b"\xef\xbb\xbf" + place.read_bytes().replace(b"\n", b"\r\n").replace(b"[\xc2\xb5A]", b"[mA]")
    place.write_bytes(old)
    touch(home, 'power: ["on", "off"]', 'power: ["on", "off", standby]')
    assert call().code == 0
    new = place.read_bytes()
    assert new.startswith(old) and new[len(old) :].count(b"\r\n") == 4 == new[len(old) :].count(b"standby")


def test_a_run_that_was_cut_off_is_taken_up(home: Path, call: Call) -> None:
    call(*BEGIN)
    whole = every(home)
    (home / "cases/bench/readings/touch-current.csv").unlink()
    assert call().code == 0 and every(home) == whole


def test_a_test_is_added_by_name_and_after_the_seal_with_its_reason(home: Path, call: Call) -> None:
    call(*BEGIN)
    before = read(home, "plan.yml")
    add(
        home,
        "plan.yml",
        "decision_rule: guard band",
        "decision_rule: guard band\nsealed: {at: 2026-05-04 11:30 +02:00, how: by mail}",
    )
    done = call("--test", "output-power--swap", "--item", "I-9")
    assert done.code == 2 and "the plan is sealed: --why is needed" in done.err
    done = call("--test", "output-power--swap", "--item", "I-9", "--why", "A key stuck.")
    assert done.code == 0 and "S-output-power-swap:" in done.out
    made = read_yaml("plan.yml", read(home, "plan.yml").encode()).data["tests"]["output-power--swap"]
    assert (made["item"], made["added"]) == ("I-9", "A key stuck.")
    assert (
        read_yaml("plan.yml", before.encode()).data["tests"].items()
        <= read_yaml("plan.yml", read(home, "plan.yml").encode()).data["tests"].items()
    )


def test_a_test_added_after_readings_says_why_or_is_told_to(home: Path, call: Call) -> None:
    """A reason that was given is never dropped, sealed or not."""
    assert call(*BEGIN, "--test", "touch-current").code == 0
    before = call("--test", "protective-earth")
    assert before.code == 0 and "readings already" not in before.err
    sheet = home / "cases/bench/readings/touch-current.csv"
    head, first, *rest = sheet.read_text("utf-8").splitlines()
    value = head.split(",").index("value [µA]")
    cells = first.split(",")
    cells[value] = "9.1"
    sheet.write_text("\n".join((head, ",".join(cells), *rest, "")), "utf-8", newline="\n")
    add(home, "sheets.yml", "S-touch-current:\n  test: touch-current\n  item: I-1\n",
        f"S-touch-current:\n  test: touch-current\n  item: I-1\n{TAKEN}")  # fmt: skip
    silent = call("--test", "equipment-leakage")
    assert silent.code == 0 and "there are readings already" in silent.err
    said = call("--test", "applied-part-leakage", "--why", "the pad was found wet")
    assert said.code == 0 and "readings already" not in said.err
    tests = read_yaml("plan.yml", read(home, "plan.yml").encode()).data["tests"]
    assert tests["applied-part-leakage"]["added"] == "the pad was found wet"
    assert "added" not in tests["equipment-leakage"]


@pytest.mark.parametrize(
    ("option", "given", "field"),
    [
        ("--limits", "iec-62353-2014", "limit_sets"),
        ("--protocol", "generic", "protocols"),
        ("--rule", "simple acceptance", "decision_rule"),
        ("--by", "examiner", "written_by"),
        ("--at", "2026-05-04 12:00 +02:00", "written_at"),
    ],
)
def test_what_begins_a_plan_is_not_dropped_in_silence(
    home: Path, call: Call, option: str, given: str, field: str
) -> None:
    assert call(*BEGIN, "--test", "touch-current").code == 0
    there = every(home)
    done = call("--test", "protective-earth", option, given)
    assert done.code == 2 and f"{option} begins a plan" in done.err and f"under {field}" in done.err
    assert every(home) == there


def test_wrong_input_is_named_and_nothing_is_written(home: Path, call: Call) -> None:
    before = every(home)
    for arguments, said in (
        ((), 'a plan is begun with: --limits, one or more of: aami-hf18-2001'),
        (BEGIN[2:], "nfpa-99-2012"),
        ((*BEGIN[:4], "--at", "noon"), '--at "noon" is no time with its offset'),
        (("--limits", "nfpa-99-2021", *BEGIN[2:]), '"nfpa-99-2012" is perhaps meant'),
        ((*BEGIN, "--protocol", "infusoin"), '"infusion" is perhaps meant'),
        ((*BEGIN, "--by", "nurse"), 'there is no role in case.yml "nurse"; there is examiner'),
        ((*BEGIN, "--test", "output-pwer"), '"output-power" is perhaps meant'),
        ((*BEGIN, "--item", "I-99"), 'there is no item in items.yml "I-99"'),
    ):  # fmt: skip
        done = call(*arguments)
        assert done.code == 2 and said in " ".join(done.err.split()), (arguments, done.err)
    assert every(home) == before
    call(*BEGIN)
    assert "touch-current is planned already" in call("--test", "touch-current").err
    assert "--limits begins a plan" in call("--limits", "nfpa-99-2012").err


def test_a_broken_plan_is_left_alone(home: Path, call: Call) -> None:
    (home / "cases/bench/plan.yml").write_text("written_at: never\n", encoding="utf-8")
    before = every(home)
    done = call(*BEGIN)
    assert done.code == 1 and "plan.yml cannot be read as it stands" in done.err and "plan.yml:1" in done.err
    assert every(home) == before


def test_a_thing_that_cannot_be_read_is_not_taken_for_missing(home: Path, call: Call) -> None:
    """A field that is not known makes the main device unreadable: told so, and where, instead of that there is none."""
    items = home / "cases/bench/items.yml"
    whole = items.read_text("utf-8")
    line = whole.splitlines().index("I-1:") + 2
    items.write_text(whole.replace("I-1:\n", "I-1:\n  colour: grey\n", 1), encoding="utf-8")
    before = every(home)
    for asked in (BEGIN, (*BEGIN, "--item", "I-1")):
        done = call(*asked)
        said = " ".join(done.err.split())
        assert done.code == 1 and "I-1 cannot be read as it stands" in said, done.err
        assert f"items.yml:{line}:" in said and "colour" in said and "no main device" not in said
    items.write_text("I-1: [\n", encoding="utf-8")
    done = call(*BEGIN)
    assert done.code == 1 and "items.yml cannot be read as it stands" in done.err and "items.yml:" in done.err
    items.write_text(whole.replace("I-1:\n", "I-1:\n  colour: grey\n", 1), encoding="utf-8")
    assert every(home) == before


def test_without_a_main_device_and_without_a_kind_nothing_is_made_up(home: Path, call: Call) -> None:
    (home / "cases/bench/items.yml").unlink()
    (home / "cases/bench/scene.yml").unlink()
    done = call(*BEGIN)
    assert done.code == 1 and "holds no main device" in done.err
    add(home, "case.yml", "device_kind: high-frequency-surgical-generator\n", "")
    done = call(*BEGIN)
    assert done.code == 2 and "case.yml has no device_kind; name a protocol" in done.err


def test_lists_among_the_characteristics_give_the_values(home: Path, call: Call) -> None:
    add(home, "items.yml", "    rated_load: 400 Ω\n", "    rated_load: 400 Ω\n    ports: 1, 2\n")
    done = call(*BEGIN)
    assert done.code == 0 and "for port" not in done.err
    assert '      port: ["1", "2"]\n' in read(home, "plan.yml")


def test_paths_of_the_earth_that_a_cord_cannot_have_are_not_asked_for(home: Path, call: Call) -> None:
    done = call(*BEGIN)
    assert done.code == 0, done.err
    plan = read(home, "plan.yml")
    assert "      path: [inlet to part, detachable cord alone, detachable cord and part]\n" in plan
    assert "# Left out of from where to where, since the item says cord detachable: fixed cord and part, " in plan
    assert "# Only where it was so, and then written below coverage: system on multiple socket." in plan
    # Nothing on record of the cord: every way that is not for a person to name is asked for.
    for name in ("plan.yml", "sheets.yml"):
        (home / "cases/bench" / name).unlink()
    shutil.rmtree(home / "cases/bench/readings")
    add(home, "items.yml", "    cord: detachable\n", "")
    assert call(*BEGIN).code == 0
    plan = read(home, "plan.yml")
    for path in ("inlet to part", "detachable cord alone", "detachable cord and part", "fixed cord and part"):
        assert f"        - {path}\n" in plan or f"{path}, " in plan.partition("path: [")[2].partition("]")[0]
    assert "terminal to part" in plan and "Left out of from where" not in plan


def test_a_device_without_a_protective_earth_is_asked_for_none(home: Path, call: Call) -> None:
    # IEC 60601-1, 3.13 and 3.14 (from memory): class II does not rely on a protective earth.
    add(home, "items.yml", "    class: I\n", "    class: II\n")
    done = call(*BEGIN)
    assert done.code == 0, done.err
    assert "left out, since I-1 says class II: protective-earth, protective-earth-flexed, earth-leakage, " in done.err
    plan = read(home, "plan.yml")
    assert "\n  protective-earth" not in plan and "\n  touch-current:" in plan
    # It is left out and not forbidden: there may be an earth all the same, as one for function.
    assert call("--test", "protective-earth").code == 0
    assert "\n  protective-earth:" in read(home, "plan.yml")


def test_its_touch_current_is_read_without_a_state_of_an_earth_it_has_not(home: Path, call: Call) -> None:
    add(home, "items.yml", "    class: I\n", "    class: II\n")
    assert call(*BEGIN).code == 0
    plan = read(home, "plan.yml")
    assert "# Left out of earth conductor, since the item says class II: closed, open." in plan
    head, *rows = read(home, "readings/touch-current.csv").splitlines()
    assert head == "row,earth,polarity,power,measuring device,value [µA],at,note"
    assert [line.split(",")[1:4] for line in rows] == [
        ["not applicable", polarity, power] for power in ("on", "off") for polarity in ("normal", "reversed")
    ]


def test_leakage_of_an_applied_part_is_read_without_a_polarity_of_a_mains_it_has_not(home: Path, call: Call) -> None:
    """IEC 62353:2014, 5.3.3, reads the applied parts of what has a source of its own, and no mains (from memory)."""
    begin = (*BEGIN, "--limits", "iec-62353-2014", "--test", "applied-part-leakage")
    assert "polarity: [normal, reversed]\n" in call(*begin, "--dry-run").out
    add(home, "items.yml", "    class: I\n", "    class: internally powered\n")
    assert call(*begin).code == 0
    said = "# Left out of polarity of the mains, since the item says class internally powered: normal, reversed."
    assert said in read(home, "plan.yml")
    head, *rows = read(home, "readings/applied-part-leakage.csv").splitlines()
    at = head.split(",").index("polarity")
    assert [line.split(",")[at] for line in rows] == ["not applicable"]


def test_type_tests_come_along_only_with_a_limit_set_that_speaks_of_them(home: Path, call: Call) -> None:
    # IEC 60601-1, 8.7.3, is for a new design; IEC 62353 and NFPA 99 ask nothing of it of a used device (from memory).
    done = call(*BEGIN)
    assert "no limit set of the plan speaks of: earth-leakage, patient-leakage, patient-auxiliary-current;" in done.err
    plan = read(home, "plan.yml")
    assert "\n  earth-leakage:" not in plan and "\n  lead-leakage:" in plan
    assert call("--test", "earth-leakage").code == 0
    for path in sorted((home / "cases/bench").rglob("*"), reverse=True):
        if path.name in ("plan.yml", "sheets.yml") or path.parent.name == "readings":
            path.unlink()
    # Whoever holds it against the type test gets its tests.
    assert call(*BEGIN, "--limits", "iec-60601-1-leakage").code == 0
    assert "\n  earth-leakage:" in read(home, "plan.yml") and "\n  patient-leakage:" in read(home, "plan.yml")


def test_tests_that_are_named_stand_in_the_order_of_the_work(home: Path, call: Call) -> None:
    assert call(*BEGIN, "--test", "output-power", "--test", "touch-current", "--test", "protective-earth").code == 0
    plan = read(home, "plan.yml")
    places = [plan.index(f"\n  {name}:") for name in ("protective-earth", "touch-current", "output-power")]
    assert places == sorted(places)


def test_what_the_item_does_not_say_of_itself_is_told(home: Path, call: Call) -> None:
    assert "does not say of" not in call(*BEGIN, "--dry-run").err
    add(home, "items.yml", "    class: I\n", "")
    add(home, "items.yml", "    cord: detachable\n", "")
    assert "items.yml does not say of I-1, below characteristics: class, cord; where it does," in call(*BEGIN).err


def test_what_can_only_be_absent_is_asked_for_whatever_else_is_said(home: Path, call: Call) -> None:
    """What drives a lift does not tell whether it has a stop, and one without a stop would be asked for its trials."""
    add(home, "case.yml", "device_kind: high-frequency-surgical-generator", "device_kind: patient-lift")
    lift = ("--limits", "common-practice-lifting", *BEGIN[2:])
    add(home, "items.yml", "    class: I\n", "    class: internally powered\n    drive: battery\n    latches: none\n")
    said = " ".join(call(*lift, "--dry-run").err.split())
    assert "below characteristics: emergency_stop; where it does," in said
    assert "emergency_stop: none, or what it has" in said
    add(home, "items.yml", "    drive: battery\n", "    drive: battery\n    emergency_stop: red knob on the mast\n")
    assert "does not say of" not in call(*lift, "--dry-run").err


def test_a_word_that_leaves_nothing_out_is_told_with_those_that_would(home: Path, call: Call) -> None:
    add(home, "items.yml", "    class: I\n", "    class: battery\n")
    said = " ".join(call(*BEGIN, "--dry-run").err.split())
    assert "says of I-1: class battery; no test knows that word, so it leaves nothing out." in said
    assert "Words that are known: I, II, III, internally powered, not electrical" in said


def test_what_a_device_has_or_has_not_is_asked_for_with_both_ways_to_say_it(home: Path, call: Call) -> None:
    add(home, "case.yml", "device_kind: high-frequency-surgical-generator", "device_kind: patient-lift")
    said = " ".join(call(*BEGIN, "--dry-run").err.split())
    assert "latches: none, or what it has; " in said


def test_limit_sets_are_told_with_what_they_are(call: Call) -> None:
    done = call("--rule", "guard band", "--at", "2026-05-04 11:20 +02:00")
    assert done.code == 2
    told = "iec-62353-2014 Recurrent test of medical electrical equipment (IEC 62353, 2014, edition 2)"
    assert told in [" ".join(line.split()) for line in done.err.splitlines()]


def test_the_bench_sheet_holds_cautions_gates_and_every_row_and_no_limit(home: Path, call: Call) -> None:
    call(*BEGIN)
    before = every(home)
    done = call("--bench-sheet", str(home / "bench.pdf"))
    assert done.code == 0 and done.out.splitlines() == [str(home / "bench.pdf")], done.err
    first = (home / "bench.pdf").read_bytes()
    assert call("--bench-sheet", str(home / "again.pdf")).code == 0
    assert (home / "again.pdf").read_bytes() == first, "the same case gives the same bytes"
    assert every(home) == before
    text = words_of(home / "bench.pdf")
    for said in ("Inspect before power.", "Local codes and licensed practice come first.", "Safe to connect"):
        assert said in text
    text = text[text.index("Gates, in order") :]
    gates = [text.index(name) for name in ("Made safe", "Scene frozen", "Inspected", "Plan sealed", "Safe to connect")]
    assert gates == sorted(gates)
    assert "Stop: no power before the gate inspected is passed" in text
    assert "known load measured" in text and "readings/output-power.csv" in text
    assert "0.5 ohm" not in text and "20 per cent" not in text
    assert "To look at, before any power" in text and "Case on all sides: cracks, dents" in text
    assert "not yet: readings prove nothing before it is" in words_of(home / "bench.pdf")
    letter = call("--bench-sheet", str(home / "letter.pdf"), "--paper", "us-letter")
    assert letter.code == 0 and size_of(home / "letter.pdf") == "612 x 792 pts (letter)"
    assert size_of(home / "bench.pdf").endswith("(A4)")


def test_a_bench_sheet_and_the_gate_do_not_contradict_each_other_on_the_seal(home: Path, call: Call) -> None:
    call(*BEGIN)
    gates = "gates:\n  G-1: {gate: plan sealed, at: 2026-05-04 11:30 +02:00, by: examiner}\n"
    (home / "cases/bench/gates.yml").write_text(gates, "utf-8")
    assert call("--bench-sheet", str(home / "bench.pdf")).code == 0
    text = words_of(home / "bench.pdf")
    assert "Plan sealed 2026-05-04 11:30 +02:00 (Mon), examiner; plan.yml does not say how, below sealed" in text
    assert "not yet" not in text


def test_a_bench_sheet_is_no_file_of_the_case(home: Path, call: Call) -> None:
    call(*BEGIN)
    done = call("--bench-sheet", str(home / "cases/bench/bench.pdf"))
    assert done.code == 2 and "a sheet for the bench within the case would be a file of the case" in done.err
    done = call("--bench-sheet", str(home / "nowhere/bench.pdf"))
    assert done.code == 2 and "there is no folder" in done.err


def words_of(file: Path) -> str:
    made = subprocess.run(["pdftotext", "-layout", str(file), "-"], capture_output=True, check=True)
    return " ".join(made.stdout.decode().split())


def size_of(file: Path) -> str:
    made = subprocess.run(["pdfinfo", str(file)], capture_output=True, check=True).stdout.decode()
    return next(line.partition(":")[2].strip() for line in made.splitlines() if line.startswith("Page size"))
