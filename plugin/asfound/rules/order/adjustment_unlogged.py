"""Readings after an adjustment are preceded by the step that adjusted.

Fails: a sheet with `moment: after adjustment` and no altering step for its item before it.
Passes: `steps: {B-1: {items: [I-1], what: …, tier: changes, at: …}}` earlier than the sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.work import SheetMoment, Tier
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="adjustment-unlogged",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Readings after an adjustment, a repair or a change of firmware are preceded by the step that did it.",
    reason="A changed thing without a record of the change is a thing nobody has examined.",
    source="ISO/IEC 17025:2017, 6.4.12; ASTM E860-22, 4.1",
    status="confirmed",
    mend="Record the step in gates.yml under steps, with who, when, why and how much it altered.",
    rows=("R40",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet."""
    if facts.case.some_unread("B"):
        return
    for ref, sheet in facts.case.sheets.items():
        if sheet.moment is not SheetMoment.AFTER_ADJUSTMENT:
            continue
        touched = {sheet.item, *sheet.accessories}
        if not any(
            step.tier is not Tier.NONE and touched.intersection(step.items) and step.at <= sheet.from_
            for step in facts.case.gates.steps.values()
        ):
            yield facts.problem(
                ENTRY,
                ref,
                "moment",
                found=f"the readings are after an adjustment, and no altering step of {sheet.item} comes before them",
                needed="the step that adjusted it is needed",
            )
