"""Where the clock is the manufacturer's, the case says when the manufacturer was informed and which limit applies.

Fails: a case in the European Union with no record of the duty; one without `class` or `manufacturer_informed_at`.
Passes: both stand in the record.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="manufacturer-clock-not-set",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Where the clock is the manufacturer's, the case says when it was informed and which time limit applies.",
    reason="The limits are 15, 10 and 2 days, and sources that swap them circulate; the choice is written down.",
    source="Regulation (EU) 2017/745, article 87(3), (4) and (5)",
    status="confirmed",
    mend="Add class and manufacturer_informed_at to the record in duties.yml.",
    rows=("R112",),
    private=True,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a duty."""
    for line in facts.duties.lines:
        if line.ours:
            continue
        records = [facts.case.duties[ref] for ref in line.records]
        if not records:
            yield facts.problem(
                ENTRY, "case.yml", "jurisdiction",
                found=f'no record in duties.yml speaks of "{line.kind}", whose clock is that of {line.owed_by}',
                needed="when it was informed, and the class of the time limit, are needed",
            )  # fmt: skip
            continue
        lacking = [] if line.word else ["the class of the time limit"]
        if line.start is None:
            lacking.append("when the manufacturer was informed")
        if lacking:
            words = ", ".join(f'"{one.word}"' for one in line.alternatives)
            choice = f" (class: {words})" if not line.word else ""
            yield facts.problem(
                ENTRY, line.records[-1], "duty",
                found=f'the record of "{line.kind}" does not say {" nor ".join(lacking)}',
                needed=f"both start and choose the manufacturer's clock{choice}",
            )  # fmt: skip
