"""An event of the timeline does not lie after the account that tells it, nor after the date of the check.

Its time on the base counts, with all of its doubt in its favour.

Fails: an event on the 9th, told in a statement taken on the 8th; an event of next month.
Passes: an event whose earliest time lies before both, however late it may have been.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.timeline._events import unread

ENTRY = Entry(
    name="event-out-of-time",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="An event of the timeline does not lie after the account that tells it, nor after the date of the check.",
    reason="Nobody tells what has not happened yet; such a time was copied wrongly, or its clock is not what it seems.",
    source="common practice, no source",
    status="common practice",
    mend="Compare with the paper: the date, the offset from UTC, and the sign of the clock's offset.",
    rows=("R11", "R93"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an event, at the first thing it contradicts."""
    if unread(facts):
        return
    for row in facts.case.timeline:
        one = facts.placing.placed(row.id)
        if one is None or one.earliest is None:
            continue
        early = one.earliest
        told = [
            (ref, facts.case.statements[ref].taken_at)
            for ref in row.source
            if ref in facts.case.statements and facts.case.statements[ref].taken_at < early
        ]
        if early.at.date() > facts.on:
            found = f"it happened no earlier than {early.text}, after {facts.on}, the date of this check"
        elif told:
            found = f"it happened no earlier than {early.text}, after {told[0][0]} tells it at {told[0][1].text}"
        else:
            continue
        yield facts.problem(ENTRY, row.id, "at", found=found, needed="a time that has come is needed")
