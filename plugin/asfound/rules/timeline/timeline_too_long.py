"""A timeline has at most a thousand events; what lies beyond is not brought to one base.

Fails: the record of a device copied into timeline.csv, row by row.
Passes: its rows as readings, and those that matter in the timeline.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.placing import MOST_EVENTS
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="timeline-too-long",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A timeline has at most a thousand events.",
    reason="Each event is held against each other for its order; a list nobody can read orders nothing.",
    source="common practice, no source",
    status="ours",
    mend="Leave in timeline.csv the events that matter; the record of a device belongs among the readings.",
    rows=("R89",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem at the first row beyond."""
    rows = facts.case.timeline
    if len(rows) > MOST_EVENTS:
        yield facts.problem(
            ENTRY,
            rows[MOST_EVENTS].id,
            found=f"the timeline has {len(rows)} events, and those from here on are given no place",
            needed=f"at most {MOST_EVENTS} are needed",
        )
