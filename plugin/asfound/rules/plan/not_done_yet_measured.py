"""A planned test that is said not to have been done has no readings that stand.

Fails: `not_done: no time` below a test whose sheet holds six readings.
Passes: the same where every row is void with its reason; a test without a sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids
from asfound.rules._work import answered

ENTRY = Entry(
    name="not-done-yet-measured",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A planned test that is said not to have been done has no readings.",
    reason="A test that was done and is called undone looks like a result that was not wanted.",
    source="ISO/IEC 17025:2017, 7.5.1 and 7.8.2.1 n",
    status="from memory",
    mend="Take not_done away; where rows do not count, say so on each row under void, where cells could not be had, "
    "under not_obtainable.",
    rows=("R43",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a planned test."""
    plan = facts.case.plan
    for name, planned in (plan.tests if plan is not None else {}).items():
        if planned.not_done is None:
            continue
        sheets = [sheet for sheet, _ in facts.case.sheets_of(name)]
        rows = [row.id for sheet in sheets for row in answered(facts.case.standing(sheet))]
        if rows:
            yield facts.problem(
                ENTRY,
                f"P-{name}",
                "not_done",
                found=f"{name} is said not to have been done, and {ids(rows, 3)} {'stand' if rows[1:] else 'stands'}",
                needed="one or the other is needed",
            )
