"""An urgent warning says what is to be held back.

Fails: `urgent: yes` without `hold`, or with one that names nothing.
Passes: a lot; a model; other units by their place; a thing of the case whose kind is meant.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="urgent-notice-unspecific",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="An urgent notice says what is to be held back: which lot, which model, which sister units.",
    reason="Whoever is warned without being told of what goes on using it.",
    source="common practice, no source",
    status="common practice",
    mend="Write under hold the lots, models, things of the case or sister units, as far as they are known.",
    rows=("L11",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a notice."""
    for ref, notice in facts.case.notices.items():
        hold = notice.hold
        if notice.urgent and not (hold and (hold.lots or hold.models or hold.items or hold.sister_units)):
            yield facts.problem(
                ENTRY, ref, "urgent",
                found=f"{ref} is urgent and does not say what is to be held back",
                needed="a lot, a model, a thing of the case or sister units are needed",
            )  # fmt: skip
