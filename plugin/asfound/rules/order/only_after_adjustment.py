"""What was measured after an adjustment was also measured before it.

Fails: the only flow sheet of the pump says `moment: after adjustment`.
Passes: a sheet as received, and another after the adjustment.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.work import SheetMoment
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids

ENTRY = Entry(
    name="only-after-adjustment",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="What was measured after an adjustment was also measured before it.",
    reason="A reading after repair tells how well the repair went, and nothing about the event.",
    source="ISO/IEC 17025:2017, 7.8.4 (results before and after an adjustment)",
    status="from memory",
    mend="Add the sheet taken as received; if there is none, say so in the conclusion and lift this with an exception.",
    rows=("R41",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a planned test. Sheets whose rows are all void count as none."""
    by_test: dict[tuple[str, str], list[str]] = {}
    for ref, sheet in facts.case.sheets.items():
        if facts.case.standing(ref) or facts.unread.on(ref):
            by_test.setdefault((sheet.test.partition("--")[0], sheet.item), []).append(ref)
    for (test, item), sheets in by_test.items():
        if all(facts.case.sheets[ref].moment is SheetMoment.AFTER_ADJUSTMENT for ref in sheets):
            yield facts.problem(
                ENTRY,
                sheets[0],
                "moment",
                found=f"{test} of {item} has readings after an adjustment only ({ids(sheets)})",
                needed="readings of the item as it was received are needed",
            )
