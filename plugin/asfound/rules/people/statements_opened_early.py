"""The readings were in before statements were opened to the examiner, or it is said why not.

By the times on record; and where the history is known, by the commits that brought the readings and the opening.
Where git was asked and cannot tell (one commit for both, commits made anew), that is said in a note.

Fails: `opened_to_examiner_at` before the last planned readings ended; or committed before readings were.
Passes: the same with `opened_early` on the statement (for a gate: with a note); statements opened afterwards.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import How, Order, readings_first
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="statements-opened-early",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="The readings were in before statements were opened to the examiner, or it is said why not.",
    reason="Whoever knows what happened looks for it; readings taken without that knowledge cannot be bent by it.",
    source="National Institute of Justice, contextual-bias project (sequential unmasking)",
    status="confirmed",
    mend="Say why under opened_early; what was known before a reading was taken is never unsaid.",
    rows=("R6",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a statement by the times, or one by the commits."""
    order = readings_first(facts.case, facts.past)
    if order is None:
        return
    if order.times:
        for ref in order.refs[:-1]:
            if not _reason(facts, ref):
                yield _problem(facts, ref, order)
    elif order.how is How.AGAINST and not _reason(facts, order.refs[1]):
        yield _problem(facts, order.refs[1], order)
    elif order.how is How.NOT_PROVABLE and facts.past.known and facts.case.head.entered_later is None:
        ref = next((one for one in facts.case.statements if facts.case.statements[one].opened_to_examiner_at), "")
        yield facts.problem(
            ENTRY,
            ref or "gates.yml",
            *(("opened_to_examiner_at",) if ref else ()),
            found=f"that the readings were in before statements were opened is not provable: {order.why}",
            needed="readings committed before the opening would show it",
            mend="Commit the readings first, then that a statement was opened: that order shows it."
            if order.unsaved
            else "Nothing is needed; next time commit the readings before a statement is opened.",
            level=Level.NOTE,
        )


def _reason(facts: Facts, ref: str) -> bool:
    statement, gate = facts.case.statements.get(ref), facts.case.gates.gates.get(ref)
    if statement is not None:
        return statement.opened_early is not None
    return gate is not None and gate.note is not None


def _problem(facts: Facts, ref: str, order: Order) -> Problem:
    gate = facts.case.gates.gates.get(ref)
    statement = facts.case.statements.get(ref)
    opened = statement.opened_to_examiner_at if statement is not None else None
    found = order.why
    if order.times and opened is not None:
        _, tail = order.why.split(", ", 1)
        found = f"{ref} was opened to the examiner at {opened.text}, {tail}"
    return facts.problem(
        ENTRY,
        ref,
        "at" if gate is not None else "opened_to_examiner_at",
        found=found,
        needed="readings before statements are opened, or the reason why not, is needed",
        mend="Say why in the note of the gate." if gate is not None else "",
    )
