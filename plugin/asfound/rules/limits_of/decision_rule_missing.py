"""A verdict in the text has a decision rule behind it.

Fails: "The output [=R-out-1] passes." in a case without a plan.
Passes: the same with plan.yml and its `decision_rule`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._claims import clashes
from asfound.rules._texts import said
from asfound.rules._work import stands

ENTRY = Entry(
    name="decision-rule-missing",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="No verdict is told without a decision rule in the plan.",
    reason="Whether a value near its limit passes depends on the rule, and the rule must come first.",
    source="ISO/IEC 17025:2017, 7.8.6.1 and 7.8.6.2",
    status="confirmed",
    mend="Write plan.yml with its limit sets and its decision rule, or tell the value without a verdict.",
    rows=("R67",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text that tells a verdict while there is no plan."""
    if facts.case.plan is not None or stands(facts, "plan.yml"):
        return
    for text in said(facts):
        clash = next(iter(clashes(facts, text)), None)
        if clash is not None:
            yield facts.problem(
                ENTRY,
                text.where,
                *text.path,
                found=f'{text.name} says "{clash.words}" of {clash.ref}, and no plan holds a decision rule',
                needed="a decision rule chosen in the plan is needed before a verdict",
            )
