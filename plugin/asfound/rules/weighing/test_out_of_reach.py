"""A test is held for or against an explanation only where it can reach it.

What a test reaches stands in its protocol, and the plan may narrow it. Where an explanation names no topic, the plan's
own word counts, written before the results: the explanations a test `separates`.

Fails: a pass of the rate test below `contradicts` of *free flow*, which it cannot see.
Passes: the finding below an explanation, or a need, whose topic the test reaches.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.case import Path
from asfound.model.facts import Facts
from asfound.model.reasoning import Explanation
from asfound.model.weighing import Side, Weight
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.weighing._shared import cut, weighed

ENTRY = Entry(
    name="test-out-of-reach",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A test speaks for or against an explanation only where it can reach it.",
    reason="A device that passed a test was not thereby cleared of what the test could not have seen.",
    source="NFPA 921-2014, 4.3.6 (a test under conditions unlike those of the event tests something else)",
    status="secondary",
    mend="Take it out, list it under the need whose topic the test reaches, or plan a test that reaches this one.",
    rows=("R77",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a piece of evidence that cannot speak, one a test named as able that is not."""
    if "plan.yml" in facts.case.broken:
        return
    for explanation, one in weighed(facts):
        spoken: set[str] = set()
        for each in one.weights:
            # A piece of evidence that is no evidence at all has a rule of its own.
            if each.side is not Side.CANNOT_SPEAK or not each.deaf or each.ref in spoken or facts.unread.on(each.ref):
                continue
            spoken.add(each.ref)
            yield facts.problem(
                ENTRY,
                one.ref,
                *_place(explanation, each),
                about=each.ref,
                found=f"{each.ref} is held {each.meant} {one.ref}, and {cut(each.why, 120)}",
                needed="evidence by a test that reaches it, or by something seen, is needed",
            )
        for number, name in enumerate(explanation.reached_by):
            if name in one.unable:
                yield facts.problem(
                    ENTRY,
                    one.ref,
                    "reached_by",
                    number,
                    about=name,
                    found=f"{name} is said to reach {one.ref}, and cannot reach {explanation.topic or 'it'}",
                    needed="a test that reaches it is needed",
                )
        for index, need in enumerate(one.needs):
            for number, name in enumerate(explanation.needs[index].tested_by):
                if name in need.incapable:
                    topic = explanation.needs[index].topic or explanation.topic
                    yield facts.problem(
                        ENTRY,
                        one.ref,
                        "needs",
                        index,
                        "tested_by",
                        number,
                        about=name,
                        found=f"{name} is said to test a need of {one.ref}, and cannot reach {topic or 'it'}",
                        needed="a test that reaches it is needed",
                    )


def _place(explanation: Explanation, each: Weight) -> Path:
    """The field it is listed in."""
    if each.need is None:
        name = "supports" if each.meant is Side.FOR else "contradicts"
        return (name, getattr(explanation, name).index(each.ref))
    name = "shown_by" if each.meant is Side.FOR else "shown_false_by"
    return ("needs", each.need, name, getattr(explanation.needs[each.need], name).index(each.ref))
