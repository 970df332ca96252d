"""A leakage current is recorded with its method, the state of the earth, the polarity and the measuring device.

Fails: a sheet of `equipment-leakage` that does not say by which method it was read.
Passes: `method: direct` among the constants; `earth` and `polarity` as columns. 800 µA passes by the alternative
method and fails by the direct one, so a reading without its method is no reading.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Level, Problem
from asfound.problems import Family as EntryFamily
from asfound.rules._conditions import Family, speak

ENTRY = Entry(
    name="leakage-condition-missing",
    family=EntryFamily.COMPLETENESS,
    level=Level.REJECT,
    title="A leakage current is recorded with method, earth, polarity and measuring device.",
    reason="The same device shows very different currents under each of them, and the limits differ with them.",
    source="IEC 62353:2014, 5.3.4; IEC 60601-1, 8.7; NFPA 99, chapter 10",
    status="from memory",
    mend="Add a column for what varies, or write it below the sheet's constants where it is the same in every row.",
    rows=("R55",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """Sheets of leakage tests at mains frequency."""
    yield from speak(facts, ENTRY, Family.LEAKAGE)
