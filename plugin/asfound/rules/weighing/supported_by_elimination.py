"""An explanation is supported by evidence of its own, never only because others were removed.

Fails: `status: supported` with nothing below `supports` or `shown_by` that can speak to it.
Passes: a finding by a test that reaches it, or of something seen, below `shown_by`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.reasoning import Status
from asfound.model.weighing import Side
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids
from asfound.rules.weighing._shared import earned

ENTRY = Entry(
    name="supported-by-elimination",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="An explanation is supported by evidence of its own, never only because others were removed.",
    reason="Whoever is left when the others are gone may only be the one that nobody looked at.",
    source="NFPA 921-2011 and later (negative corpus is no basis for a cause), 19.6.5",
    status="secondary",
    mend="List what shows it, by a test able to see it; where there is nothing, it is undetermined or not tested.",
    rows=("R76",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an explanation."""
    for _, one in earned(facts):
        if one.claimed is not Status.SUPPORTED or any(each.side is Side.FOR for each in one.weights):
            continue
        listed = [each.ref for each in one.weights if each.meant is Side.FOR]
        what = f"{ids(listed)} cannot speak to it" if listed else "nothing is listed that shows it"
        yield facts.problem(
            ENTRY,
            one.ref,
            "status",
            found=f"{one.ref} is said to be supported, and {what}",
            needed="evidence of its own is needed, since that others were removed is none",
        )
