"""Calculations of a case, carried out from its files: readings with doubts, means, rows, chains, frozen ones."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from asfound.assess import Assessment, assess_case
from asfound.model.dossier import dossier_json, read_dossier
from asfound.model.worked import Worked
from tests.rules.support import BASE, CASE, Copy

ON = dt.date(2026, 3, 20)
DENSITY = """\
Z-1:
  calculation: current-density
  asks: How dense was the current?
  inputs:
    current: [R-touch-3, R-touch-4]
    area: {value: 0.8 cm², doubt: 0.1 cm², why: from the print}
"""


def assessed(home: Path, text: str) -> Assessment:
    copy = Copy(home, extra={"calculations.yml": text})
    return assess_case(copy.root, copy.root / CASE, ON)


def worked(found: Assessment, ref: str = "Z-1") -> Worked:
    assert found.dossier is not None
    return next(one for one in found.dossier.core.worked if one.ref == ref)


def result(found: Assessment, ref: str) -> object:
    assert found.dossier is not None
    return next(one for one in found.dossier.core.results if one.id == ref)


def test_the_mean_of_readings_is_taken_with_the_largest_of_their_doubts(tmp_path: Path) -> None:
    found = assessed(tmp_path, DENSITY)
    one = worked(found)
    assert one.faults == () and one.of == ("R-touch-3", "R-touch-4")
    assert [fed.name for fed in one.inputs] == ["current", "area"]
    assert one.inputs[0].text.endswith("the mean of 2") and one.inputs[1].taken == "from the print"
    # (61.2 + 60.3) / 2 µA over 0.8 cm²: 60.75 / 0.8 µA/cm² = 0.0759375 mA/cm².
    answer = result(found, "Y-1-mean-current-density")
    assert float(answer.value) == pytest.approx(0.0759375, rel=1e-5)  # type: ignore[attr-defined]
    assert answer.doubt >= 0.0759375 * 0.1 / 0.8 * 0.99  # type: ignore[attr-defined]
    assert answer.of == one.of  # type: ignore[attr-defined]


def test_an_answer_is_printed_and_taken_up_by_another_calculation(tmp_path: Path) -> None:
    chain = DENSITY + (
        "Z-2:\n  calculation: joule-heating\n  asks: How fast did it warm?\n  inputs:\n"
        "    density: Y-1-mean-current-density\n"
    )
    found = assessed(tmp_path, chain)
    two = worked(found, "Z-2")
    assert two.faults == () and two.inputs[1].taken == "taken, since nothing was said"
    assert two.of == ("Y-1-mean-current-density",) and two.answers


def test_rows_of_a_sheet_are_taken_by_name_and_only_under_the_conditions_asked_for(tmp_path: Path) -> None:
    text = (
        "Z-1:\n  calculation: trumpet\n  asks: How far does it stray?\n  inputs:\n"
        "    rate: {value: 50 mL/h, why: as set}\n  rows: {sheet: S-flow, columns: {flow: value}, "
        "where: {setting: 50 mL/h}}\n"
    )
    one = worked(assessed(tmp_path, text))
    # Three readings are too few for any window, which the calculation says; what it was given is on record.
    assert one.of == ("R-flow-1", "R-flow-2", "R-flow-3") and one.rows == 3


def test_what_an_edition_froze_is_read_back_and_taken_over_where_its_series_is_gone(tmp_path: Path) -> None:
    found = assessed(tmp_path, DENSITY)
    assert found.dossier is not None
    again = read_dossier(dossier_json(found.dossier))
    assert again.core.worked == found.dossier.core.worked
    assert json.loads(dossier_json(again)) == json.loads(dossier_json(found.dossier))


def test_a_case_without_calculations_has_none() -> None:
    found = assess_case(BASE, BASE / CASE, ON)
    assert found.dossier is not None and found.dossier.core.worked == ()
