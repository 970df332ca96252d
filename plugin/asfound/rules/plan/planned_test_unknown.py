"""A planned test is a test of one of the plan's protocols.

Fails: a planned test `output-pwer` while the protocol calls it `output-power`.
Passes: `output-power`, and `output-power--swap` for a second use of it.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import did_you_mean

ENTRY = Entry(
    name="planned-test-unknown",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Every planned test is a test of one of the plan's protocols.",
    reason="What a test needs, can reach and may alter is written in its protocol; without one nothing of it is known.",
    source="ISO/IEC 17025:2017, 7.8.2.1 f (identification of the method)",
    status="confirmed",
    mend="Correct the name, or name the protocol that holds the test.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """Planned tests without a protocol's test; silent while a protocol itself is not known."""
    plan = facts.case.plan
    if plan is None or any(name not in facts.book.protocols for name in plan.protocols):
        return
    known = {name for protocol in facts.protocols for name in protocol.tests}
    for name in plan.tests:
        if facts.protocol_test(name) is None:
            yield facts.problem(
                ENTRY,
                f"P-{name}",
                found=f'the plan names the test "{name}"{did_you_mean(name.partition("--")[0], known)}',
                needed="a test of the plan's protocols is needed",
            )
