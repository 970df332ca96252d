"""A finding rests on records that stand.

Fails: `rests_on: []`; or a finding that rests on a reading which was declared void.
Passes: a finding that rests on a standing reading, a photograph, an inspection row, a statement or a log.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="finding-without-source",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every finding rests on records, none of them void.",
    reason="A fact without its source is a claim.",
    source="ASTM E678-07(2013), 3.1",
    status="confirmed",
    mend="List the readings, photographs, inspection rows, statements or logs it rests on.",
    rows=("R72",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """Findings that rest on nothing, and each void reading that one rests on."""
    for ref, finding in facts.case.findings.items():
        if not finding.rests_on:
            yield facts.problem(
                ENTRY,
                ref,
                "rests_on",
                about="",
                found=f"the finding {ref} rests on no record",
                needed="its source is needed",
            )
        for number, source in enumerate(finding.rests_on):
            row = facts.case.reading.get(source)
            if row is not None and row.void:
                yield facts.problem(
                    ENTRY,
                    ref,
                    "rests_on",
                    number,
                    about=source,
                    found=f"the finding {ref} rests on {source}, which is void: {row.void}",
                    needed="a reading that stands is needed",
                    mend="Rest the finding on the repeated reading; the void one stays in the table and may be named.",
                )
