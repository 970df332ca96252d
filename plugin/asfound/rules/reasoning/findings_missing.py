"""A case that was examined has findings.

Fails: sheets and an inspection on record, and no findings.yml.
Passes: at least one finding.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="findings-missing",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="What was found is written down as findings.",
    reason="Readings and photographs do not speak; a conclusion that skips the facts cannot be checked.",
    source="ASTM E678-07(2013), 3.1; ISO/IEC 17025:2017, 7.8.2.1 m",
    status="confirmed",
    mend="Write findings.yml: one fact each, with the records it rests on.",
    rows=("R72",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem where there is no finding at all."""
    broken = facts.case.some_unread("F")
    if not facts.case.findings and not broken:
        yield facts.problem(
            ENTRY, "findings.yml", found="no finding is on record", needed="the facts that were found are needed"
        )
