"""What the plan asked for, and what became of it: test by test, on the first page."""

from __future__ import annotations

from functools import cached_property

from asfound.model.number import ValueKind
from asfound.model.verdict import CellState, Outcome
from asfound.pages.view_bench import BenchPart

_BAD = {Outcome.FAIL, Outcome.CONDITIONAL_FAIL}
_NO_ANSWER = {ValueKind.BLANK, ValueKind.NOT_MEASURED, ValueKind.NOT_OBTAINABLE}


class CoveredPart(BenchPart):
    """Measurements, and how much of the plan they fill."""

    @cached_property
    def covered(self) -> list[tuple[str, str, list[tuple[int, str]]]]:
        """Per planned test, in the order of the plan: how many combinations are measured, failing, missing, not
        obtainable. A test whose plan asks for none is one of its own."""
        tones = {CellState.FAILING: "af-out", CellState.MISSING: "af-gap", CellState.NOT_OBTAINABLE: "af-gap"}
        order = (CellState.DONE, CellState.FAILING, CellState.MISSING, CellState.NOT_OBTAINABLE)
        grids = {grid.test: grid for grid in self.core.coverage}
        found = []
        for name, title in self.planned_titles:
            grid = grids.get(name)
            single = self._alone(name)
            counts = [grid.count(state) if grid is not None else int(state is single) for state in order]
            found.append((name, title, [(n, tones.get(of, "")) for n, of in zip(counts, order, strict=True)]))
        return found

    def _alone(self, planned: str) -> CellState:
        """What became of a planned test that asks for no combinations."""
        rows = [row for ref, _ in self.case.sheets_of(planned) for row in self.case.standing(ref)]
        taken = {row.id for row in rows if row.value.kind not in _NO_ANSWER}
        if not taken:
            gone = any(row.value.kind is ValueKind.NOT_OBTAINABLE for row in rows)
            return CellState.NOT_OBTAINABLE if gone else CellState.MISSING
        bad = any(one.outcome in _BAD and taken.intersection(one.members) for one in self.core.verdicts)
        return CellState.FAILING if bad else CellState.DONE
