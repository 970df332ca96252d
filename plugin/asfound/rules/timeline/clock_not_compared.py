"""A clock of the timeline was set beside another, so that its error is known.

A reject where the case leans on an event read off it: then the order of events matters. Where nobody cites such an
event, or `not_compared` says why it could not be done, a warning.

Fails: an event on `K-9`, a clock without `comparisons`, and F-2 cites the event.
Passes: one comparison of K-9, with its offset and doubt.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.base import told
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, short, was
from asfound.rules.timeline._events import by_clock, leaned_on, unread

ENTRY = Entry(
    name="clock-not-compared",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A clock of the timeline was set beside another, so that its error is known.",
    reason="In a survey of 1,700 devices the clocks were 24 minutes off on average: enough to turn an order round.",
    source="Pennsylvania Patient Safety Advisory 2012;9(4):143-144; NIST SP 800-61",
    status="confirmed",
    mend="Set it beside network time and add what both showed under comparisons; or say why under not_compared.",
    rows=("R89",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a clock."""
    if unread(facts):
        return
    matters = leaned_on(facts)
    for ref, rows in by_clock(facts).items():
        state, clock = facts.placing.state(ref), facts.case.clocks[ref]
        if state is None or state.known or clock.base:
            continue
        here = [row.id for row in rows if row.id in matters]
        events = ids(row.id for row in rows)
        why = f" ({short(told(clock.not_compared))})" if clock.not_compared is not None else ""
        so = f", and the case cites {ids(here)}" if here else ""
        how = "was compared only with clocks nobody knows" if clock.comparisons else "was not compared with another"
        light = not here or clock.not_compared is not None
        yield facts.problem(
            ENTRY,
            ref,
            found=f"the clock of {events} {how}{why}{so}",
            needed="its measured offset is needed" + ("" if not here else f" where {ids(here)} {was(here)} leaned on"),
            level=Level.WARN if light else None,
        )
