"""A row that was laid ready on a sheet was taken, or says why not.

Fails: rows 1 to 3 of a sheet hold values, row 4 holds none.
Passes: the same with `not measured: the battery was empty` in row 4, or with a reason under `void`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named

ENTRY = Entry(
    name="row-not-taken",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Each row that was laid ready on a sheet holds a value, or the reason why it holds none.",
    reason="An empty cell does not say whether nobody measured, or whether what was seen was not written down.",
    source="ISO/IEC 17025:2017, 7.5.1 (original observations, recorded when they are made)",
    status="from memory",
    mend="Take the reading, or write not measured, or not obtainable, a colon and the reason into its cell.",
    rows=("R43",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet of readings. A sheet on which no value stands yet is told with its planned test."""
    for name, table in facts.case.readings.items():
        if name not in facts.case.sheets or not table.rows or not table.waiting:
            continue
        refs = [row.id for row in table.waiting]
        timed = [row.id for row in table.waiting if row.at is not None]
        hold = "holds" if len(refs) == 1 else "hold"
        said = (
            f", though {'a time stands' if len(timed) == 1 else 'times stand'} beside {named(timed)}" if timed else ""
        )
        yield facts.problem(
            ENTRY,
            (timed or refs)[0],
            found=f"{named(refs)} {hold} no value{said}",
            needed="a value, or the reason why there is none, is needed",
        )
