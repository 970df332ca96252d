"""The file of an event is kept as long as it must be.

Fails: an event of 2 March 2026 in the United States, and `keep_until: 2028-03-01`.
Passes: `keep_until: 2028-03-02`; no date, where the page says what the shortest is.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="duty-file-kept-too-short",
    family=Family.INTEGRITY,
    level=Level.WARN,
    title="The file of an event is kept at least as long as the rule on reporting asks.",
    reason="The time runs from the event, not from the report; whoever counts from the wrong one errs.",
    source="21 CFR 803.18(c)",
    status="confirmed",
    mend="Write a later date under keep_until. Counsel may ask for longer.",
    rows=("R111",),
    private=True,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a record."""
    kept = facts.duties.kept
    if kept is None:
        return
    for ref, duty in facts.case.duties.items():
        if duty.keep_until is not None and duty.keep_until < kept.until:
            years = "1 year" if kept.years == 1 else f"{kept.years} years"
            yield facts.problem(
                ENTRY, ref, "keep_until",
                found=f"the file is to be kept until {duty.keep_until.isoformat()}",
                needed=f"until {kept.until.isoformat()} is needed: {years} from the event ({kept.source})",
            )  # fmt: skip
