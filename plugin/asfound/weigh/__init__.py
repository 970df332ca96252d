"""Floor 4: how each explanation stands, how strong the conclusion may be, and what falls without a record. Pure."""

from __future__ import annotations

from asfound.model.facts import Facts
from asfound.model.ids import sort_key
from asfound.model.weighing import Weighing
from asfound.weigh.ceilings import ceiling, opinion_of
from asfound.weigh.ground import Ground
from asfound.weigh.standings import standing

__all__ = ["weigh"]


def weigh(facts: Facts) -> Weighing | None:
    """Weigh a case by its records and by the verdicts and results in `facts`; None where no explanation is on record.

    The order in which records stand in their files has no say.
    """
    if not facts.case.explanations:
        return None
    ground = Ground(facts)
    standings = {
        ref: standing(ground, ref, one)
        for ref, one in sorted(facts.case.explanations.items(), key=lambda pair: sort_key(pair[0]))
    }
    mechanism = ceiling(ground, "mechanism", standings)
    reason = ceiling(ground, "reason", standings, mechanism)
    named = tuple(
        part
        for part in ("mechanism", "reason")
        if (opinion := opinion_of(ground, part)) is not None and opinion.explanations
    )
    return Weighing(tuple(standings.values()), mechanism, reason, named)
