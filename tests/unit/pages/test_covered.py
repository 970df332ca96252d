"""*Covered, and not* lists every planned test, also those whose plan asks for no combinations."""

from __future__ import annotations

import datetime as dt
import html
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.model.dossier import Dossier
from asfound.model.number import ValueKind, read_value
from asfound.pages import Options, case_pages

ROOT = Path(__file__).parents[3]
NAMES = sorted(one.parent.name for one in (ROOT / "cases").glob("*/case.yml"))


@cache
def dossier(name: str) -> Dossier:
    found = assess_case(ROOT, ROOT / "cases" / name, dt.date(2026, 5, 30)).dossier
    assert found is not None
    return found


def rows(of: Dossier) -> dict[str, list[str]]:
    """Planned test → the four cells of its row."""
    body = next(iter(case_pages(of, {}, Options()))).body
    table = body.split('id="covered"')[1].split("</table>")[0]
    found = re.findall(r'<tr><th scope="row"><a href="[^"]*#P-([^"]+)">.*?</th>(.*?)</tr>', table, re.DOTALL)
    return {
        name: [html.unescape(re.sub(r"<[^>]+>", "", cell)) for cell in re.findall(r"<td.*?</td>", cells)]
        for name, cells in found
    }


@pytest.mark.parametrize("name", NAMES)
def test_every_planned_test_is_listed_once_in_the_order_of_the_plan(name: str) -> None:
    plan = dossier(name).core.case.plan
    assert plan is not None
    assert list(rows(dossier(name))) == list(plan.tests)


def test_a_test_without_combinations_is_one() -> None:
    bed = dossier("bed-moved")
    assert rows(bed)["unwanted-movement"] == ["1", "not judged", "none", "none"]
    assert rows(bed)["touch-current"] == ["4", "none, 1 not judged", "none", "none"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("not obtainable: the key was gone", ["none", "none", "none", "1"]),
        ("not measured: no time was left", ["none", "none", "1", "none"]),
    ],
)
def test_what_was_not_read_is_said(text: str, said: list[str]) -> None:
    bed = dossier("bed-moved")
    value = read_value(text)
    assert hasattr(value, "kind") and value.kind in (ValueKind.NOT_OBTAINABLE, ValueKind.NOT_MEASURED)
    case = bed.core.case
    (name,) = [ref for ref, _ in case.sheets_of("key-force")]
    sheet = case.readings[name]
    gone = replace(sheet, rows=tuple(one._replace(value=value) for one in sheet.rows))
    spoilt = replace(bed, core=replace(bed.core, case=replace(case, readings={**case.readings, name: gone})))
    assert rows(spoilt)["key-force"] == said


def test_one_that_fails_is_counted_outside_its_limit() -> None:
    found = rows(dossier("incubator-probe"))
    assert all(any(one[0].isdigit() for one in (cells[0], *cells[2:])) for cells in found.values())
    assert any(cells[1][0].isdigit() for cells in found.values())


def test_what_lies_outside_its_limit_was_measured_too() -> None:
    assert rows(dossier("no-shock"))["battery-capacity"] == ["1", "1", "none", "none"]
    assert rows(dossier("tingle-isolated-room"))["touch-current"] == ["2", "1", "none", "none"]


def test_a_test_no_limit_speaks_to_is_not_told_as_within_one() -> None:
    """The cord opens in 17 of 20 flexes, and no limit speaks to it: *none outside* would read as a pass."""
    found = rows(dossier("no-shock"))
    assert found["therapy-cable-flexed"] == ["1", "not judged", "none", "none"]
    energy = re.fullmatch(r"none, (\d+) not judged", rows(part_judged())["energy"][1])
    assert energy is not None and energy[1] == "1"


def part_judged() -> Dossier:
    """The energies without the verdicts on one combination's readings."""
    made = dossier("no-shock")
    (grid,) = [one for one in made.core.coverage if one.test == "energy"]
    lost = set(next(cell.readings for cell in grid.cells if cell.readings))
    kept = tuple(one for one in made.core.verdicts if lost.isdisjoint(one.members))
    return replace(made, core=replace(made.core, verdicts=kept))


@pytest.mark.parametrize("name", NAMES)
def test_the_numbers_hold_against_the_verdicts(name: str) -> None:
    """Reckoned otherwise: readings, from the sheets of the plan, against their verdicts."""
    made = dossier(name)
    case = made.core.case
    said: dict[str, set[str]] = {}
    for one in made.core.verdicts:
        for ref in one.members:
            said.setdefault(ref, set()).add(str(one.outcome))
    for planned, cells in rows(made).items():
        refs = [row.id for sheet, _ in case.sheets_of(planned) for row in case.standing(sheet)]
        outcomes = [said.get(ref, set()) for ref in refs]
        judged = [one for one in outcomes if one & {"pass", "fail", "conditional pass", "conditional fail"}]
        failing = [one for one in outcomes if one & {"fail", "conditional fail"}]
        assert (cells[1] == "not judged") == (cells[0] != "none" and not judged), planned
        assert cells[1][0].isdigit() == bool(failing), planned
