"""A case has a plan before it has results.

Fails: a case in review with sheets of readings and no plan.yml.
Passes: plan.yml names the protocols, the limit sets, the decision rule and the tests chosen.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import stands

ENTRY = Entry(
    name="plan-missing",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Tests, limits and decision rule are chosen in a plan before there are results.",
    reason="A limit or a rule that is chosen after the result can be said to have been chosen for it.",
    source="ILAC-G8:09/2019; ISO/IEC 17025:2017, 7.1.3 and 7.8.6.1",
    status="confirmed",
    mend="Begin plan.yml with asfound plan CASE: protocols, limit_sets, decision_rule, tests and the reason for each.",
    rows=("R42", "R67"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem where the case has no plan at all."""
    if facts.case.plan is None and not stands(facts, "plan.yml"):
        done = len(facts.case.sheets)
        yield facts.problem(
            ENTRY,
            "plan.yml",
            found=f"there is no plan, and {done} {'sheet' if done == 1 else 'sheets'} of readings" if done
            else "there is no plan",
            needed="a plan that chooses tests, limits and decision rule is needed before results",
        )  # fmt: skip
