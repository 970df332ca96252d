"""Where a limit's document has other editions, the plan says why this one.

Fails: the plan uses the 2005 edition of a document whose 2012 edition is also in the library, and has no note.
Passes: the plan's note says "the 2005 edition was in force when the device was built".
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="limit-edition-note",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Where other editions of a limit's document are known, the plan says why this one was chosen.",
    reason="The same leakage passes under one edition and fails under another.",
    source="NFPA 99, editions 2005 and 2012, whose leakage limits differ",
    status="from memory",
    mend="Say in the plan's note which edition was in force for this device and facility.",
    rows=("R66",),
)

_YEAR = re.compile(r"\b(?:19|20)\d{2}\b")


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a chosen set that has sisters of another edition, unless the note names its year."""
    plan = facts.case.plan
    if plan is None:
        return
    note = plan.note or ""
    for number, name in enumerate(plan.limit_sets):
        chosen = facts.book.sets.get(name)
        if chosen is None:
            continue
        years = _YEAR.findall(chosen.edition)
        if any(year in note for year in years) or (not years and "edition" in note.casefold()):
            continue
        others = sorted(
            {
                other.edition
                for other in facts.book.sets.values()
                if other.set != name
                and other.extends != name
                and chosen.extends != other.set
                and other.document.strip().casefold() == chosen.document.strip().casefold()
                and other.edition != chosen.edition
            }
        )
        if others:
            yield facts.problem(
                ENTRY,
                "plan.yml",
                "limit_sets",
                number,
                about=name,
                found=f"the plan uses {chosen.document}, {chosen.edition}; also known: {'; '.join(others)}",
                needed="a note that says why this edition applies is needed",
            )
