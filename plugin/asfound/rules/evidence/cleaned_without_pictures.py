"""A thing that was cleaned was photographed before, and the record says what the cleaning may have taken away.

The cleaning is the altering step in gates.yml that names it and speaks of cleaning; without one, its time is not known
and only pictures offered as found count as taken before.

Fails: `cleaned: yes` without `cleaned_why`, or without a photograph of the item from before.
Passes: `cleaned: no`; or `cleaned: yes`, `cleaned_why`, and an as-found photograph of it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.base import Moment
from asfound.model.facts import Facts
from asfound.model.testimony import Evidence
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed
from asfound.rules.evidence._pictures import photographs, unread

ENTRY = Entry(
    name="cleaned-without-pictures",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A thing that was cleaned was photographed before, and the record says what may have been lost.",
    reason="Residue, prints and fluid are often all that tells one explanation from another.",
    source="ISO 17664-1 and local infection control ask for cleaning; that pictures come first is common practice",
    status="common practice",
    mend="Say in cleaned_why who wanted it and what may be lost; register the pictures from before with their items.",
    rows=("R16",),
)

_CLEANS = re.compile(r"\b(?:clean|wip|wash|rins|disinfect|decontaminat|sterili[sz])", re.IGNORECASE)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an item."""
    if unread(facts):
        return
    for ref, item in facts.case.items.items():
        if not item.cleaned:
            continue
        missing = []
        at = _cleaned_at(facts, ref)
        if not any(_before(evidence, at) for _, evidence in photographs(facts, ref)):
            missing.append(f"no photograph of it from before{f' {at.text}' if at is not None else ''} is registered")
        if item.cleaned_why is None:
            missing.append("nothing says what may have been lost")
        if missing:
            yield facts.problem(
                ENTRY,
                ref,
                "cleaned",
                found=f"{ref} was cleaned, and {listed(missing)}",
                needed="pictures from before and a word on what may be lost are needed",
            )


def _cleaned_at(facts: Facts, item: str) -> Moment | None:
    steps = [step.at for step in facts.case.gates.steps.values() if item in step.items and _CLEANS.search(step.what)]
    return min(steps, key=lambda moment: moment.at, default=None)


def _before(evidence: Evidence, at: Moment | None) -> bool:
    if at is None or evidence.taken_at is None:
        return evidence.as_found
    return evidence.taken_at < at
