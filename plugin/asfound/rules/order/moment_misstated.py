"""A sheet says in which state the thing was measured, and the record of the thing says the same.

Fails: `moment: scene`, though the log has the thing collected before; `moment: received`, though a step that changed it
came before the readings.
Passes: `moment: after adjustment` behind such a step; `moment: scene` before the first move.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import State, account_of, accounts, broken_custody, standing, state_at
from asfound.model.facts import Facts
from asfound.model.things import ItemRole
from asfound.model.work import SheetMoment
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="moment-misstated",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A sheet says in which state the thing was measured, and custody and steps say the same.",
    reason="A reading passed off as being of the thing as found, when it was not, misleads whoever reads it.",
    source="ISO/IEC 17025:2017, 7.8.4 (results before and after adjustment, from memory); ASTM E1459-13(2018)",
    status="from memory",
    mend="Correct the moment of the sheet, or the time of the step or the move, from the paper.",
    rows=("R15", "R40", "R41"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet, about its own item."""
    case = facts.case
    if broken_custody(case) or case.some_unread("B"):
        return
    known = accounts(case)
    for ref, sheet in case.sheets.items():
        item = case.items.get(sheet.item)
        if item is None or item.role is ItemRole.EXEMPLAR:
            continue
        of = standing(case, known.get(sheet.item) or account_of(sheet.item, ()))
        state = state_at(of, sheet.from_)
        if sheet.moment is SheetMoment.SCENE and state is not State.AT_SCENE:
            since = of.moved_at.text if of.moved_at else "a time not stated"
            found = f"the readings are said to be of {sheet.item} at the scene, and it was moved at {since}"
        elif sheet.moment is SheetMoment.RECEIVED and state is State.ALTERED and of.altered_at is not None:
            found = (
                f"the readings are said to be of {sheet.item} as received, "
                f"and {of.altered_by} altered it at {of.altered_at.text}"
            )
        else:
            continue
        yield facts.problem(ENTRY, ref, "moment", found=found, needed="the state it was truly in is needed")
