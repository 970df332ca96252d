"""The rows a calculation needs are there: a sheet's readings, or the columns of a series.

Fails: `rows` of a sheet whose readings are words.
Passes: a sheet of numbers with each column named.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.worked import Lack
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.workings._faults import told

ENTRY = Entry(
    name="calculation-rows-unfit",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="The rows a calculation needs are there: a sheet's readings, or the columns of a series.",
    reason="A calculation over rows that are not those meant answers another question.",
    source="ISO/IEC 17025:2017, 7.11.6 (calculations checked), from memory",
    status="from memory",
    mend="Name the sheet under rows or the file under series, and its columns where they bear other names.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a fault."""
    yield from told(facts, ENTRY, Lack.ROWS)
