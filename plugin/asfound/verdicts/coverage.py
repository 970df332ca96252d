"""Which combinations of conditions a planned test asked for, and what became of each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product

from asfound.model.case import Case
from asfound.model.limits import Test
from asfound.model.number import ValueKind
from asfound.model.verdict import Cell, CellState, Coverage, Outcome, Verdict
from asfound.model.work import PlannedTest, Reading
from asfound.verdicts.context import Setting, same

_NOT_A_READING = frozenset({ValueKind.BLANK, ValueKind.NOT_MEASURED, ValueKind.NOT_OBTAINABLE})
_BAD = frozenset({Outcome.FAIL, Outcome.CONDITIONAL_FAIL})


def cover(case: Case, planned: str, test: Test | None, verdicts_of: Mapping[str, Sequence[Verdict]]) -> Coverage | None:
    """The coverage grid of one planned test; None where the plan asks for no combinations.

    A cell is *not obtainable* where the plan or the reading itself says why, *measured* where a standing reading
    holds a value, *outside its limit* where one of those fails.
    """
    assert case.plan is not None
    plan: PlannedTest = case.plan.tests[planned]
    if not plan.coverage:
        return None
    axes = tuple(plan.coverage)
    rows = [
        (Setting.of(name, sheet, case.readings[name], case.items), row)
        for name, sheet in case.sheets_of(planned)
        if name in case.readings
        for row in case.standing(name)
    ]
    cells = []
    for values in product(*(plan.coverage[axis] for axis in axes)):
        wanted = tuple(zip(axes, values, strict=True))
        here = [row for setting, row in rows if all(setting.matches(row, name, value) for name, value in wanted)]
        used = bool(plan.as_used) and all(
            same(value, plan.as_used[name]) for name, value in wanted if name in plan.as_used
        )
        cells.append(_cell(wanted, here, plan, used, verdicts_of))
    return Coverage(planned, test.title if test else planned, axes, tuple(cells))


def _cell(
    wanted: tuple[tuple[str, str], ...],
    here: Sequence[Reading],
    plan: PlannedTest,
    used: bool,
    verdicts_of: Mapping[str, Sequence[Verdict]],
) -> Cell:
    read = [row for row in here if row.value.kind not in _NOT_A_READING]
    refs = tuple(row.id for row in here)
    if read:
        bad = any(verdict.outcome in _BAD for row in read for verdict in verdicts_of.get(row.id, ()))
        return Cell(wanted, CellState.FAILING if bad else CellState.DONE, tuple(row.id for row in read), "", used)
    for row in here:
        if row.value.kind is ValueKind.NOT_OBTAINABLE:
            return Cell(wanted, CellState.NOT_OBTAINABLE, refs, row.value.why, used)
        if row.value.kind is ValueKind.NOT_MEASURED:
            return Cell(wanted, CellState.MISSING, refs, row.value.why, used)
    for text, why in plan.not_obtainable.items():
        # `port=2, activation=foot switch` names every combination that has both.
        named = [part.partition("=") for part in text.split(",")]
        if all(
            any(name.strip() == axis and same(value, said.strip()) for axis, value in wanted) for name, _, said in named
        ):
            return Cell(wanted, CellState.NOT_OBTAINABLE, refs, why, used)
    return Cell(wanted, CellState.MISSING, refs, "", used)
