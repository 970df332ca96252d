"""A duty record names a duty that is known.

Fails: `duty: us-user-facility-reprot`.
Passes: a name of the page of reporting duties; one of the organisation's own, from `.asfound/reporting/`.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="duty-unknown",
    family=Family.INTEGRITY,
    level=Level.WARN,
    title="A record of a duty names one that is known.",
    reason="What was decided and sent under a name nobody knows stops no clock, and the reminder goes on.",
    source="common practice, no source",
    status="ours",
    mend="Write the name as the page of reporting duties has it, or add the duty under .asfound/reporting/.",
    rows=("R108",),
    private=True,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a record."""
    known = facts.duties.known
    for ref, duty in facts.case.duties.items():
        if duty.duty in known:
            continue
        near = get_close_matches(duty.duty, known, n=1)
        meant = f'Perhaps "{near[0]}" was meant. ' if near else ""
        yield facts.problem(
            ENTRY, ref, "duty",
            found=f'{ref} names the duty "{duty.duty}", which no set of duties holds',
            needed="the name of a known duty is needed",
            mend=f"{meant}{ENTRY.mend}",
        )  # fmt: skip
