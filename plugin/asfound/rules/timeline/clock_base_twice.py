"""At most one clock of a case is the base on which all times are told.

Fails: `base: yes` on K-1 and on K-3.
Passes: on one of them, or on none.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids

ENTRY = Entry(
    name="clock-base-twice",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="At most one clock of a case is the base on which all times are told.",
    reason="Two bases give every event two times.",
    source="common practice, no source",
    status="common practice",
    mend="Keep base: yes on the facility's reference clock alone.",
    rows=("R89",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem at the second."""
    bases = [ref for ref, clock in facts.case.clocks.items() if clock.base]
    if len(bases) > 1:
        yield facts.problem(
            ENTRY,
            bases[1],
            "base",
            found=f"{ids(bases)} are each marked as the base",
            needed="one base, or none, is needed",
        )
