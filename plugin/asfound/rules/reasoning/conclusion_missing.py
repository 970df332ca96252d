"""A case in review has a conclusion, even if it is *undetermined*.

Fails: findings and explanations, and no conclusion.yml.
Passes: a conclusion at any level. A case held for joint examination is warned only: it may not have one yet.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.event import Stage
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import stands

ENTRY = Entry(
    name="conclusion-missing",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A case in review has a conclusion with its level, be it undetermined.",
    reason="Whoever asked is owed an answer, and *undetermined*, with what would settle it, is one.",
    source="ASTM E620-18 (reporting opinions of experts)",
    status="from memory",
    mend="Write conclusion.yml with mechanism, reason, their levels and what stays open.",
    rows=("R78",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem where there is no conclusion at all."""
    if facts.case.conclusion is None and not stands(facts, "conclusion.yml"):
        yield facts.problem(
            ENTRY,
            "conclusion.yml",
            found="no conclusion is on record",
            needed="a conclusion with its level is needed",
            level=Level.WARN if facts.case.head.stage is Stage.HELD else None,
        )
