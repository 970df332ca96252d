"""The status of an explanation is no stronger than what the evidence listed with it earns.

*Supported*, *weakened* and *ruled out* are strong words; *undetermined* and *not tested* are always allowed. What a
status needs stands in the weighing: for *ruled out*, something that would have to be true, shown false by what is able
to see it, with what it would have seen stated (`detects`), on things that were whole in custody.

Fails: `status: ruled out` where no need says what the test `detects`.
Passes: `status: weakened` there; or the same with `detects`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.reasoning import Status
from asfound.model.weighing import Side, Weight
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.weighing._shared import clause, cut, earned

ENTRY = Entry(
    name="status-above-evidence",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="An explanation is called supported, weakened or ruled out only where the evidence with it earns that.",
    reason="A word that the evidence does not earn falls at the first question, and takes the conclusion with it.",
    source="NFPA 921-2014, 4.3.6; ASTM E678-07(2013), 3.1; what each word needs is a scale of ours",
    status="secondary",
    mend="Lower the status, or list what earns it: findings by tests that reach it, and what they would have seen.",
    rows=("R75", "V5"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an explanation. Silent where a rule of its own says more exactly what is wrong."""
    for explanation, one in earned(facts):
        if not one.stronger or _said_elsewhere(explanation.status, one.weights):
            continue
        why = cut(clause(one.why), 130)
        yield facts.problem(
            ENTRY,
            one.ref,
            "status",
            found=f"{one.ref} is said to be {one.claimed}, and the evidence earns {one.status}: {why}",
            needed=f"{one.status}, or evidence that earns more, is needed",
        )


def _said_elsewhere(claimed: Status, weights: tuple[Weight, ...]) -> bool:
    """Rules of their own speak of support by elimination, and of ruling out with nothing at all listed."""
    if claimed is Status.SUPPORTED:
        return not any(each.side is Side.FOR for each in weights)
    return claimed is Status.RULED_OUT and not any(each.meant is Side.AGAINST for each in weights)
