"""Where heat, current, flow or energy is said to have done it, the arithmetic of dose is there.

Asked of the mechanism, for kinds of event that turn on such a dose, and for explanations that are the examiner's to
weigh. A heating factor, or a calculation that models the matter, among what supports the explanation is enough; else
`arithmetic` cites what carries it.

Fails: a skin lesion by heat, held as *probable*, with no derived result and no `arithmetic`.
Passes: the heating factor of the longest cluster cited; or `not_computable` with the reason.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.event import EventKind
from asfound.model.facts import Facts
from asfound.model.reasoning import Explanation, Line
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed
from asfound.rules.weighing._shared import concluded

ENTRY = Entry(
    name="dose-not-computed",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Where heat, current, flow or energy is named as the mechanism, how much of it there was is computed.",
    reason="That something could do harm says nothing until it is known how much of it there was, and for how long.",
    source="Anesthesiology 1973 (current density at electrodes); PLoS ONE 2021 (time and temperature of contact burns)",
    status="confirmed",
    mend="Cite the derived result, or the finding with it, under arithmetic; or say why not under not_computable.",
    rows=("R85",),
)

DOSED = frozenset(
    {
        EventKind.SKIN_LESION,
        EventKind.SHOCK,
        EventKind.NO_THERAPY,
        EventKind.TOO_MUCH,
        EventKind.TOO_LITTLE,
        EventKind.FIRE,
    }
)
"""Kinds of event that turn on a dose of heat, current, flow or energy."""
_DOSES = frozenset({"heating factor"})
"""Derived results that are a dose by themselves."""
_NOT_OURS = frozenset({Line.PATIENT, Line.NOT_DEVICE})


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an explanation named in the mechanism."""
    if facts.case.head.event.kind not in DOSED:
        return
    lacking = [
        ref
        for part, _, named in concluded(facts)
        if part == "mechanism"
        for ref in named
        if not _computed(facts, facts.case.explanations[ref]) and not facts.unread.on(ref)
    ]
    for ref in lacking:
        yield facts.problem(
            ENTRY,
            ref,
            found=f"the mechanism names {listed([ref])}, and no arithmetic of how much and how long is cited",
            needed="the dose of heat, current, flow or energy, computed from readings, is needed",
        )


def _computed(facts: Facts, one: Explanation) -> bool:
    if one.line in _NOT_OURS or one.arithmetic or one.not_computable is not None:
        return True
    cited = [*one.supports, *(ref for need in one.needs for ref in need.shown_by)]
    found = set(cited)
    for ref in cited:
        finding = facts.case.findings.get(ref)
        found.update(finding.rests_on if finding is not None else ())
    return any(_dose(facts, ref) for ref in found)


def _dose(facts: Facts, ref: str) -> bool:
    worked = facts.working.get(ref)
    if worked is not None:
        return bool(worked.dose and worked.answers)
    return ref in facts.result and facts.result[ref].kind in _DOSES
