"""Floor 4: how each explanation stands, how strong the conclusion may be, and what falls without a record. Pure."""

from __future__ import annotations

from dataclasses import replace

from asfound.model.facts import Facts
from asfound.model.weighing import Ceiling, Strike, Weighing
from asfound.weigh.ceilings import opinion_of
from asfound.weigh.intermittent import unprovoked
from asfound.weigh.strikes import Whole, known, strikes, without

__all__ = ["known", "unprovoked", "weigh", "without"]


def weigh(facts: Facts) -> Weighing | None:
    """Weigh a case by its records and by the verdicts and results in `facts`; None where no explanation is on record.

    The order in which records stand in their files has no say.
    """
    if not facts.case.explanations:
        return None
    whole = Whole.of(facts)
    struck = strikes(whole)
    named = tuple(
        part
        for part in ("mechanism", "reason")
        if (opinion := opinion_of(whole.ground, part)) is not None and opinion.explanations
    )
    return Weighing(
        tuple(whole.standings.values()),
        _lowered(whole.mechanism, "mechanism", struck, facts),
        _lowered(whole.reason, "reason", struck, facts),
        named,
        struck,
        next((one.refs[0] for one in struck if one.levels and _evidence(one, facts)), ""),
    )


def _lowered(ceiling: Ceiling, part: str, struck: tuple[Strike, ...], facts: Facts) -> Ceiling:
    lower = tuple(
        one.refs[0]
        for one in struck
        if one.refs[0] not in facts.case.head.people and part in {f.of for f in one.levels}
    )
    return replace(ceiling, would_lower=lower)


def _evidence(one: Strike, facts: Facts) -> bool:
    """Whether it is a record rather than a person or the very thing that was examined."""
    ref = one.refs[0]
    return ref not in facts.case.head.people and ref[:1] != "I"
