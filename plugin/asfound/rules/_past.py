"""What git tells of records once results were in, and whether the case says of a change itself."""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.account import entered, planned_sheets
from asfound.model.facts import Facts
from asfound.model.past import RecordChange


def told_of(facts: Facts) -> bool:
    """Whether git can be asked about this case at all."""
    past = facts.past
    return past.known and not past.cut and facts.case.head.entered_later is None


def results(facts: Facts, sheets: tuple[str, ...] | None = None) -> tuple[str, ...]:
    """The commits that brought readings of the plan, or of some sheets."""
    chosen = planned_sheets(facts.case) if sheets is None else sheets
    brought = (entered(facts.past, row.id) for sheet in chosen for row in facts.case.standing(sheet))
    return tuple(dict.fromkeys(one for one in brought if one))


def changes_after(facts: Facts, ref: str, commits: tuple[str, ...]) -> Iterator[RecordChange]:
    """What happened to a record in commits that rest on one of these, and what is not committed yet."""
    for change in facts.past.of(ref):
        if any(facts.past.before(one, change.commit) for one in commits):
            yield change
    if commits:
        yield from facts.past.lying.get(ref, ())


def owned_up(facts: Facts, change: RecordChange, *words: str) -> bool:
    """Whether the case says itself of a change: the limits of the work, a text of its own, or an edition's reason."""
    made = facts.case.conclusion
    said = [str(made.limits_of_work or "") if made is not None else "", *words]
    said += [one.record.reason for one in facts.editions.found if one.record and one.number == change.edition]
    return any(re.search(rf"(?<![\w-]){re.escape(change.ref)}(?![\w-])", text) for text in said)


def when(commit: str) -> str:
    """`in commit 1234567890`, or since the last one."""
    return f"in commit {commit[:10]}" if commit else "since the last commit"
