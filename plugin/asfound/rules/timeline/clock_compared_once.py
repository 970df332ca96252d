"""A clock that was compared once, more than seven days from what was read off it, says what is known of its drift.

Fails: K-2 compared on the 20th alone, its events on the 2nd, and neither `drift_note` nor `drift_per_day`.
Passes: the same with a second comparison on another day; or with the maker's figure under `drift_note`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.measure import show_number
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids
from asfound.rules.timeline._events import by_clock, unread

DAYS = 7
"""Beyond this the row asks for a note."""

ENTRY = Entry(
    name="clock-compared-once",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A clock that was compared once, more than seven days off, says what is known of its drift.",
    reason="One comparison says where a clock stood that day. Where it stood a fortnight before depends on its drift.",
    source="common practice, no source",
    status="common practice",
    mend="Compare it again on another day, or write under drift_note (and drift_per_day) what is known of its drift.",
    rows=("R90",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a clock."""
    if unread(facts):
        return
    for ref, rows in by_clock(facts).items():
        clock = facts.case.clocks[ref]
        if len(clock.comparisons) != 1 or clock.drift_note is not None or clock.drift_per_day is not None:
            continue
        at = clock.comparisons[0].at.at
        far = {row.id: abs((row.at.at - at).total_seconds()) / 86_400 for row in rows}
        late = [event for event, days in far.items() if days > DAYS]
        if not late:
            continue
        most = max(far.values())
        allowed = show_number(facts.settings.drift_seconds_per_day)
        yield facts.problem(
            ENTRY,
            ref,
            "comparisons",
            0,
            found=f"it was compared once, up to {most:.0f} days from {ids(late)}",
            needed=f"a second one or a note on its drift is needed; our allowance without is {allowed} s a day",
        )
