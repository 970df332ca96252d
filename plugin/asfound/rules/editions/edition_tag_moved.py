"""A tag of an edition leads to a commit that holds exactly that edition, and is called what it says it is called.

Fails: the tag `edition/base/1` leads to a commit with another edition 1; or the tag of edition 1 was set again under
the name of edition 2.
Passes: the tag as it was set on the commit that brought the edition.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.edition import edition_tag
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.editions._place import place

ENTRY = Entry(
    name="edition-tag-moved",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="The tag of an edition leads to a commit that holds exactly that edition, under its own name.",
    reason="The tag is the second anchor of an edition: it tells an old edition from one that was written later.",
    source="common practice, no source",
    status="common practice",
    mend="Fetch the tag from where it was first published (git fetch --tags --force) and find out who moved it here.",
    rows=("R103",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for each tag that is not what it should be."""
    for one in facts.editions.found:
        name = edition_tag(facts.case.id, one.number)
        for tag in one.tags:
            if tag.ref != tag.named:
                found = f"the tag {tag.ref} says of itself that it is {tag.named}"
            elif not tag.commit:
                found = f"the tag {tag.ref} leads to no commit that is here"
            elif not tag.holds:
                found = f"the tag {tag.ref} leads to the commit {tag.commit[:10]}, which does not hold this edition"
            else:
                continue
            yield facts.problem(
                ENTRY,
                place(facts, one.number),
                found=found,
                needed=f"a tag {name} on a commit that holds exactly this edition is needed",
            )
