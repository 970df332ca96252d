"""A case that is marked public shows no date finer than the year and no serial number.

Fails: `confidentiality: public` in a case whose event has a date, as every case's has.
Passes: any other confidentiality; what is handed to the public is the redacted edition, a pack of its own.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.event import Confidentiality
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named

ENTRY = Entry(
    name="public-identifies",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="What is public holds no date finer than the year and no serial number of a device.",
    reason="A date and a serial number lead back to one patient in one room, whatever else is left out.",
    source="45 CFR 164.514(b)(2)",
    status="confirmed",
    mend="Take another confidentiality, and hand out the redacted edition: asfound pack CASE --redacted.",
    rows=("R98",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem, with what stands in the way."""
    case = facts.case
    if case.head.confidentiality is not Confidentiality.PUBLIC:
        return
    serials = [ref for ref, item in case.items.items() if isinstance(item.serial, str)]
    found = "the case is public, and holds the date of the event"
    if serials:
        found += f" and the serial number{'' if len(serials) == 1 else 's'} of {named(serials, 3)}"
    yield facts.problem(
        ENTRY,
        "case.yml",
        "confidentiality",
        found=found,
        needed="a redacted edition is needed for the public, not the case itself",
    )
