"""A gate was passed after what it rests on: a leave that is older than its grounds was not given for them.

Fails: *safe to connect* at 11:30, resting on a touch current read at 12:47; *weighed* before the last sheet, or before
a letter that a finding rests on; *rechecked* before the last weighing; a plan sealed after the first reading of a test
it chose.
Passes: the gate behind its readings; a second gate *weighed* after readings that were added.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import first_result
from asfound.model.base import Moment
from asfound.model.facts import Facts
from asfound.model.work import GateKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, listed, was
from asfound.rules.order._gates import broken_gates

ENTRY = Entry(
    name="gate-before-its-ground",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A gate was passed after what it rests on, weighing after all that is weighed, a recheck after the weighing.",
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
    yield from _rechecked(facts)


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
    """The last weighing counts: what came in since, before an amendment say, is weighed again."""
    last = _last(facts, GateKind.WEIGHED)
    if last is None:
        return
    at, ref = last
    case = facts.case
    read = [name for name, sheet in case.sheets.items() if sheet.from_ > at and case.standing(name)]
    cited = {one.partition("#")[0] for finding in case.findings.values() for one in finding.rests_on}
    came = [one for one in (*cited, *case.statements) if (to_hand := _to_hand(facts, one)) is not None and to_hand > at]
    if not read and not came:
        return
    parts = [f"{ids(refs)} {was(refs)} {how}" for refs, how in ((read, "read"), (came, "taken in")) if refs]
    yield facts.problem(
        ENTRY,
        ref,
        "at",
        about="weighing",
        found=f"the evidence was weighed at {at.text}, and {listed(parts)} after that",
        needed="a weighing of all that was read and taken in is needed",
        mend="Weigh again what came since, and pass the gate again: asfound gate CASE weighed.",
    )


def _rechecked(facts: Facts) -> Iterator[Problem]:
    """Whoever rechecked before the last weighing rechecked another one."""
    weighed, last = _last(facts, GateKind.WEIGHED), _last(facts, GateKind.RECHECKED)
    if weighed is None or last is None or last[0] >= weighed[0]:
        return
    at, ref = last
    yield facts.problem(
        ENTRY,
        ref,
        "at",
        about="recheck",
        found=f"the work was rechecked at {at.text}, and weighed again at {weighed[0].text} ({weighed[1]})",
        needed="a recheck of the last weighing is needed",
        mend="Have the reviewer recheck what was weighed since, and pass the gate again: asfound gate CASE rechecked.",
    )


def _last(facts: Facts, kind: GateKind) -> tuple[Moment, str] | None:
    """The last time a gate of this kind was passed, and its id."""
    return max(((gate.at, ref) for ref, gate in facts.case.gates.gates.items() if gate.gate is kind), default=None)


def _to_hand(facts: Facts, cited: str) -> Moment | None:
    """When the examiner had what a finding rests on: as `_at`, a statement when it was opened, a file when it came."""
    case = facts.case
    if cited in case.statements:
        return case.statements[cited].opened_to_examiner_at
    if cited in case.evidence:
        file = case.evidence[cited]
        return file.taken_at if file.clock is None else None
    # What was read is asked of its sheet.
    return None if cited in case.reading else _at(facts, cited)


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
