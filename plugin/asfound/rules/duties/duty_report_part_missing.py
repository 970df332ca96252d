"""What a report must say of the device stands in the case.

Fails: a decision to report, and nothing on whether the device can be evaluated or went back to the maker.
Passes: `device_available` and `device_returned`, or the reason why either is not known.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.things import ItemRole
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed, was
from asfound.rules.duties._lines import owed

ENTRY = Entry(
    name="duty-report-part-missing",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="The case holds what a report asks for: outcome, device, whether it is available, whether it was returned.",
    reason="They are asked for as far as they are reasonably known; looked up late, they cost the days that are left.",
    source="21 CFR 803.32(b) and (c)",
    status="confirmed",
    mend="Write them, or why they are not known: device_returned: {not_known: why}.",
    rows=("R113",),
    private=True,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a record that decides to report, or was sent."""
    case = facts.case
    kinds = {line.kind for line in owed(facts) if line.asks_decision and line.sendings}
    device = any(item.role is ItemRole.MAIN_DEVICE for item in case.items.values())
    for ref, duty in case.duties.items():
        if duty.duty not in kinds or not (duty.report or duty.sent_at):
            continue
        lacking = []
        if case.head.outcome is None:
            lacking.append("the outcome (case.yml)")
        if not device:
            lacking.append("the device (items.yml)")
        if duty.device_available is None:
            lacking.append("device_available")
        if duty.device_returned is None:
            lacking.append("device_returned")
        if lacking:
            yield facts.problem(
                ENTRY, ref, "duty",
                found=f"of the parts of the report of {ref}, {listed(lacking)} {was(lacking)} not found",
                needed="each, or the reason why it is not known, is needed",
            )  # fmt: skip
