"""A log says by which way and key presses it was exported, and with which software.

Fails: `kind: log` without `exported_how`, or without `software`.
Passes: both stand there; `software: {not_recorded: the display was dark}` is an answer.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.testimony import EvidenceKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed

ENTRY = Entry(
    name="log-provenance-missing",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A log says by which way and key presses it was exported, and with which software.",
    reason="A log that nobody can export again in the same way is a claim about a log.",
    source="ISO/IEC 27037:2012; ISO/IEC 17025:2017, 6.4.13 a (identity of software)",
    status="secondary",
    mend="Add exported_how (connection, keys in order, program) and software (device and program, with versions).",
    rows=("R31",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a log."""
    for ref, evidence in facts.case.evidence.items():
        if evidence.kind is not EvidenceKind.LOG or evidence.derived_from is not None:
            continue
        missing = [
            words
            for words, value in (
                ("by which way and key presses it was exported", evidence.exported_how),
                ("with which software", evidence.software),
            )
            if value is None
        ]
        if missing:
            yield facts.problem(
                ENTRY,
                ref,
                found=f"nothing says {listed(missing)}",
                needed="both are needed, so that the export can be repeated",
            )
