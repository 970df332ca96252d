"""An edition that follows another says why it was made, and what changed.

Fails: edition 2 without a reason.
Passes: edition 2 with `reason` "the second analyser's certificate was withdrawn"; the first edition of all.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.editions._place import place

ENTRY = Entry(
    name="amendment-without-reason",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Every edition after the first says why it was made and what changed since the one before.",
    reason="A reader who holds both must not have to guess which words moved, or what moved them.",
    source="ISO/IEC 17025:2017, 7.8.8.1 to 7.8.8.3",
    status="from memory",
    mend="An edition cannot be mended: issue the next one with its reason, and say in it what this one left out.",
    rows=("R103",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for each edition after the first that does not say why, or what changed."""
    for one in facts.editions.found:
        record = one.record
        if record is None or one.number == 1:
            continue
        missing = [] if record.reason.strip() else ["no reason"]
        missing += [] if record.changes else ["no change"]
        if missing:
            yield facts.problem(
                ENTRY,
                place(facts, one.number),
                found=f"edition {one.number} names {' and '.join(missing)}",
                needed="the reason for it and what changed are needed",
            )
