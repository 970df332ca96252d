"""What speaks against an explanation is answered, or the explanation gives way.

Fails: `status: supported`, a finding below `contradicts`, and no `answer`.
Passes: the same with an answer; or with the status *weakened* or *ruled out*.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.reasoning import Status
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named

ENTRY = Entry(
    name="contradiction-unanswered",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="What speaks against an explanation is answered in the text, or the explanation gives way.",
    reason="A fact that was seen and passed over does more harm than one that was answered badly.",
    source="NFPA 921-2014, 4.3.6; ASTM E678-07(2013), 3.1",
    status="secondary",
    mend="Write what is said to it under answer of the explanation, or set its status to weakened or ruled out.",
    rows=("R80",),
)

GIVEN_WAY = frozenset({Status.WEAKENED, Status.RULED_OUT})


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an explanation."""
    for ref, one in facts.case.explanations.items():
        against = tuple(dict.fromkeys((*one.contradicts, *(ref for need in one.needs for ref in need.shown_false_by))))
        if against and one.answer is None and one.status not in GIVEN_WAY:
            yield facts.problem(
                ENTRY,
                ref,
                "contradicts",
                found=f"{named(against)} speak{'s' if len(against) == 1 else ''} against {ref} ({one.status}), "
                "and no answer is given",
                needed="an answer to what speaks against it is needed",
            )
