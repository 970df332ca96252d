"""Rival explanations are written down: enough of them, and from each side the event could have come from.

Fails: two explanations, both of the device, for a skin lesion.
Passes: device, use, room or other device, and patient or not-a-device; a line set aside with `not_in_play` and the
reason counts for its side.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.event import EventKind, Harmed
from asfound.model.facts import Facts
from asfound.model.reasoning import Line
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import stands

ENTRY = Entry(
    name="too-few-explanations",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Rival explanations are on record from the device, its use, the room and the person harmed.",
    reason="An explanation is as strong as the rivals it was tried against.",
    source="NFPA 921-2014, 4.3.6; J Med Eng 2014, article 314138; the number is a setting of ours",
    status="secondary",
    mend="Add an explanation of each line that is missing, or one with not_in_play and the reason it was set aside.",
    rows=("R74",),
)

DEVICE = ("device", frozenset({Line.DEVICE, Line.ACCESSORY}))
USE = ("use or set-up", frozenset({Line.USE, Line.SET_UP}))
ROOM = ("room, supply or another device", frozenset({Line.ROOM, Line.OTHER_DEVICE}))
PATIENT = ("patient, or not made by a device", frozenset({Line.PATIENT, Line.NOT_DEVICE}))

WITHOUT_PATIENT = frozenset({EventKind.ALARM_MISSED, EventKind.FIRE, EventKind.MECHANICAL})
"""Kinds of event in which the person harmed is not asked for as a rival cause."""


def check(facts: Facts) -> Iterator[Problem]:
    """One problem where there are none; else one for their number and one for the sides that are missing."""
    every, file = facts.case.explanations, "explanations.yml"
    if not every:
        if not stands(facts, file):
            yield facts.problem(
                ENTRY,
                file,
                found="no explanation is on record",
                needed=f"at least {facts.settings.explanations_wanted} rival explanations are needed",
            )
        return
    broken = facts.case.some_unread("X")
    if len(every) < facts.settings.explanations_wanted and not broken:
        yield facts.problem(
            ENTRY,
            file,
            found=f"{len(every)} {'explanation is' if len(every) == 1 else 'explanations are'} on record",
            needed=f"at least {facts.settings.explanations_wanted} rival explanations are needed",
        )
    lines = {one.line for one in every.values()}
    missing = [name for name, members in _wanted(facts) if not members & lines]
    if missing and not broken:
        yield facts.problem(
            ENTRY,
            file,
            found=f"no explanation looks to: {'; '.join(missing)}",
            needed="an explanation, or a line set aside with its reason, is needed for each",
        )


def _wanted(facts: Facts) -> tuple[tuple[str, frozenset[Line]], ...]:
    head = facts.case.head
    if head.event.kind in WITHOUT_PATIENT or head.harmed is Harmed.NONE:
        return (DEVICE, USE, ROOM)
    return (DEVICE, USE, ROOM, PATIENT)
