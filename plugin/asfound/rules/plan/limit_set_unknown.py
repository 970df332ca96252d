"""A limit set that the plan names exists, and so does each limit a planned test names.

Fails: `limit_sets: [iec-62353]`.
Passes: `limit_sets: [iec-62353-2014]`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import did_you_mean

ENTRY = Entry(
    name="limit-set-unknown",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Every limit set and every limit that the plan names exists.",
    reason="A reading that should have been held against a limit would silently be held against nothing.",
    source="ISO/IEC 17025:2017, 7.8.6.2 b",
    status="confirmed",
    mend="Correct the name, or add the set under .asfound/limits/.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """Names in `limit_sets`, and in the `limits` of planned tests, that stand nowhere."""
    plan = facts.case.plan
    if plan is None:
        return
    known = facts.book.sets
    for number, name in enumerate(plan.limit_sets):
        if name not in known:
            yield facts.problem(
                ENTRY,
                "plan.yml",
                "limit_sets",
                number,
                about=name,
                found=f'the plan names the limit set "{name}"{did_you_mean(name, known)}',
                needed="a limit set of the package or of the organisation is needed",
            )
    if any(name not in known for name in plan.limit_sets):
        return
    limits = {limit for name in plan.limit_sets for limit in known[name].limits}
    for test, planned in plan.tests.items():
        for number, name in enumerate(planned.limits or ()):
            if name not in limits:
                yield facts.problem(
                    ENTRY,
                    f"P-{test}",
                    "limits",
                    number,
                    about=name,
                    found=f'the planned test {test} names the limit "{name}"{did_you_mean(name, limits)}',
                    needed="a limit of the plan's limit sets is needed",
                    mend="Correct the name, or add its set to limit_sets.",
                )
