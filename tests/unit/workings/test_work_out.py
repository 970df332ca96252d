"""Calculations of a case, carried out from its files: readings with doubts, means, rows, chains, frozen ones."""

from __future__ import annotations

import datetime as dt
import json
import math
from pathlib import Path

import pytest

from asfound.assess import Assessment, assess_case
from asfound.model.dossier import dossier_json, read_dossier
from asfound.model.worked import Lack, Worked
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


def assessed(home: Path, text: str, *edits: tuple[str, str, str]) -> Assessment:
    copy = Copy(home, edits=edits, extra={"calculations.yml": text})
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


def test_a_calculation_waits_for_another_whose_name_begins_as_its_own(tmp_path: Path) -> None:
    """Z-1 takes an answer of Z-1-2; it does not wait for itself."""
    chain = DENSITY.replace("Z-1:", "Z-1-2:") + (
        "Z-1:\n  calculation: joule-heating\n  asks: How fast did it warm?\n  inputs:\n"
        "    density: Y-1-2-mean-current-density\n"
    )
    found = assessed(tmp_path, chain)
    one = worked(found, "Z-1")
    assert one.faults == () and one.of == ("Y-1-2-mean-current-density",) and one.answers


def test_calculations_that_wait_for_each_other_are_told(tmp_path: Path) -> None:
    round_of_two = "".join(
        f"{ref}:\n  calculation: joule-heating\n  asks: How fast?\n  inputs:\n    density: {of}-rate-of-heating\n"
        for ref, of in (("Z-1", "Y-2"), ("Z-2", "Y-1"))
    )
    found = assessed(tmp_path, round_of_two)
    for ref in ("Z-1", "Z-2"):
        said = [(fault.lack, fault.found) for fault in worked(found, ref).faults]
        assert (Lack.ROUND, "it waits for its own answer, through others") in said
        assert worked(found, ref).answers == ()


def test_the_doubt_of_an_answer_by_hand(tmp_path: Path) -> None:
    """J = I / A: (U(J) / J)² = (U(I) / I)² + (U(A) / A)² (JCGM 100:2008, 5.1.6).

    The current is stated here so that all is at hand: 60 µA ± 3 µA over 0.8 cm² ± 0.1 cm² is 0.075 mA/cm². Carried by
    differences over the whole doubt (5.1.3, note 2), the area's part is J A U / (A² - U²): 0.0095238 mA/cm².
    """
    text = DENSITY.replace("current: [R-touch-3, R-touch-4]", "current: {value: 60 µA, doubt: 3 µA, why: as read}")
    answer = result(assessed(tmp_path, text), "Y-1-mean-current-density")
    assert float(answer.value) == pytest.approx(0.075, rel=1e-6)  # type: ignore[attr-defined]
    by_area = 0.075 * 0.8 * 0.1 / (0.8**2 - 0.1**2)
    assert answer.doubt == pytest.approx(math.hypot(0.075 * 3 / 60, by_area), rel=1e-5)  # type: ignore[attr-defined]
    assert answer.doubt == pytest.approx(0.075 * math.hypot(3 / 60, 0.1 / 0.8), rel=0.02)  # type: ignore[attr-defined]


def test_a_mean_of_which_one_reading_has_no_doubt_has_none(tmp_path: Path) -> None:
    """Outside all ranges nothing is known of a reading's doubt; what is left is the part of the area alone."""
    found = assessed(tmp_path, DENSITY, ("readings/touch.csv", "61.2", "61200000"))
    answer = result(found, "Y-1-mean-current-density")
    mean = (61200000 + 60.3) / 2 / 1000 / 0.8
    assert float(answer.value) == pytest.approx(mean, rel=1e-5)  # type: ignore[attr-defined]
    assert answer.doubt == pytest.approx(mean * 0.8 * 0.1 / (0.8**2 - 0.1**2), rel=1e-5)  # type: ignore[attr-defined]


@pytest.mark.parametrize("text", ["<61.2", ">61.2", "over range", "not measured: late", "9 of 10"])
def test_what_is_no_number_is_not_taken_in(tmp_path: Path, text: str) -> None:
    found = assessed(tmp_path, DENSITY, ("readings/touch.csv", "61.2", text))
    [fault] = worked(found).faults
    assert (fault.path, fault.found) == (("inputs", "current"), f"R-touch-3 reads “{text}”")
    assert worked(found).answers == ()


def test_a_count_gives_how_many_and_of_how_many(tmp_path: Path) -> None:
    """9 of 10: seen is nine and trials are ten."""
    head = "Z-1:\n  calculation: missed-intermittent\n  asks: What is left?\n"
    text = f"{head}  inputs: {{seen: R-touch-3, trials: R-touch-3}}\n"
    one = worked(assessed(tmp_path, text, ("readings/touch.csv", "61.2", "9 of 10")))
    assert one.faults == ()
    by_hand = worked(assessed(tmp_path / "again", text.replace("seen: R-touch-3, trials: R-touch-3",
                     "seen: {value: 9, why: by hand}, trials: {value: 10, why: by hand}")))  # fmt: skip
    assert [(a.name, a.text) for a in one.answers] == [(a.name, a.text) for a in by_hand.answers] and one.answers


def test_a_doubt_below_zero_is_none(tmp_path: Path) -> None:
    found = assessed(tmp_path, DENSITY.replace("doubt: 0.1 cm²", "doubt: -0.1 cm²"))
    [fault] = worked(found).faults
    assert (fault.path, fault.found) == (("inputs", "area", "doubt"), "found “-0.1 cm²”")
    assert fault.needed == "a doubt not below 0 is needed" and worked(found).answers == ()


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
