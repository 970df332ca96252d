"""What goes into a calculation is there, in the right quantity, and a number where one is needed.

Fails: a temperature given as `130 min`.
Passes: a reading in another unit of the same quantity, which is converted.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.worked import Lack
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.workings._faults import told

ENTRY = Entry(
    name="calculation-input-unfit",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="What goes into a calculation is there, in the right quantity, and a number where one is needed.",
    reason="A figure in another unit, or *not measured* taken for zero, gives a result that looks like any other.",
    source="ISO/IEC 17025:2017, 7.11.6 (calculations checked), from memory",
    status="from memory",
    mend="`asfound calc NAME` says what each calculation needs, and in which unit.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a fault."""
    yield from told(facts, ENTRY, Lack.INPUT)
