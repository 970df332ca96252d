"""A high-frequency output or leakage is recorded with load, mode, setting and the leads fitted.

Fails: a sheet of `output-power` without the load.
Passes: `load: 300 Ω` among the constants; mode and setting as columns.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Level, Problem
from asfound.problems import Family as EntryFamily
from asfound.rules._conditions import Family, speak

ENTRY = Entry(
    name="hf-condition-missing",
    family=EntryFamily.COMPLETENESS,
    level=Level.REJECT,
    title="A high-frequency output or leakage is recorded with load, mode, setting and leads.",
    reason="Output depends on the load and leakage on the leads; the maker's curve is read at one load and mode.",
    source="IEC 60601-2-2, tests of output and of high-frequency leakage",
    status="from memory",
    mend="Add a column for what varies, or write it below the sheet's constants where it is the same in every row.",
    rows=("R57",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """Sheets of high-frequency tests."""
    yield from speak(facts, ENTRY, Family.HIGH_FREQUENCY)
