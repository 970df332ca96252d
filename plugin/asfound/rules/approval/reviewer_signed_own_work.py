"""Whoever reviews a case is not who examined it, nor who last changed its readings and findings.

By key: one signer in both roles. By role: git's author of the last change of a reading or finding, as
`.asfound/roles.yml` names the authors. In a shop of one or two people this warns, and the report says so.

Fails: `second` signs as examiner and as reviewer; or the reviewer committed the last change of `F-2`.
Passes: two signers, and the reviewer changed nothing but words about the case.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem, Span
from asfound.rules.approval._reviewing import last_hands, reviewing_roles, standing

ENTRY = Entry(
    name="reviewer-signed-own-work",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Whoever reviews a case is not who examined it, nor who last changed its readings and findings.",
    reason="A review of one's own work finds what one knew already, and to others looks like a second pair of eyes.",
    source="National Institute of Justice, contextual-bias project (blind re-examination)",
    status="confirmed",
    mend="Let somebody else review the case and sign it; an outside reviewer can sign a pack.",
    rows=("R3",),
)

_SHOWN = 5


def check(facts: Facts) -> Iterator[Problem]:
    """At most two problems an approval: by key, and by role."""
    level = Level.WARN if facts.settings.two_person_shop else None
    examiners = {one.signer: one for one in standing(facts, "examiner")}
    for one in standing(facts, "reviewer"):
        span = Span(facts.file(one.path))
        same = examiners.get(one.signer)
        if same is not None:
            yield facts.problem(
                ENTRY,
                span,
                found=f"{one.signer} signed as reviewer and as examiner",
                needed="the signature of somebody else is needed",
                level=level,
                related=(Span(facts.file(same.path)),),
            )
        roles = reviewing_roles(facts)
        own = [ref for ref, role in last_hands(facts) if role in roles]
        if own:
            more = f" and {len(own) - _SHOWN} more" if len(own) > _SHOWN else ""
            places = (facts.places.of(ref) for ref in own[:_SHOWN])
            yield facts.problem(
                ENTRY,
                span,
                found=f"the reviewer made the last change of {', '.join(own[:_SHOWN])}{more}",
                needed="a reviewer of somebody else's work is needed",
                level=level,
                related=tuple(place for place in places if place is not None),
            )
