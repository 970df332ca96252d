"""A protocol that the plan names exists.

Fails: `protocols: [high-frequency-surgica]`.
Passes: `protocols: [high-frequency-surgical]`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import did_you_mean

ENTRY = Entry(
    name="protocol-unknown",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Every protocol that the plan names exists.",
    reason="A test without its protocol cannot be checked for conditions, coverage or cautions.",
    source="ISO/IEC 17025:2017, 7.8.2.1 f (identification of the method)",
    status="confirmed",
    mend="Correct the name, or add the protocol under .asfound/protocols/.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """Names in `protocols` that stand nowhere."""
    if facts.case.plan is None:
        return
    known = facts.book.protocols
    for number, name in enumerate(facts.case.plan.protocols):
        if name not in known:
            yield facts.problem(
                ENTRY,
                "plan.yml",
                "protocols",
                number,
                about=name,
                found=f'the plan names the protocol "{name}"{did_you_mean(name, known)}',
                needed="a protocol of the package or of the organisation is needed",
            )
