"""What reporting clocks are chosen by and counted from stands in the case.

Fails: no jurisdiction; no time at which staff became aware; no class of the outcome.
Passes: all three; `outcome_class: not yet known`, which is an answer, and counted with the shortest clock.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.event import Harmed
from asfound.model.facts import Facts
from asfound.model.reporting import DecidedBy, Start
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="duty-ground-missing",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A case says where it belongs, when staff became aware, and of which class the outcome is.",
    reason="Without them no reporting clock can be counted, and the first days are the ones that pass unnoticed.",
    source="21 CFR 803.3 and 803.30; 29 CFR 1904.39",
    status="confirmed",
    mend="Add them to case.yml; a class that nobody knows yet is written not yet known.",
    rows=("R108", "R109"),
    private=True,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for each thing that lacks."""
    head = facts.case.head
    if not head.jurisdiction:
        yield facts.problem(
            ENTRY, "case.yml", "harmed",
            found="no jurisdiction is stated",
            needed="it decides which reporting clocks run",
            mend="Write jurisdiction: [United States], or whatever it is.",
        )  # fmt: skip
    lines = facts.duties.lines
    if head.event.aware_at is None and any(line.started_by == Start.AWARE for line in lines):
        yield facts.problem(
            ENTRY, "case.yml", "event",
            found="nothing says when staff became aware of the event",
            needed="the time that starts the reporting clocks is needed",
        )  # fmt: skip
    if head.outcome_class is None and any(line.decided_by == DecidedBy.OUTCOME for line in lines):
        yield facts.problem(
            ENTRY, "case.yml", "harmed",
            found="the class of the outcome is not stated",
            needed="outcome_class is needed, which decides whether a report is owed, and to whom",
        )  # fmt: skip
    by_staff = any(line.decided_by == DecidedBy.STAFF for line in lines)
    if by_staff and head.harmed is Harmed.STAFF and not head.staff_harm:
        yield facts.problem(
            ENTRY, "case.yml", "harmed",
            found="a worker was harmed, and in which way is not stated",
            needed="staff_harm is needed, since hours may count",
        )  # fmt: skip
