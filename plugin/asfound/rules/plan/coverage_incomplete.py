"""Each combination of conditions that a test asks for was measured, or the plan says why it could not be.

Fails: coverage asks for ports 1 and 2 by hand and by foot; port 2 by foot was never read.
Passes: the same with `not_obtainable: {"port=2, activation=foot switch": the second foot switch was not impounded}`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.verdict import CellState
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="coverage-incomplete",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Every combination of conditions that the plan asks for was measured, or is said to be not obtainable.",
    reason="The one combination nobody measured is the one that will be asked about.",
    source="ISO/IEC 17025:2017, 7.8.2.1 n (exclusions from the method)",
    status="confirmed",
    mend="Measure the combinations, or write each below not_obtainable with the reason.",
    rows=("R43",),
)

UNREAD = frozenset({CellState.MISSING, CellState.NOT_OBTAINABLE})
MOST = 6
WIDTH = 120
"""Most cells that are named, and most characters they may take."""


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a planned test, naming at most six cells. A test of which nothing was read has its own rule."""
    for grid in facts.coverage:
        planned = facts.planned(grid.test)
        if planned is None or planned.not_done is not None:
            continue
        missing = [cell for cell in grid.cells if cell.state is CellState.MISSING]
        if not missing or not facts.case.reading or all(cell.state in UNREAD for cell in grid.cells):
            continue
        if facts.unread.any(ref for ref, _ in facts.case.sheets_of(grid.test)):
            # What stands in the way of reading a sheet is told there; what it holds is not known.
            continue
        shown: list[str] = []
        for cell in missing[:MOST]:
            words = ", ".join(f"{name} {value}" for name, value in cell.conditions)
            if shown and sum(map(len, shown)) + len(words) > WIDTH:
                break
            shown.append(words)
        more = f"; and {len(missing) - len(shown)} more" if len(missing) > len(shown) else ""
        yield facts.problem(
            ENTRY,
            f"P-{grid.test}",
            "coverage",
            found=f"{len(missing)} of {len(grid.cells)} combinations of {grid.test} were not measured "
            f"({'; '.join(shown)}{more})",
            needed="each combination of the plan, or the reason why it could not be had, is needed",
        )
