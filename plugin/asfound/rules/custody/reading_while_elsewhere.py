"""Readings were taken while the log has the item with whoever took them.

Readings at the scene, before anything was collected, are not asked.

Fails: a sheet of 7 March, while the log has the item in the sealed store from the 6th.
Passes: a sheet between the line that gave it to the examiner and the line that took it away.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import STORE, Account, Keeping, accounts, broken_custody
from asfound.model.facts import Facts
from asfound.model.work import Sheet
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed

ENTRY = Entry(
    name="reading-while-elsewhere",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Readings were taken while the custody log has the item with whoever took them.",
    reason="Either the log is wrong or the reading is not of this thing; until it is settled neither can be used.",
    source="ASTM E1459-13(2018) (an audit trail of treatment and analysis)",
    status="common practice",
    mend="Compare the times of the sheet and of the log with the paper, and add the line of custody that is missing.",
    rows=("R15",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet."""
    if broken_custody(facts.case):
        return
    known = accounts(facts.case)
    for ref, sheet in facts.case.sheets.items():
        apart: dict[str, list[str]] = {}
        for item in (sheet.item, *sheet.accessories):
            where = _elsewhere(facts, sheet, known.get(item))
            if where:
                apart.setdefault(where, []).append(item)
        if apart:
            where, items = next(iter(apart.items()))
            yield facts.problem(
                ENTRY,
                ref,
                "from",
                found=f"during these readings the log has {listed(items)} {where}",
                needed="custody by whoever took the readings is needed",
            )


def _elsewhere(facts: Facts, sheet: Sheet, account: Account | None) -> str:
    """Where the log has the item during the sheet; empty where it agrees, or cannot tell."""
    stretches = account.during(sheet.from_, sheet.to) if account else ()
    first = account.at(sheet.from_) if account else None
    if first is None or first.keeping in {Keeping.BEFORE_LOG, Keeping.BEFORE_CUSTODY}:
        # Readings at the scene come before anybody collected anything.
        return ""
    since = first.lines[0] if first.lines else ""
    if first.holder == STORE:
        return f"in the sealed store ({since})"
    if first.holder not in {sheet.by, facts.case.head.examiner}:
        return f"with {first.holder} ({since})"
    later = [one for one in stretches if first.start < one.start]
    if not later:
        return ""
    ref = first.lines[-1]
    moved = next((line for line in account.lines if line.id == ref), None) if account else None
    return f"leaving for {moved.to_place or moved.received_by} ({moved.id})" if moved is not None else ""
