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
    assert rows(bed)["unwanted-movement"] == ["1", "none", "none", "none"]
    assert rows(bed)["touch-current"] == ["4", "none", "none", "none"]


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
    assert all(sum(0 if one == "none" else int(one) for one in cells) >= 1 for cells in found.values())
    assert any(cells[1] != "none" for cells in found.values())
