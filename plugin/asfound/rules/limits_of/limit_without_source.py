"""A limit that is used has a document, an edition and a clause.

Fails: an organisation's limit of the kind *in-service limit* without `clause`.
Passes: the same with `clause: 5.3.2.2`; an exemplar's or the item's own history, which are their own source.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.limits import LimitKind
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="limit-without-source",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every limit that is used names its document, edition and clause.",
    reason="A limit that nobody can look up is an opinion.",
    source="ISO/IEC 17025:2017, 7.8.6.2 b",
    status="confirmed",
    mend="Add the clause to the limit in .asfound/limits/, or say by its kind that it is common practice.",
    rows=("R65",),
)

OWN_SOURCE = frozenset({LimitKind.COMMON_PRACTICE, LimitKind.EXEMPLAR, LimitKind.OWN_HISTORY, LimitKind.POLICY})
"""Kinds that name their source by what they are."""


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a limit that a verdict was given against, at the plan's choice of its set."""
    plan = facts.case.plan
    spoken: set[str] = set()
    for verdict in facts.verdicts:
        limit = verdict.limit
        if limit is None or plan is None or limit.id in spoken:
            continue
        spoken.add(limit.id)
        lacking = [name for name in ("document", "edition") if not getattr(limit, name).strip()]
        if not limit.clause.strip() and limit.kind not in OWN_SOURCE:
            lacking.append("clause")
        if lacking:
            chosen = plan.limit_sets.index(limit.set) if limit.set in plan.limit_sets else 0
            yield facts.problem(
                ENTRY,
                "plan.yml",
                "limit_sets",
                chosen,
                about=limit.id,
                found=f"the limit {limit.id} has no {' and no '.join(lacking)}, and readings are held against it",
                needed="a limit with document, edition and clause is needed",
            )
