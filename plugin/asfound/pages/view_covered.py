"""What the plan asked for, and what became of it: test by test, on the first page."""

from __future__ import annotations

from functools import cached_property

from asfound.model.number import ValueKind
from asfound.model.verdict import Cell, CellState, Outcome
from asfound.pages.view_bench import BenchPart

_BAD = {Outcome.FAIL, Outcome.CONDITIONAL_FAIL}
_DECIDED = _BAD | {Outcome.PASS, Outcome.CONDITIONAL_PASS}
_TAKEN = {CellState.DONE, CellState.FAILING}
_NO_ANSWER = {ValueKind.BLANK, ValueKind.NOT_MEASURED, ValueKind.NOT_OBTAINABLE}


class CoveredPart(BenchPart):
    """Measurements, and how much of the plan they fill."""

    @cached_property
    def covered(self) -> list[tuple[str, str, list[tuple[str, str]]]]:
        """Per planned test, in the order of the plan: how many combinations were measured, lie outside a limit, are
        missing, were not obtainable; each in words, with a tone where one is to be seen. A test whose plan asks for no
        combinations is one of its own.

        What lies outside was measured too, so the first number counts it. Where no limit decides there is nothing to
        be outside of, and *none* would read as a pass.
        """
        grids = {grid.test: grid for grid in self.core.coverage}
        found = []
        for name, title in self.planned_titles:
            grid = grids.get(name)
            cells = grid.cells if grid is not None else (self._alone(name),)
            states = [cell.state for cell in cells]
            outside, missing = states.count(CellState.FAILING), states.count(CellState.MISSING)
            gone = states.count(CellState.NOT_OBTAINABLE)
            taken = [cell for cell in cells if cell.state in _TAKEN]
            open_ = sum(1 for cell in taken if not self._decided.intersection(cell.readings))
            found.append(
                (
                    name,
                    title,
                    [
                        (str(len(taken) or "none"), ""),
                        (_outside(outside, len(taken), open_), "af-out" if outside else ""),
                        (str(missing or "none"), "af-gap" if missing else ""),
                        (str(gone or "none"), "af-gap" if gone else ""),
                    ],
                )
            )
        return found

    @cached_property
    def _decided(self) -> frozenset[str]:
        """Readings that a limit speaks to with a verdict."""
        return frozenset(ref for one in self.core.verdicts if one.outcome in _DECIDED for ref in one.members)

    def _alone(self, planned: str) -> Cell:
        """What became of a planned test that asks for no combinations."""
        rows = [row for ref, _ in self.case.sheets_of(planned) for row in self.case.standing(ref)]
        taken = tuple(row.id for row in rows if row.value.kind not in _NO_ANSWER)
        if not taken:
            gone = any(row.value.kind is ValueKind.NOT_OBTAINABLE for row in rows)
            return Cell((), CellState.NOT_OBTAINABLE if gone else CellState.MISSING)
        bad = any(one.outcome in _BAD and not set(taken).isdisjoint(one.members) for one in self.core.verdicts)
        return Cell((), CellState.FAILING if bad else CellState.DONE, taken)


def _outside(outside: int, taken: int, undecided: int) -> str:
    """How many of the combinations measured lie outside a limit, and how many no limit decides."""
    if taken and undecided == taken:
        return "not judged"
    return f"{outside or 'none'}, {undecided} not judged" if undecided else str(outside or "none")
