"""Nothing is energised before it was inspected.

For each sheet of a test that energises, its item and the accessories of the event need an *inspected* gate no later
than the start of the sheet. No exception lifts this: what power did to a damaged thing cannot be undone.

Fails: leakage at 13:20, *inspected* at 14:00, or no such gate.
Passes: *inspected* at 10:30 for the pump and its cord, leakage at 13:20.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.base import Moment
from asfound.model.facts import Facts
from asfound.model.work import GateKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, was
from asfound.rules.order._gates import broken_gates, gates_for, sheets_with_tests, subjects

ENTRY = Entry(
    name="power-before-inspection",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Nothing is energised before it was inspected.",
    reason="Power can burn away the very mark that an inspection would have found, and hurt whoever switches it on.",
    source="hospital accident-investigation training, 2007 (non-destructive before destructive); ASTM E860-22, 4.1",
    status="confirmed",
    mend="If it was inspected earlier, record that gate with its true time; if not, the readings stand as they are and "
    "cannot carry a conclusion.",
    rows=("R34", "ST1"),
    liftable=False,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet."""
    if broken_gates(facts):
        return
    for ref, sheet, test in sheets_with_tests(facts):
        if not test.energised:
            continue
        late: list[str] = []
        times: list[Moment] = []
        for item in subjects(facts, sheet):
            gates = gates_for(facts, GateKind.INSPECTED, item)
            if not gates or gates[0][1].at > sheet.from_:
                late.append(item)
                times += [gates[0][1].at] if gates else []
        if late:
            last = max(times, key=lambda one: one.at).text if len(times) == len(late) else ""
            when = f"inspected only at {last}" if last else "not recorded as inspected"
            yield facts.problem(
                ENTRY,
                ref,
                "from",
                found=f"{ids(late)} {was(late)} energised at {sheet.from_.text}, and {was(late)} {when}",
                needed="an inspected gate before that is needed",
            )
