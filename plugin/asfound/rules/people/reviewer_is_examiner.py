"""Somebody other than the examiner reviews the case.

In a shop of one or two people the same person may do both; the report then says that nobody else reviewed it.

Fails: `examiner: examiner` and `reviewer: examiner`; a gate *rechecked* that the examiner passed.
Passes: a second examiner, or an outside engineer, as `reviewer`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.work import GateKind
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="reviewer-is-examiner",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Somebody other than the examiner reviews the case.",
    reason="A second reader who does not know what the first one hopes for finds what the first one cannot see.",
    source="National Institute of Justice, contextual-bias project (blind re-examination)",
    status="confirmed",
    mend="Name another role under reviewer; an outside reviewer can sign a pack.",
    rows=("R3",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem. Silent while no examiner is named."""
    head = facts.case.head
    if head.examiner is None:
        return
    if head.reviewer is None:
        yield facts.problem(
            ENTRY,
            "case.yml",
            found="no reviewer is named",
            needed="somebody other than the examiner is needed, or the report says that it was not reviewed",
            level=Level.WARN,
        )
    elif head.reviewer == head.examiner:
        yield facts.problem(
            ENTRY,
            "case.yml",
            "reviewer",
            found=f'one role, "{head.reviewer}", both examines and reviews',
            needed="a reviewer other than the examiner is needed",
            level=Level.WARN if facts.settings.two_person_shop else None,
        )
    else:
        yield from _rechecked(facts, head.examiner)


def _rechecked(facts: Facts, examiner: str) -> Iterator[Problem]:
    """A gate that says that somebody looked again, passed by nobody but the examiner."""
    gates = [(ref, gate) for ref, gate in facts.case.gates.gates.items() if gate.gate is GateKind.RECHECKED]
    if gates and all(gate.by == examiner for _, gate in gates):
        yield facts.problem(
            ENTRY,
            gates[-1][0],
            "by",
            found=f'"rechecked" was passed by "{examiner}", who examined',
            needed="somebody other than the examiner is needed",
            mend="Name who rechecked it; if nobody else did, take the gate away, and have it rechecked.",
            level=Level.WARN if facts.settings.two_person_shop else None,
        )
