"""No analyser, simulator or person is connected before the item was found safe to connect.

The safety tester's own readings earn that gate and are not asked. The latest *safe to connect* gate before the sheet
must say yes. No exception lifts this.

Fails: flow measured at 13:30, *safe to connect* at 14:00; or the gate says no.
Passes: *safe to connect*, `outcome: yes`, at 14:00, flow measured at 14:30.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.work import GateKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.order._gates import broken_gates, gates_for, says_yes, sheets_with_tests

ENTRY = Entry(
    name="connected-before-safe",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="No analyser, simulator or person is connected before the item was found safe to connect.",
    reason="A thing that may have hurt one person is not tried on another, nor on an instrument somebody holds.",
    source="common practice, no source",
    status="common practice",
    mend="If it was found safe earlier, record that gate with its true time; if not, the readings stand as they are.",
    rows=("R35", "ST4"),
    liftable=False,
)

_WAIT = frozenset({"analyser", "simulator", "person"})


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet."""
    if broken_gates(facts):
        return
    for ref, sheet, test in sheets_with_tests(facts):
        if test.connects not in _WAIT:
            continue
        before = [
            (name, gate)
            for name, gate in gates_for(facts, GateKind.SAFE_TO_CONNECT, sheet.item)
            if gate.at <= sheet.from_
        ]
        if not before:
            found = f"{_a(test.connects)} was connected to {sheet.item} at {sheet.from_.text}, before it was found safe"
        elif not says_yes(before[-1][1].outcome):
            outcome = before[-1][1].outcome
            said = f'says "{outcome}"' if outcome else "has no outcome"
            found = f"{_a(test.connects)} was connected to {sheet.item}, and {before[-1][0]} {said}"
        else:
            continue
        yield facts.problem(
            ENTRY, ref, "from", found=found, needed="a safe to connect gate with the outcome yes before that is needed"
        )


def _a(what: str) -> str:
    return f"{'an' if what[0] in 'aeiou' else 'a'} {what}"
