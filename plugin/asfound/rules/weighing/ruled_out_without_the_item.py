"""An explanation that depends on a thing that was never impounded is not ruled out.

Fails: `status: ruled out`, resting on or depending on (`items`) a set that was thrown away.
Passes: `status: undetermined`, or *not tested*, with the reason the thing was not had.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.reasoning import Explanation, Status
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids
from asfound.rules.weighing._shared import weighed

ENTRY = Entry(
    name="ruled-out-without-the-item",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="No explanation is ruled out that depends on a thing that was never impounded.",
    reason="For most reports the thing that matters is the one that is gone, and nothing was learned from its absence.",
    source="Pharmacoepidemiol Drug Saf 2020;29:380-7 (the suspect item is mostly not available); NFPA 921-2014, 19.6.5",
    status="confirmed",
    mend="Call it undetermined or not tested, and say what the thing itself would have settled.",
    rows=("R9",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an explanation."""
    for explanation, one in weighed(facts):
        if one.claimed is not Status.RULED_OUT:
            continue
        gone = [ref for ref in _items(facts, explanation) if _missing(facts, ref)]
        if gone:
            yield facts.problem(
                ENTRY,
                one.ref,
                "status",
                found=f"{one.ref} is said to be ruled out, and {ids(gone)}, on which it depends, was not impounded",
                needed="the thing itself, examined, is needed to rule that out",
            )


def _items(facts: Facts, one: Explanation) -> tuple[str, ...]:
    """The items an explanation depends on: those it names, and those its evidence is about."""
    cited = (*one.supports, *one.contradicts, *(ref for need in one.needs for ref in need.shown_false_by))
    about = (item for ref in cited if ref in facts.case.findings for item in facts.case.findings[ref].about)
    return tuple(dict.fromkeys((*one.items, *about)))


def _missing(facts: Facts, ref: str) -> bool:
    item = facts.case.items.get(ref)
    return item is not None and item.in_use_at_event and not item.impounded
