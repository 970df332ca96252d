"""A verdict on a limit that nobody has held against a bought copy says so.

Fails: readings are held against a limit whose status is *from memory*; the report prints a note for it.
Passes: the organisation's overlay gives the limit `status: confirmed`, with who held it against a copy and when.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.limits import Bound, Greatest, Limit, Percent, SourceStatus, Sum
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
        known = (facts.limits or {}).get(name)
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
            mend=_of_custom(known) if custom and known is not None else "",
        )


def _of_custom(limit: Limit) -> str:
    """How a verdict by custom is worded, and what would take the custom's place."""
    if limit.around == "stated" or any(_stated(one) for one in (limit.bound, limit.low, limit.high)):
        return (
            "Say in the finding that the figure is the one the maker states, and that holding it to that is custom; "
            "where the maker's text asks for it, enter it as a limit of kind maker under .asfound/limits/."
        )
    if "stated value" in limit.gives_way_to:
        return "Name the custom in the finding as custom; a value the maker states would take its place."
    return (
        "Name the custom in the finding as custom; where the maker's text asks for it, enter it as a limit of kind "
        "maker under .asfound/limits/."
    )


def _stated(bound: Bound | None) -> bool:
    if isinstance(bound, Greatest):
        return any(_stated(one) for one in bound.among)
    if isinstance(bound, Sum):
        return any(_stated(one) for one in bound.terms)
    return isinstance(bound, Percent) and bound.of == "stated"
