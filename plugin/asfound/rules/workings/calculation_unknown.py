"""A calculation is one that is known here, by its name.

Fails: `calculation: thermal-doze`.
Passes: `calculation: thermal-dose`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.worked import Lack
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.workings._faults import told

ENTRY = Entry(
    name="calculation-unknown",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A calculation is one that is known here, by its name.",
    reason="A figure whose way of computing nobody can look up is a figure nobody can check.",
    source="ISO/IEC 17025:2017, 7.2.1 (methods) and 7.11 (control of data), from memory",
    status="from memory",
    mend="Write its name as `asfound calc` lists it.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a fault."""
    yield from told(facts, ENTRY, Lack.NO_SUCH)
