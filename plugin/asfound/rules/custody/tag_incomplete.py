"""The tag of each impounded item bears who collected it, when, and a short description.

Item and case number are the item's id and the case's identity.

Fails: an impounded item without `collected_by`.
Passes: `collected_by`, `collected_at` and `description` on each.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed

ENTRY = Entry(
    name="tag-incomplete",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The tag of each impounded item bears collector, date and a short description.",
    reason="A thing without a tag can be any thing of its kind.",
    source="ASTM E1459-13(2018), 4.1.4",
    status="confirmed",
    mend="Copy the missing fields from the tag; if the tag lacks them, add them to it, dated and signed.",
    rows=("R20",),
)

_FIELDS = {"collected_by": "who collected it", "collected_at": "when", "description": "a short description"}


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an item, listing what its tag lacks."""
    for ref, item in facts.case.items.items():
        fields = [field for field in _FIELDS if getattr(item, field) is None] if item.impounded else []
        if fields:
            yield facts.problem(
                ENTRY,
                ref,
                found=f"the tag of {ref} lacks {listed([_FIELDS[field] for field in fields])}",
                needed="collector, date and a short description are needed",
                mend=f"Copy {listed(fields)} from the tag into items.yml; if the tag lacks it, add it there too, "
                "dated and signed.",
            )
