"""What was done after the event is not dated before it.

The event has the time somebody told, by a clock that may be wrong by tens of minutes: within an hour it is a warning.

Fails: things collected, or a gate passed, on the morning before the event; a picture offered as found from before it.
Passes: the same after it; an exemplar that lay in a store all along.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.things import CustodyKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.evidence._pictures import PICTURES, clock_error, written_time

ENTRY = Entry(
    name="before-the-event",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="What was done after the event is not dated before it.",
    reason="What was put away, or pictured as found, before the event tells nothing of how the event left it.",
    source="common practice, no source; Pa Patient Saf Advis 2012;9(4):143-4 (mean clock error 24 min)",
    status="common practice",
    mend="Compare the clock by which the event was told with the one of this time; correct what was copied wrongly, "
    "and look at the offset from UTC first.",
    rows=("R11", "R29"),
)

_CLOCKS = dt.timedelta(hours=1)
"""By how much the clock of a ward and the one of whoever took care of things may differ."""


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a gate, a hand-over or a picture."""
    event = facts.case.head.event.told_at
    for ref, gate in facts.case.gates.gates.items():
        if gate.at < event:
            yield _problem(facts, ref, "at", f'"{gate.gate}" was passed at {gate.at.text}', event.at - gate.at.at)
    for line in facts.case.custody:
        at = line.received_at or line.released_at
        there = [ref for ref in line.items if ref in facts.case.items and facts.case.items[ref].in_use_at_event]
        if there and line.kind is not CustodyKind.BEFORE_CUSTODY and at is not None and at < event:
            field = "received_at" if line.received_at is not None else "released_at"
            yield _problem(facts, line.id, field, f"things of the event changed hands at {at.text}", event.at - at.at)
    for ref, evidence in facts.case.evidence.items():
        if not evidence.as_found or evidence.kind not in PICTURES:
            continue
        taken = written_time(facts, evidence) or (evidence.taken_at.at if evidence.taken_at is not None else None)
        if taken is None:
            continue
        error, doubt = clock_error(facts, ref)
        early = event.at - (taken - error + doubt)
        if early > dt.timedelta():
            shown = taken.isoformat(sep=" ", timespec="minutes")
            yield _problem(facts, ref, "as_found", f"offered as found, but taken at {shown[:-6]} {shown[-6:]}", early)


def _problem(facts: Facts, ref: str, field: str, found: str, early: dt.timedelta) -> Problem:
    return facts.problem(
        ENTRY,
        ref,
        field,
        found=f"{found}, before the event as told, {facts.case.head.event.told_at.text}",
        needed="a time after the event is needed",
        level=Level.WARN if early <= _CLOCKS else None,
    )
