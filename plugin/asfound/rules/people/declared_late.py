"""Ties are declared before the examination begins.

Fails: a declaration of 13 June, and an inspection that began on 3 June.
Passes: one from the hour before.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="declared-late",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="The examiner declares ties before the examination begins.",
    reason="A declaration that follows the results is asked whether it would have been made with other results.",
    source="ISO/IEC 17025:2017, 4.1.4 (risks to impartiality are identified on an ongoing basis)",
    status="from memory",
    mend="Correct the time only from the paper. If it was declared late, leave it: the report prints that it was.",
    rows=("R2",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem. A gate of an earlier time does not stand for a declaration that is dated later."""
    made = facts.case.head.declaration
    begun = [(row.at.at, row.id, row.at) for row in facts.case.inspection if row.at is not None]
    begun += [(sheet.from_.at, ref, sheet.from_) for ref, sheet in facts.case.sheets.items()]
    if made is None or made.at is None or not begun:
        return
    _, ref, first = min(begun, key=lambda one: one[:2])
    if made.at > first:
        yield facts.problem(
            ENTRY,
            "case.yml",
            "declaration",
            "at",
            found=f"ties were declared at {made.at.text}, and the examination had begun at {first.text} ({ref})",
            needed="a declaration before it is needed",
        )
