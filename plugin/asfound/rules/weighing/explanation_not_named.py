"""A conclusion that is held at all says which explanation it names.

For the mechanism it may be left out where one explanation alone is said to be supported. The reason always says it.

Fails: two explanations supported, `level: possible`, and no `explanations`; or a reason held as *possible* naming none.
Passes: `explanations: [X-1]`; or `level: undetermined`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids
from asfound.rules.weighing._shared import concluded

ENTRY = Entry(
    name="explanation-not-named",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A conclusion says which of the explanations it names, and names it for what it explains.",
    reason="A conclusion that belongs to no explanation was not tried against any rival.",
    source="ASTM E678-07(2013), 3.1",
    status="confirmed",
    mend="List the ids under explanations, or hold the part as undetermined.",
    rows=("R78",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a part: nothing named, or something named that explains the other part."""
    if facts.case.some_unread("X"):
        return
    for part, opinion, named in concluded(facts):
        if not named and not opinion.explanations:
            yield facts.problem(
                ENTRY,
                "conclusion.yml",
                part,
                "level",
                about="",
                found=f"the {part} is held as {opinion.level}, and which explanation it names cannot be told",
                needed="the id of the explanation is needed",
            )
        wrong = [ref for ref in named if facts.case.explanations[ref].explains != part]
        if wrong:
            other = "the reason" if part == "mechanism" else "the mechanism"
            yield facts.problem(
                ENTRY,
                "conclusion.yml",
                part,
                "explanations",
                about="",
                found=f"the {part} names {ids(wrong)}, which explains {other}",
                needed=f"an explanation of the {part} is needed",
                mend="Set explains in the explanation to what it explains, or name another.",
            )
