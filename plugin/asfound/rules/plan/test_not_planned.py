"""A sheet belongs to a planned test.

Fails: a sheet of the test `hf-leakage`, which the plan does not name.
Passes: the plan names it, with `added:` and the reason where it was added after the plan was sealed.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import did_you_mean

ENTRY = Entry(
    name="test-not-planned",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Every sheet of readings belongs to a test of the plan.",
    reason="A test outside the plan may be a good thought, but the report must say that it came later, and why.",
    source="ISO/IEC 17025:2017, 7.8.2.1 n (additions to the method)",
    status="confirmed",
    mend="Add the test to plan.yml, with added: and the reason where the plan was already sealed.",
    rows=("R44",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """Sheets whose test the plan does not name; silent where there is no plan to name it."""
    plan = facts.case.plan
    if plan is None:
        return
    for name, sheet in facts.case.sheets.items():
        if sheet.test not in plan.tests and f"P-{sheet.test}" not in facts.case.broken:
            yield facts.problem(
                ENTRY,
                name,
                "test",
                found=f'the sheet {name} is of the test "{sheet.test}"{did_you_mean(sheet.test, plan.tests)}',
                needed="a test that the plan names is needed",
            )
