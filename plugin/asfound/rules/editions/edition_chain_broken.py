"""Each edition holds the digest of the one before, so that none can be changed, swapped or slipped in unseen.

Fails: edition 2 names another digest for edition 1 than that file has.
Passes: the digests follow one another.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.editions._place import place

ENTRY = Entry(
    name="edition-chain-broken",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Each edition names the edition before it by number and digest.",
    reason="Whoever holds the newest edition can then tell whether an older one is the one it followed.",
    source="common practice, no source",
    status="common practice",
    mend="Bring the older edition back from the commit that issued it.",
    rows=("R103",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for each edition that does not follow the one before."""
    digests = {one.number: one.digest for one in facts.editions.found}
    for one in facts.editions.found:
        record = one.record
        if record is None:
            continue
        before = one.number - 1
        if record.previous != before or (before == 0 and record.previous_digest):
            yield facts.problem(
                ENTRY,
                place(facts, one.number),
                found=f"edition {one.number} says that it follows edition {record.previous}",
                needed=f"edition {before} before it is needed" if before else "no edition before the first is needed",
            )
        elif before in digests and record.previous_digest != digests[before]:
            yield facts.problem(
                ENTRY,
                place(facts, one.number),
                found=f"edition {one.number} followed an edition {before} with the digest "
                f"{record.previous_digest[:12]}…; the one that lies here has {digests[before][:12] or 'none'}…",
                needed="the edition it followed is needed",
                related=(place(facts, before),),
            )
