"""A sheet that repeats another with a second instrument is compared with it, or the check says that nothing was.

Fails: the balance was read at 70 mL/h and the analyser at 100 mL/h, so that no two readings can be set beside each
other.
Passes: both at 100 mL/h; a repeat with another accessory, which asks another question.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.number import ValueKind
from asfound.model.verdict import SECOND_INSTRUMENT
from asfound.model.work import Reading
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import Work, answered, works
from asfound.verdicts.second import compared_sheets, of_what

ENTRY = Entry(
    name="repeat-not-compared",
    family=Family.COMPLETENESS,
    level=Level.NOTE,
    title="What was read again with a second instrument is compared with the first, or it is said that it cannot be.",
    reason="A second instrument whose readings stand beside none of the first bears nothing out, and reads as if it "
    "did.",
    source="ISO 13528:2015, 9.7 (the comparison); the note is ours",
    status="from memory",
    mend="Read at the same conditions, in the same quantity, within ranges of the instrument for which a doubt is "
    "stated; or take repeats_of away where the sheet is no repeat.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet, at its first reading that is a number."""
    every = {work.name: work for work in works(facts)}
    compared = {compared_sheets(one, facts.case) for one in facts.results if one.kind == SECOND_INSTRUMENT}
    for work in every.values():
        other = every.get(work.sheet.repeats_of or "")
        if other is None or (work.name, other.name) in compared or facts.unread.any((work.name, other.name)):
            continue
        if other.sheet.instrument == work.sheet.instrument or of_what(other.sheet) != of_what(work.sheet):
            continue
        ours, theirs = _numbers(work), _numbers(other)
        if ours and theirs:
            yield facts.problem(
                ENTRY,
                ours[0].id,
                found=f"no reading of {work.name} could be set beside one of {other.name}, which it repeats with a "
                "second instrument",
                needed="readings of one quantity at the same conditions, each with a doubt, are needed",
            )


def _numbers(work: Work) -> list[Reading]:
    return [row for row in answered(work.rows) if row.value.kind is ValueKind.NUMBER]
