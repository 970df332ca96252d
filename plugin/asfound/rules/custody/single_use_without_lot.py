"""A single-use thing has its lot or its packaging, or says why neither.

Fails: `single_use: yes`, no `lot`, no packaging.
Passes: a lot; `packaging_kept: yes`; `lot: {not_recorded: the wrapper was discarded}`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="single-use-without-lot",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A single-use thing has its lot or its packaging, or says why neither could be had.",
    reason="Without a lot nobody can ask whether its sisters failed too.",
    source="21 CFR 803.32(c)(4)",
    status="confirmed",
    mend="Read the lot from the wrapper or the stock record, or write lot: {not_recorded: why}.",
    rows=("R19",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an item."""
    for ref, item in facts.case.items.items():
        if item.single_use and item.lot is None and not item.packaging_kept:
            yield facts.problem(
                ENTRY,
                ref,
                "single_use",
                found=f"{ref} is for single use, and neither its lot nor its packaging is on record",
                needed="the lot, the packaging, or the reason is needed",
            )
