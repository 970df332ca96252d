"""Every condition that a test depends on is on record.

Fails: a sheet of `contact-monitor` with neither a column nor a constant `direction`.
Passes: `direction` as a column of the readings, or among the sheet's constants.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Level, Problem
from asfound.problems import Family as EntryFamily
from asfound.rules._conditions import Family, speak

ENTRY = Entry(
    name="condition-missing",
    family=EntryFamily.COMPLETENESS,
    level=Level.REJECT,
    title="Every condition that a test depends on is recorded.",
    reason="A number whose conditions are not known can be neither judged nor repeated.",
    source="ISO/IEC 17025:2017, 7.8.3.1 a (test conditions)",
    status="from memory",
    mend="Add a column for what varies, or write it below the sheet's constants where it is the same in every row.",
    rows=("R53",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """Tests that have no rule of their own for this."""
    yield from speak(facts, ENTRY, Family.OTHER)
