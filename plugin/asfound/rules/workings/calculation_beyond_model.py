"""A calculation is said to reach no more than it models.

Fails: `reaches: [user-error]` on a dose of heat.
Passes: a narrower list than the calculation's own.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.worked import Lack
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.workings._faults import told

ENTRY = Entry(
    name="calculation-beyond-model",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A calculation is said to reach no more than it models.",
    reason="A model of heat says nothing of who set the heat.",
    source="Fed. R. Evid. 702(d) (reliable application to the facts), confirmed",
    status="confirmed",
    mend="Take the topic out; what the calculation models is in its description.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a fault."""
    yield from told(facts, ENTRY, Lack.REACH)
