"""What was measured as received was not repaired, changed or maintained between the event and the reading.

Fails: a repair of 3 June in the service history of I-1, and a sheet of 4 June that says `moment: received`.
Passes: the same sheet as `moment: after adjustment`; maintenance from before the event; a search for recalls.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.things import ServiceNote
from asfound.model.work import SheetMoment
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids
from asfound.rules.order._gates import subjects

ENTRY = Entry(
    name="repaired-before-as-found",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="What is offered as measured as found was not worked on since the event.",
    reason="A reading after a repair tells how well the repair went, and nothing about the event.",
    source="ISO/IEC 17025:2017, 7.8.4 (results before and after an adjustment); ASTM E860-22, 4.1",
    status="from memory",
    mend="Say moment: after adjustment on the sheets, and record what was done as a step in gates.yml; or correct the "
    "day or the things of the service entry from its paper.",
    rows=("R40", "R41"),
)

_LOOKED_UP = ("recall", "search", "notice", "record")
"""Kinds of entries of a service history that change nothing."""


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an entry. On the day of the event itself it may have come before it: then it is a warning."""
    event = facts.case.head.event.told_at.at.date()
    for ref, field, what, on, items in _work(facts, event):
        sheets = [
            name
            for name, sheet in facts.case.sheets.items()
            if sheet.moment is not SheetMoment.AFTER_ADJUSTMENT
            and on <= sheet.from_.at.date()
            and set(items).intersection(subjects(facts, sheet))
            and facts.case.standing(name)
        ]
        if sheets:
            since = "on the day of the event" if on == event else "since the event"
            yield facts.problem(
                ENTRY,
                ref,
                field,
                found=f"{ref} tells of {what} on {on}, {since}, and {ids(sheets, 3)} of it "
                f"{'are' if sheets[1:] else 'is'} said not to be after it",
                needed="the state it was truly in is needed",
                level=Level.WARN if on == event else None,
            )


def _work(facts: Facts, event: dt.date) -> Iterator[tuple[str, str, str, dt.date, tuple[str, ...]]]:
    """What was done to things since the day of the event: where it stands, in a word, its day and its things."""
    for ref, entry in facts.case.service.items():
        if entry.on is not None and entry.on >= event and not any(word in entry.kind.casefold() for word in _LOOKED_UP):
            yield ref, "on", entry.kind, entry.on, entry.items
    for ref, item in facts.case.items.items():
        last = item.last_maintenance
        if isinstance(last, ServiceNote) and last.on is not None and last.on >= event:
            yield ref, "last_maintenance", "maintenance", last.on, (ref,)
