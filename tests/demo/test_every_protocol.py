"""Every packaged protocol from the plan to the verdict: planned by the command, its sheets filled, and checked.

What is typed here is nobody's measurement: one reading far below, one far above and one between the bounds, so that
each limit that speaks has to answer both ways. Kinds of devices, people and places are invented.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections import Counter
from pathlib import Path

import pytest

from asfound.assess import Assessment, assess_case
from asfound.desk.plan_tests import sets_for
from asfound.desk.plan_tests import tests_of as asked_by
from asfound.limits import build_book, packaged
from asfound.model.limits import Book
from asfound.model.limits import Test as Asked
from asfound.model.verdict import Verdict
from asfound.model.work import Tier
from asfound.problems import Level
from tests.unit.cli.support import run

PROTOCOLS = Path(__file__).parents[2] / "plugin/asfound/limits/protocols"
NAMES = sorted(one.stem for one in PROTOCOLS.glob("*.yml"))
CASE = """\
case: one-of-a-kind
title: A device of one kind
stage: open
device_kind: {kind}
examiner: examiner
event:
  kind: other
  told_at: 2026-05-04 10:20 +02:00
  time_source: the wall clock of the room, read by the nurse
  where: ward, room 2
  account: The nurse reports that something was wrong.
harmed: none
people:
  examiner: {{title: examining technician, organisation: the examiner's laboratory}}
"""
ITEMS = """\
I-1: {what: The device, role: main device, in_use_at_event: yes, impounded: yes, serial: "12", owner: the hospital}
"""
SHEET = """\
S-{test}:
  test: {test}
  item: I-1
  instrument: M-1
  function: {function}
  by: examiner
  from: 2026-05-05 {hour}:00 +02:00
  to: 2026-05-05 {hour}:50 +02:00
  supply: {{kind: grounded, voltage: 230 V, nominal: 230 V, frequency: 50 Hz}}
"""
GATES = """\
gates:
  G-1: {gate: as found recorded, items: [I-1], at: 2026-05-04 11:00 +02:00, by: examiner}
  G-2: {gate: inspected, items: [I-1], at: 2026-05-05 08:30 +02:00, by: examiner}
  G-3: {gate: safe to connect, items: [I-1], at: 2026-05-05 10:00 +02:00, by: examiner, outcome: yes}
"""
BEFORE = ("nothing", "safety tester")
"""What may be joined before the thing was found safe to connect."""
INSTRUMENT = """\
M-1:
  what: One instrument that reads everything, as there is none
  serial: "77"
  keeper: examiner
  calibrations:
    - {certificate: "V-1", on: 2026-01-10, due: 2027-01-10, by: an accredited laboratory, as_found: in tolerance}
  functions:
"""
RANGE = """\
    {name}:
      quantity: {quantity}
      method: directly
      ranges:
        - {{from: {low} {unit}, to: 9999999 {unit}, resolution: 0.0001 {unit}, accuracy: {{percent: "0.01"}}}}
"""
LOW, HIGH = "0.0001", "1000000"


@pytest.fixture(scope="module")
def book() -> Book:
    have = packaged()
    return build_book(have.sets, have.protocols, {}, {}, cautions=have.cautions)[0]


def instruments(tests: dict[str, Asked]) -> str:
    """One function for each quantity and unit of the tests; seeing needs no range."""
    text = INSTRUMENT
    for name, (quantity, unit) in {function(one): (one.quantity, one.unit) for one in tests.values()}.items():
        if quantity == "yes or no":
            text += f"    {name}: {{quantity: yes or no, method: seen and heard, ranges: []}}\n"
        else:
            low = "-300" if unit == "°C" else "-9999999"
            text += RANGE.format(name=name, quantity=quantity, unit="" if unit == "1" else unit, low=low)
    return text.replace(" ,", ",")


def function(test: Asked) -> str:
    return f"{test.quantity} in {test.unit}".replace("/", " per ").replace("%", "percent").replace("°", "degree ")


def fill(table: Path, test: Asked, value: str) -> None:
    """Put `value` into every row, and into a condition left open a word or a figure it may take."""
    rows = list(csv.reader(io.StringIO(table.read_text("utf-8"))))
    head = [cell.partition(" [")[0] for cell in rows[0]]
    for row in rows[1:]:
        for place, name in enumerate(head):
            if name == "value":
                row[place] = value
            elif not row[place] and name in test.conditions:
                column = test.conditions[name]
                row[place] = column.values[0] if column.values else "10" if column.unit else "as found"
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    table.write_text(out.getvalue(), "utf-8", newline="\n")


def between(verdicts: list[Verdict]) -> dict[str, str]:
    """Test → a value that lies within the bounds of a limit which refused both ends; in the unit of the test."""
    found = {}
    for one in verdicts:
        low, high = one.lower, one.upper
        if one.limit is not None and low is not None and high is not None:
            found[one.test] = str((low + high) / 2)
    return found


def checked(root: Path) -> Assessment:
    return assess_case(root, root / "cases/one-of-a-kind", dt.date(2026, 5, 6))


def test_no_two_packaged_protocols_hold_a_test_of_one_name() -> None:
    """Any of them may meet in one plan: a monitor beside a ventilator has two alarms, each with its own limits."""
    held = Counter(name for protocol in packaged().protocols.values() for name in protocol.tests)
    assert [name for name, count in held.items() if count > 1] == []


@pytest.mark.parametrize("name", NAMES)
def test_a_protocol_is_planned_filled_and_decided(
    name: str, book: Book, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    tests = asked_by(book, [name])
    planned = {key: one for key, one in tests.items() if one.alters in (Tier.NONE, Tier.REVERSIBLE)}
    folder = tmp_path / "cases/one-of-a-kind"
    folder.mkdir(parents=True)
    (tmp_path / ".asfound").mkdir()
    (tmp_path / ".asfound/instruments.yml").write_text(instruments(tests), "utf-8")
    (folder / "case.yml").write_text(CASE.format(kind=book.protocols[name].device_kinds[0]), "utf-8")
    (folder / "items.yml").write_text(ITEMS, "utf-8")
    sets = [part for one in sets_for(book, tests) for part in ("--limits", one)]
    said = run(capsys, monkeypatch, tmp_path, "plan", "one-of-a-kind", "--protocol", name, *sets,
               "--rule", "simple acceptance", "--by", "examiner", "--at", "2026-05-05 08:00 +02:00")  # fmt: skip
    if not planned:
        assert name == "generic" and "holds no test" in said.err
        return
    assert said.code == 0, said.err
    tables = {one.stem: one for one in (folder / "readings").glob("*.csv")}
    assert set(tables) == set(planned), "a test that alters nothing for good is planned with a sheet, and no other"
    (folder / "sheets.yml").write_text(
        "".join(
            SHEET.format(test=key, function=function(one), hour="09" if one.connects in BEFORE else "11")
            for key, one in planned.items()
        ),
        "utf-8",
    )
    for key, table in tables.items():
        fill(table, planned[key], "yes" if planned[key].answer == "yes or no" else "10")
    asked = {"power-before-inspection"} if any(one.energised for one in planned.values()) else set()
    asked |= {"connected-before-safe"} if any(one.connects not in BEFORE for one in planned.values()) else set()
    assert {one.rule for one in checked(tmp_path).problems if one.level is Level.REJECT} == asked
    (folder / "gates.yml").write_text(GATES, "utf-8")

    outcomes: dict[str, set[str]] = {}
    aim: dict[str, str] = {}
    for turn in (LOW, HIGH, ""):
        for key, table in tables.items():
            if planned[key].answer == "yes or no":
                fill(table, planned[key], "no" if turn == HIGH else "yes")
            else:
                fill(table, planned[key], turn or aim.get(key, "10"))
        found = checked(tmp_path)
        wrong = [one.headline() for one in found.problems if one.level is Level.REJECT]
        assert not wrong, "\n".join(wrong)
        assert found.dossier is not None
        core = found.dossier.core
        judged = {member for one in core.verdicts for member in one.members}
        readings = {one.id for sheet in core.case.readings.values() for one in sheet.rows}
        assert readings and readings == judged, f"no verdict, not even that none is asked: {readings - judged}"
        for one in core.verdicts:
            if one.limit is not None:
                outcomes.setdefault(one.limit.id, set()).add(str(one.outcome))
        aim |= between(list(core.verdicts))
    for limit, seen in outcomes.items():
        decided = seen & {"pass", "fail"}
        assert len(decided) in (0, 2), f"{limit} says {sorted(seen)} of what lies below, above and between"
