"""A due date that somebody wrote down is no later than the one that follows from the rule.

Fails: aware on Friday 26 June 2026, `due: 2026-07-14`; with 3 July kept as a holiday, Monday 13 July is the tenth.
Passes: the computed day; an earlier one.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.duties._lines import day, due_words

ENTRY = Entry(
    name="stated-due-date-later",
    family=Family.INTEGRITY,
    level=Level.WARN,
    title="A due date that was written down is no later than the one that follows from the rule.",
    reason="Dates counted by hand go wrong at weekends, at holidays kept on another day, and at the turn of the year.",
    source="21 CFR 803.3, work day, and 5 USC 6103",
    status="secondary",
    mend="Take the date out; it is computed and shown with its counting.",
    rows=("R109",),
    private=True,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a record."""
    for line in facts.duties.lines:
        for ref in line.records:
            stated = facts.case.duties[ref].due
            if stated is not None and line.due is not None and stated > line.due:
                yield facts.problem(
                    ENTRY, ref, "due",
                    found=f"{ref} says due on {day(stated)}",
                    needed=f"{due_words(line)} follows from {line.within} from {line.start}",
                )  # fmt: skip
