"""Which combinations of conditions a planned test asked for, and what became of each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from asfound.model.case import Case
from asfound.model.grid import Combination
from asfound.model.limits import Test
from asfound.model.verdict import Cell, CellState, Coverage, Outcome, Verdict
from asfound.model.work import PlannedTest
from asfound.verdicts.grid import combinations

_BAD = frozenset({Outcome.FAIL, Outcome.CONDITIONAL_FAIL})


def cover(case: Case, planned: str, test: Test | None, verdicts_of: Mapping[str, Sequence[Verdict]]) -> Coverage | None:
    """The coverage grid of one planned test; None where the plan asks for no combinations.

    A cell is *not obtainable* where the plan or the reading itself says why, *measured* where a standing reading
    holds a value, *outside its limit* where one of those fails. Which they are is reckoned in `verdicts/grid.py`.
    """
    assert case.plan is not None
    plan: PlannedTest = case.plan.tests[planned]
    if not plan.coverage:
        return None
    cells = [_cell(one, verdicts_of) for one in combinations(case, planned) if one.covers]
    return Coverage(planned, test.title if test else planned, tuple(plan.coverage), tuple(cells))


def _cell(one: Combination, verdicts_of: Mapping[str, Sequence[Verdict]]) -> Cell:
    if one.taken:
        bad = any(verdict.outcome in _BAD for ref in one.taken for verdict in verdicts_of.get(ref, ()))
        return Cell(one.conditions, CellState.FAILING if bad else CellState.DONE, one.taken, "", one.as_used)
    state = CellState.MISSING if one.obtainable else CellState.NOT_OBTAINABLE
    return Cell(one.conditions, state, one.answered, one.why, one.as_used)
