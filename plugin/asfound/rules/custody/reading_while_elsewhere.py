"""Readings were taken while the log has the item with whoever took them.

Readings at the scene, before anything was collected, are not asked.

Fails: a sheet of 7 March, while the log has the item in the sealed store from the 6th.
Passes: a sheet between the line that gave it to the examiner and the line that took it away.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.things import CustodyLine
from asfound.model.work import Sheet
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed
from asfound.rules.custody._holding import STORE, broken_custody, lines_of

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
    logs = lines_of(facts.case)
    for ref, sheet in facts.case.sheets.items():
        apart: dict[str, list[str]] = {}
        for item in (sheet.item, *sheet.accessories):
            where = _elsewhere(facts, sheet, logs.get(item, []))
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


def _elsewhere(facts: Facts, sheet: Sheet, lines: list[CustodyLine]) -> str:
    """Where the log has the item during the sheet; empty where it agrees, or cannot tell."""
    timed = [line for line in lines if line.received_at is not None]
    last = next((line for line in reversed(timed) if line.received_at and line.received_at <= sheet.from_), None)
    if last is None:
        # The log begins later: readings at the scene come before anybody collected anything.
        return ""
    after = timed[timed.index(last) + 1 :]
    moved = next((line for line in after if (at := line.released_at or line.received_at) and at < sheet.to), None)
    if last.received_by == STORE:
        return f"in the sealed store ({last.id})"
    if last.received_by not in {sheet.by, facts.case.head.examiner}:
        return f"with {last.received_by} ({last.id})"
    return f"leaving for {moved.to_place or moved.received_by} ({moved.id})" if moved is not None else ""
