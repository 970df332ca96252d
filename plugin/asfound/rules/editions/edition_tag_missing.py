"""An edition that the main branch holds has its tag.

Asked only where the tags can be known: in a clone with its whole history.

Fails: edition 1 has been merged, and there is no tag `edition/base/1`.
Passes: the tag is set; or the edition still lies on a branch.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.edition import edition_tag
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.editions._place import place

ENTRY = Entry(
    name="edition-tag-missing",
    family=Family.INTEGRITY,
    level=Level.WARN,
    title="Every edition on the main branch bears its tag.",
    reason="Without the tag nothing outside the folder says which commit brought the edition.",
    source="common practice, no source",
    status="common practice",
    mend="Set it with asfound issue CASE --tag where the edition stands, and push it; "
    "or fetch the tags with git fetch --tags.",
    rows=("R103",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for each merged edition without a tag."""
    if not facts.editions.tags_known:
        return
    newest = facts.editions.newest
    for one in facts.editions.found:
        name = edition_tag(facts.case.id, one.number)
        merged = one.merged or (newest is not None and one.number < newest.number)
        if merged and name not in {tag.ref for tag in one.tags}:
            yield facts.problem(
                ENTRY,
                place(facts, one.number),
                found=f"edition {one.number} has no tag",
                needed=f"the tag {name} is needed on the commit that brought it",
            )
