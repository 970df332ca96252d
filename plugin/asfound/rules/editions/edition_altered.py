"""An edition lies in the case as it was issued: its own text, its frozen dossier, the approvals it rests on.

Fails: a byte of `editions/1/dossier.json` was changed, or an approval it rests on was taken out.
Passes: the files as `asfound issue` wrote them.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.editions._place import folder, place

ENTRY = Entry(
    name="edition-altered",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="What was issued is never touched again: not the edition, not its dossier, not the approvals it rests on.",
    reason="A report that can change after it was handed over is no evidence of what was said, or when.",
    source="ISO/IEC 17025:2017, 7.8.8 (amendments to reports) and 8.4 (control of records)",
    status="from memory",
    mend="Bring the file back from the commit that issued it, and put what has to be said into a new edition.",
    rows=("R103",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for each edition that is not what was issued, and one for each name that belongs to none."""
    for one in facts.editions.found:
        against = [one.why] if one.record is None else list(one.altered)
        if against:
            yield facts.problem(
                ENTRY,
                place(facts, one.number),
                found=f"edition {one.number} is not as it was issued: {'; '.join(against)}",
                needed="the very files that were issued are needed",
            )
    for name in facts.editions.strange:
        yield facts.problem(
            ENTRY,
            folder(facts),
            found=f"editions/{name} belongs to no edition",
            needed="folders named after a number, with edition.json and dossier.json and nothing else, are needed",
            mend="Take it out of the folder of editions.",
        )
