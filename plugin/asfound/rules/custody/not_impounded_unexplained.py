"""A thing that was in use and was not kept says why.

Fails: `in_use_at_event: yes`, `impounded: no`, nothing more.
Passes: `why_not_impounded: discarded before the hospital was told`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="not-impounded-unexplained",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A thing that was in use at the event and was not kept says why.",
    reason="What is missing limits what can be concluded, and the reader must know whether anybody had a choice.",
    source="IMDRF/AE WG/N43 (edition 4, 2020), annex B (discarded, incomplete and not accessible are answers)",
    status="confirmed",
    mend="Add why_not_impounded to the item: discarded, needed for the patient, kept by another party.",
    rows=("R8",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an item."""
    for ref, item in facts.case.items.items():
        if item.in_use_at_event and not item.impounded and item.why_not_impounded is None:
            yield facts.problem(
                ENTRY,
                ref,
                "impounded",
                found=f"{ref} was in use at the event and was not impounded",
                needed="the reason is needed",
            )
