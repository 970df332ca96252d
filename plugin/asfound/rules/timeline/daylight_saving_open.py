"""A change for daylight saving between what was read off a clock and its comparison is accounted for.

Fails: a clock of `zone: America/Chicago` read on 7 March, compared on the 12th, with `daylight_saving` blank; a time in
the hour that never came; a time whose offset the clock's zone did not have; an offset of about an hour across a change.
Passes: the same with `daylight_saving: Changes by itself.`, or `zone: "-06:00"` for a clock that was not set forward.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.measure import show_date
from asfound.model.facts import Facts
from asfound.model.placing import Change, ClockState, Hour
from asfound.model.testimony import Clock, TimelineRow
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids
from asfound.rules.timeline._events import by_clock, unread

_NEAR_AN_HOUR = 600.0
"""Seconds by which an offset may miss a whole hour and still look like one that nobody set."""

ENTRY = Entry(
    name="daylight-saving-open",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A change for daylight saving between what was read off a clock and its comparison is accounted for.",
    reason="A clock that nobody set forward is an hour wrong on one side of that night and right on the other.",
    source="Pennsylvania Patient Safety Advisory 2012;9(4):143-144; IANA time zone database",
    status="confirmed",
    mend="Write under daylight_saving how it changes; give a clock that stays on standard time its offset as its zone, "
    "and one that was set by hand was_set.",
    rows=("R92",),
)
_SAID = {
    Hour.UNKNOWN_ZONE: "the zone is no name of the zone data and no offset",
    Hour.OTHER: "the offset written is not the one its clock's zone had then",
    Hour.TWICE: "that hour came twice that night, and nothing says which it was",
    Hour.NEVER: "that hour never came in its clock's zone",
}


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a clock for its changes, one for an hour that looks unset, one for all times that do not fit."""
    if unread(facts):
        return
    for ref, rows in by_clock(facts).items():
        state, clock = facts.placing.state(ref), facts.case.clocks[ref]
        if state is None:
            continue
        yield from _changes(facts, ref, clock, state)
        yield from _hours(facts, ref, clock, rows)


def _changes(facts: Facts, ref: str, clock: Clock, state: ClockState) -> Iterator[Problem]:
    if not state.changes or clock.was_set:
        return
    when = " and ".join(show_date(change.at.at.date()) for change in state.changes[:2])
    if clock.daylight_saving is None:
        yield facts.problem(
            ENTRY,
            ref,
            found=f"the zone changed its offset on {when}, between its comparisons and what was read off it",
            needed="whether and how it changes is needed under daylight_saving",
        )
    for piece in state.pieces:
        if piece.offset is not None and any(_an_hour(piece.offset, change) for change in state.changes):
            yield facts.problem(
                ENTRY,
                ref,
                "comparisons",
                found=f"it was about an hour off, and the zone changed its offset on {when}",
                needed="whether it was ever set for that change is needed",
            )


def _an_hour(offset: float, change: Change) -> bool:
    return abs(abs(offset) - abs(change.by)) < _NEAR_AN_HOUR


def _hours(facts: Facts, ref: str, clock: Clock, rows: list[TimelineRow]) -> Iterator[Problem]:
    for hour, said in _SAID.items():
        here = [row for row in rows if (one := facts.placing.placed(row.id)) is not None and one.hour is hour]
        if not here or (hour is Hour.TWICE and clock.daylight_saving is not None):
            continue
        if hour is Hour.UNKNOWN_ZONE:
            found = f'"{clock.zone}" is no zone: {said}'
            yield facts.problem(ENTRY, ref, "zone", found=found, needed="America/Chicago or -06:00, say, is needed")
            continue
        yield facts.problem(
            ENTRY,
            here[0].id,
            "at",
            found=f"{ids(row.id for row in here)}: {said} ({clock.zone})",
            needed="the time as the clock showed it, with the offset it was on, is needed",
        )
