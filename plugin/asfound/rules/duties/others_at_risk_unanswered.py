"""Where others may be at risk, somebody was told, or the case says why not.

Fails: `others_at_risk: not known`, no urgent notice, no reason.
Passes: an urgent notice that says what is to be held back; `others_at_risk_why`; `others_at_risk: no`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="others-at-risk-unanswered",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Where others are at risk, or nobody knows, an urgent notice went out, or the case says why none did.",
    reason="A sister unit or the same lot may be in use at this hour; a hazard does not wait for the cause.",
    source="common practice, no source",
    status="common practice",
    mend="Add an urgent notice to notices.yml with what is to be held back, or write others_at_risk_why.",
    rows=("L11",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem."""
    head = facts.case.head
    if head.others_at_risk not in ("yes", "not known") or head.others_at_risk_why is not None:
        return
    if any(notice.urgent for notice in facts.case.notices.values()):
        return
    said = "others are at risk" if head.others_at_risk == "yes" else "whether others are at risk is not known"
    yield facts.problem(
        ENTRY, "case.yml", "others_at_risk",
        found=f"{said}, and no urgent notice and no reason is on record",
        needed="an urgent notice, or the reason why there is none, is needed",
    )  # fmt: skip
