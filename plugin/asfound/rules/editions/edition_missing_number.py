"""No edition that was issued is missing: numbers run from 1, and every tag has its edition.

Fails: editions 1 and 3 lie there; or a tag `edition/<case>/4`, and no edition 4.
Passes: 1, 2, 3.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.editions._place import folder

ENTRY = Entry(
    name="edition-missing-number",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Editions are numbered from 1 without a gap, and none that was issued is missing.",
    reason="An edition that somebody holds and the case does not is what a party will bring to court.",
    source="common practice, no source",
    status="common practice",
    mend="Bring the folder back from the commit that issued it.",
    rows=("R103",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for each number that is missing."""
    editions = facts.editions
    newest = editions.newest
    here = {one.number for one in editions.found}
    for number in range(1, newest.number if newest else 1):
        if number not in here:
            yield facts.problem(
                ENTRY,
                folder(facts),
                found=f"edition {number} is missing",
                needed="every edition up to the newest is needed",
            )
    for number, tag in editions.lost.items():
        if newest is None or number > newest.number:
            yield facts.problem(
                ENTRY,
                folder(facts),
                found=f"edition {number} is missing, though the tag {tag} names it",
                needed="every edition that was issued is needed",
                mend="Bring the folder back from the commit the tag leads to; on an older commit this is what you see.",
            )
