"""A verdict on a limit that nobody has held against a bought copy says so.

Fails: readings are held against a limit whose status is *from memory*; the report prints a note for it.
Passes: the organisation's overlay gives the limit `status: confirmed`, with who held it against a copy and when.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.limits import SourceStatus
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import JUDGED

ENTRY = Entry(
    name="limit-unconfirmed",
    family=Family.COMPLETENESS,
    level=Level.NOTE,
    title="A verdict on a limit that was not held against the document itself says so.",
    reason="The reader must know which figures rest on the document and which on somebody's memory of it.",
    source="ISO/IEC 17025:2017, 7.8.6.2 b",
    status="confirmed",
    mend="Hold the limit against a bought copy, and enter who did so and when in an overlay under .asfound/limits/.",
    rows=("R65",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One note a limit, at the plan's choice of its set."""
    plan = facts.case.plan
    if plan is None:
        return
    counts: dict[str, int] = {}
    limits = {}
    for verdict in facts.verdicts:
        limit = verdict.limit
        if limit is not None and verdict.outcome in JUDGED and limit.status is not SourceStatus.CONFIRMED:
            counts[limit.id] = counts.get(limit.id, 0) + 1
            limits[limit.id] = limit
    for name in sorted(counts):
        limit, count = limits[name], counts[name]
        custom = limit.status is SourceStatus.COMMON_PRACTICE
        chosen = plan.limit_sets.index(limit.set) if limit.set in plan.limit_sets else 0
        yield facts.problem(
            ENTRY,
            "plan.yml",
            "limit_sets",
            chosen,
            about=name,
            found=f"{count} {'verdict rests' if count == 1 else 'verdicts rest'} on {name} ({limit.status})",
            needed="a published limit is needed for an unqualified verdict"
            if custom
            else "a limit that was held against the document is needed for an unqualified verdict",
            mend="Name the custom in the finding as custom; a maker's stated value would make it a requirement."
            if custom
            else "",
        )
