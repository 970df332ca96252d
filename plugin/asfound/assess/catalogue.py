"""Every rule of the program in one catalogue: readers, limits, and the rules proper."""

from __future__ import annotations

from functools import cache

from asfound import intake, limits, rules, seal
from asfound.problems import Catalogue, Entry, Family, Level

CASE_TWICE = Entry(
    name="case-id-twice",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A case's identity stands once in a repository.",
    reason="Two folders with one identity would publish over each other, and a tag would name both.",
    source="common practice, no source",
    status="ours",
    mend="Give one of them an identity of its own.",
    liftable=False,
)


@cache
def catalogue() -> Catalogue:
    """The catalogue. Raises ValueError where two rules bear one name."""
    found = Catalogue((CASE_TWICE,))
    for entry in (*intake.ENTRIES, *limits.ENTRIES, *seal.ENTRIES, *(rule.entry for rule in rules.discover())):
        found.add(entry)
    return found
