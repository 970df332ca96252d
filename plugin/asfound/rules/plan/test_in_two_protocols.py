"""A test has one meaning in a plan: no two of its protocols hold a test of one name.

Fails: the plan takes `alarm-sound` from a protocol of the program and from one of the house, which asks for another
distance and reaches another topic.
Passes: the house's own test is called `alarm-sound-bedside`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="test-in-two-protocols",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="No two protocols of a plan hold a test of one name.",
    reason="The first would be followed and the other passed over: what is asked, what is reached and which limits "
    "speak would hang on the order of two words.",
    source="ISO/IEC 17025:2017, 7.8.2.1 f (identification of the method)",
    status="confirmed",
    mend="Give the test of your own protocol another name, or leave out the protocol that is not needed.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a name that the plan makes use of, at its first planned test."""
    if facts.case.plan is None:
        return
    for name in dict.fromkeys(planned.partition("--")[0] for planned in facts.case.plan.tests):
        held = [one.protocol for one in facts.protocols if name in one.tests]
        if len(held) > 1:
            first = next(planned for planned in facts.case.plan.tests if planned.partition("--")[0] == name)
            yield facts.problem(
                ENTRY,
                f"P-{first}",
                found=f'the test "{name}" stands in the protocols {" and ".join(held)}',
                needed="one protocol that says what the test is, is needed",
            )
