"""A gate was passed after what it rests on: a leave that is older than its grounds was not given for them.

Fails: *safe to connect* at 11:30, resting on a touch current read at 12:47; *weighed* before the last sheet; a plan
sealed after the first reading of a test it chose.
Passes: the gate behind its readings; a second gate *weighed* after readings that were added.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import first_result
from asfound.model.base import Moment
from asfound.model.facts import Facts
from asfound.model.work import GateKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, was
from asfound.rules.order._gates import broken_gates

ENTRY = Entry(
    name="gate-before-its-ground",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A gate was passed after what it rests on, and weighing after the last reading.",
    reason="Leave that is older than its grounds was given for others, or written down afterwards.",
    source="common practice, no source",
    status="common practice",
    mend="Compare with the paper, and correct what was copied wrongly. If it was so, leave the times, and pass the "
    "gate again as one of its own with its true time.",
    rows=("R11", "R42"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a gate."""
    if broken_gates(facts):
        return
    gates = facts.case.gates.gates
    for ref, gate in gates.items():
        later = [cited for cited in gate.rests_on if (at := _at(facts, cited)) is not None and at > gate.at]
        if later:
            yield facts.problem(
                ENTRY,
                ref,
                "at",
                about="grounds",
                found=f'"{gate.gate}" at {gate.at.text} rests on {ids(later)}, which {was(later)} not there yet',
                needed="a gate behind what it rests on is needed",
            )
    yield from _sealed(facts)
    yield from _weighed(facts)


def _sealed(facts: Facts) -> Iterator[Problem]:
    """A seal put on a plan when its results were known shows nothing. The first seal counts."""
    seals = [(gate.at, ref) for ref, gate in facts.case.gates.gates.items() if gate.gate is GateKind.PLAN_SEALED]
    first = first_result(facts.case)
    if not seals or first is None:
        return
    at, ref = min(seals)
    if at > first[1]:
        yield facts.problem(
            ENTRY,
            ref,
            "at",
            about="seal",
            found=f"the plan was sealed at {at.text}, and {first[0]} began at {first[1].text}",
            needed="a seal before the first reading of the plan is needed",
        )


def _weighed(facts: Facts) -> Iterator[Problem]:
    """The last weighing counts: readings that were added are weighed again."""
    weighed = [(gate.at, ref) for ref, gate in facts.case.gates.gates.items() if gate.gate is GateKind.WEIGHED]
    if not weighed:
        return
    at, ref = max(weighed)
    later = [name for name, sheet in facts.case.sheets.items() if sheet.from_ > at and facts.case.standing(name)]
    if later:
        yield facts.problem(
            ENTRY,
            ref,
            "at",
            about="weighing",
            found=f"the evidence was weighed at {at.text}, and {ids(later)} {was(later)} read after that",
            needed="a weighing of all that was read is needed",
            mend="Weigh again what was read since, and pass the gate again: asfound gate CASE weighed.",
        )


def _at(facts: Facts, cited: str) -> Moment | None:
    """When a record came about, by the clock of whoever wrote it; None where that is no time of the work's.

    Times that a clock of the case showed (pictures) are left out, since that clock may be wrong.
    """
    case = facts.case
    if cited in case.reading:
        row = case.reading[cited]
        sheet = case.sheets.get(row.sheet)
        return row.at or (sheet.from_ if sheet is not None else None)
    if cited in case.sheets:
        return case.sheets[cited].from_
    if cited in case.notices:
        return case.notices[cited].sent_at
    return next((row.at for row in case.inspection if row.id == cited), None)
