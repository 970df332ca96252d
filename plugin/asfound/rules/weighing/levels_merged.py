"""How it happened and why it came to be so are held apart, each with its own ground.

Fails: mechanism and reason with the same text, or both naming X-1.
Passes: two sentences, two levels, two grounds; a reason that is *undetermined* names none.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, same

ENTRY = Entry(
    name="levels-merged",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="The mechanism and the reason are concluded apart, each with its own level.",
    reason="It can be well shown how something happened while nobody knows why; one level for both claims too much.",
    source="J Med Eng 2014, article 314138 (causes around a device, its user, the place); the split is our own",
    status="confirmed",
    mend="Say under reason only why it came to be so; where that was not examined, hold it as undetermined.",
    rows=("R84",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem."""
    made = facts.case.conclusion
    if made is None:
        return
    both = [ref for ref in made.mechanism.explanations if ref in made.reason.explanations]
    if both or same(made.mechanism.text, made.reason.text):
        what = f"both name {ids(both)}" if both else "are the same sentence"
        yield facts.problem(
            ENTRY,
            "conclusion.yml",
            "reason",
            "explanations" if both else "text",
            found=f"mechanism and reason {what}",
            needed="how it happened and why it came to be so, apart, are needed",
        )
