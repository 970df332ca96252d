"""The gates of the examination are on record: received, inspected, plan sealed, and safe to connect before any sheet of
a thing that is energised or joined to something.

Fails: sheets of readings, and no *received* gate.
Passes: all four, each with its time and who; without *safe to connect*, a pump worked by foot.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.work import GateKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed
from asfound.rules.order._gates import broken_gates

ENTRY = Entry(
    name="gates-missing",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Received, inspected, plan sealed and, for what is powered or joined, safe to connect are on record.",
    reason="The order of work is what shows that nothing was lost by working.",
    source="hospital accident-investigation training, 2007; the order of steps",
    status="common practice",
    mend="Add each gate to gates.yml with its true time, who passed it, and what it rests on.",
    rows=("R34", "R35"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem, listing what is missing."""
    if broken_gates(facts):
        return
    wanted = [GateKind.RECEIVED, GateKind.INSPECTED, GateKind.PLAN_SEALED]
    wanted += [GateKind.SAFE_TO_CONNECT] if any(_joins(facts, one.test) for one in facts.case.sheets.values()) else []
    present = {gate.gate for gate in facts.case.gates.gates.values()}
    missing = [kind for kind in wanted if kind not in present]
    if missing:
        yield facts.problem(
            ENTRY,
            "gates.yml",
            found=f"not on record among the gates: {listed(missing)}",
            needed="each, with its time and who passed it, is needed",
        )


def _joins(facts: Facts, name: str) -> bool:
    """Whether a test puts power on a thing or joins something to it; of one that no protocol knows it is supposed."""
    test = facts.protocol_test(name)
    return test is None or test.energised or test.connects != "nothing"
