"""A publication is leant on only with a word on how its conditions match those of the event.

Fails: `literature: [{source: …, says: …}]`.
Passes: the same with `conditions: forearm skin, good contact, 2 min; here the calf, 130 min, flow reduced`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import short

ENTRY = Entry(
    name="literature-as-test",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A publication that an explanation leans on comes with how its conditions match those of the event.",
    reason="What was found elsewhere, on other things, is a test of this event only as far as it was like it.",
    source="NFPA 921-2014, 4.3.6 (research done under similar conditions)",
    status="secondary",
    mend="Say under conditions what is alike and what is not.",
    rows=("R86",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a publication."""
    for ref, one in facts.case.explanations.items():
        for index, work in enumerate(one.literature):
            if work.conditions is None:
                yield facts.problem(
                    ENTRY,
                    ref,
                    "literature",
                    index,
                    about="",
                    found=f'{ref} leans on "{short(work.source, 70)}", and nothing says how its conditions match',
                    needed="what is alike and what is not is needed",
                )
