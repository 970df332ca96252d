"""Results derived from readings, the limits that speak of them, and the grid of what was measured."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from asfound.model.verdict import CellState

from .bench import RANGE, judged

SETTING = {"setting": "ohm"}


def wanted(*kinds: str) -> dict[str, Any]:
    """The test, asked for these results."""
    return {"results": list(kinds)}


def test_deviation_from_the_setting() -> None:
    """88 at 100 is -12 %, 210 at 200 is +5 %: the first strays furthest."""
    rows = [("88", {"setting": "0.1"}), ("210", {"setting": "0.2"})]
    [one] = judged(rows, test=wanted("deviation"), units=SETTING).results
    assert (one.id, one.value, one.unit, one.of) == ("Y-x-deviation", Decimal("-12.00"), "%", ("R-x-1", "R-x-2"))
    assert [name for name, _ in one.numbers] == ["100 (R-x-1)", "200 (R-x-2)"]


def test_deviations_of_two_ports_are_two_results() -> None:
    rows = [("88", {"setting": "0.1", "port": "1"}), ("103", {"setting": "0.1", "port": "2"})]
    made = judged(rows, test=wanted("deviation"), units=SETTING).results
    assert [(one.id, one.value) for one in made] == [
        ("Y-x-deviation-1", Decimal("-12.00")), ("Y-x-deviation-2", Decimal("3.00")),
    ]  # fmt: skip


def test_proportion_to_the_setting() -> None:
    """Least squares through zero: b = Σxy/Σx² = (100·90 + 200·210)/(100² + 200²) = 1.02; 90 strays by -11.8 %."""
    rows = [("90", {"setting": "0.1"}), ("210", {"setting": "0.2"})]
    [one] = judged(rows, test=wanted("linearity"), units=SETTING).results
    assert one.value == Decimal("-11.76")
    assert ("slope through the origin", "1.0200") in one.numbers
    assert judged(rows[:1], test=wanted("linearity"), units=SETTING).results == ()


def test_ports_against_each_other_and_the_limit_on_it() -> None:
    """100 against 110: the difference is 9.52 % of their mean."""
    rows = [("100", {"setting": "0.1", "port": "1"}), ("110", {"setting": "0.1", "port": "2"})]
    bound = {"kind": "fixed", "value": "5 %"}
    limit = {"result": "port agreement", "quantity": "ratio", "sense": "between", "bound": None,
             "low": {"kind": "fixed", "value": "-5 %"}, "high": bound}  # fmt: skip
    made = judged(rows, limit, test=wanted("port agreement"), units=SETTING)
    [one] = made.results
    assert abs(one.value or 0) == Decimal("9.52") and one.outcome == "fail"
    spoken = [verdict for verdict in made.verdicts if verdict.subject == one.id]
    assert [str(verdict.outcome) for verdict in spoken] == ["fail"]
    assert spoken[0].rule == "simple acceptance" and spoken[0].chance is None
    unsure = judged(rows, {**limit, "when": {"class": ["I"]}}, test=wanted("port agreement"), units=SETTING)
    assert unsure.results[0].outcome == "not assessable"
    assert "the class is not recorded" in unsure.verdicts[-1].why
    silent = judged(rows, {**limit, "only": {"class": ["I"]}}, test=wanted("port agreement"), units=SETTING)
    assert silent.results[0].outcome is None


def test_repeats_have_a_mean_and_a_spread() -> None:
    """198, 200, 202: mean 200, s = 2 (JCGM 100:2008, 4.2.1 and 4.2.2)."""
    [one] = judged(["198", "200", "202"], test=wanted("repeatability")).results
    assert (one.value, one.unit, len(one.of)) == (Decimal("2.00"), "mohm", 3)
    assert "3 readings" in one.text and "200" in one.text
    assert judged(["198", ("200", {"point": "b"})], test=wanted("repeatability")).results == ()


@pytest.mark.parametrize("third", ["<200", ">200"])
def test_a_bound_among_repeats_is_no_number(third: str) -> None:
    """Three readings below 0.001 have no mean of 0.001 and no spread of 0: a bound is not a value (common practice)."""
    assert judged(["198", "200", third], test=wanted("repeatability")).results == ()
    assert judged([third, third, third], test=wanted("repeatability")).results == ()


@pytest.mark.parametrize(("second", "outcome"), [("203", "pass"), ("230", "fail")])
def test_a_second_instrument_agrees_within_the_doubts_or_not(second: str, outcome: str) -> None:
    """En = (a - b) / √(Ua² + Ub²) (ISO 13528:2015, 9.7, from memory); both doubts are near 9.3 mΩ at 200 mΩ."""
    made = judged(
        ["200"], test=wanted("second instrument"), instruments={"M-2": RANGE},
        more={"again": ([(second, {})], {"instrument": "M-2", "repeats_of": "S-x"})},
    )  # fmt: skip
    [one] = made.results
    assert (one.id, one.sheet, str(one.outcome)) == ("Y-again-second-instrument", "S-again", outcome)
    assert set(one.of) == {"R-x-1", "R-again-1"}
    ua, ub = (next(v.doubt for v in made.verdicts if v.subject == ref) for ref in ("R-again-1", "R-x-1"))
    assert ua is not None and ub is not None
    assert float(one.value or 0) == pytest.approx((float(second) - 200) / (ua**2 + ub**2) ** 0.5, rel=1e-3)


def test_the_same_instrument_is_no_second_one() -> None:
    more: dict[str, Any] = {"again": ([("203", {})], {"repeats_of": "S-x"})}
    assert judged(["200"], test=wanted("second instrument"), more=more).results == ()


GRID = {"coverage": {"port": ["1", "2"], "setting": ["100 mohm", "200 mohm"]}, "as_used": {"port": "2"}}


def test_each_combination_asked_for_says_what_became_of_it() -> None:
    rows = [
        ("90", {"port": "1", "setting": "0.1"}), ("310", {"port": "1", "setting": "0.2"}),
        ("not obtainable: the port is burnt", {"port": "2", "setting": "0.1"}),
        ("80", {"port": "2", "setting": "0.2", "void": "lead slipped"}),
    ]  # fmt: skip
    [grid] = judged(rows, planned=GRID, units=SETTING).coverage
    assert grid.axes == ("port", "setting")
    told = {tuple(text for _, text in cell.conditions): cell for cell in grid.cells}
    assert {where: cell.state for where, cell in told.items()} == {
        ("1", "100 mohm"): CellState.DONE, ("1", "200 mohm"): CellState.FAILING,
        ("2", "100 mohm"): CellState.NOT_OBTAINABLE, ("2", "200 mohm"): CellState.MISSING,
    }  # fmt: skip
    assert told["2", "100 mohm"].why == "the port is burnt"
    assert [cell.as_used for cell in grid.cells] == [False, False, True, True]
    assert grid.count(CellState.MISSING) == 1


def test_a_plan_may_say_that_a_combination_cannot_be_had() -> None:
    planned = {**GRID, "not_obtainable": {"port=2": "the port is missing"}}
    [grid] = judged([("90", {"port": "1", "setting": "0.1"})], planned=planned, units=SETTING).coverage
    assert [cell.state for cell in grid.cells] == [
        CellState.DONE, CellState.MISSING, CellState.NOT_OBTAINABLE, CellState.NOT_OBTAINABLE,
    ]  # fmt: skip


def test_without_a_plan_there_is_nothing_to_compute() -> None:
    """What a reading is held against is chosen before it is taken."""
    assert judged(["200"]).verdicts and not judged(["200"]).coverage
