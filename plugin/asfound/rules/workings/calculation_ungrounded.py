"""Every figure that goes into a calculation comes from a record, or says why it is taken.

Fails: `time: {value: 130 min}`.
Passes: `time: {value: 130 min, doubt: 10 min, from: [W-1]}`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.worked import Lack
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.workings._faults import told

ENTRY = Entry(
    name="calculation-ungrounded",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every figure that goes into a calculation comes from a record, or says why it is taken.",
    reason="An answer is worth what goes into it, and an assumption that nobody owns up to cannot be asked about.",
    source="Fed. R. Evid. 702(b) (sufficient facts or data), confirmed; JCGM 100:2008, 4.3, from memory",
    status="from memory",
    mend="Write from: [ids], or why: with the reason.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a fault."""
    yield from told(facts, ENTRY, Lack.GROUND)
