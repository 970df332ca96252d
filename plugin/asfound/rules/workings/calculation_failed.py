"""A calculation that stands in a case can be carried out.

Fails: an exposure of 0 s.
Passes: an exposure above 0 s.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.worked import Lack
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.workings._faults import told

ENTRY = Entry(
    name="calculation-failed",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A calculation that stands in a case can be carried out.",
    reason="What cannot be computed and stands there all the same will be read as computed.",
    source="ISO/IEC 17025:2017, 7.11.6 (calculations checked), from memory",
    status="from memory",
    mend="Mend the inputs, or take the calculation out and say under not_computable why.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a fault."""
    yield from told(facts, ENTRY, Lack.FAILED)
