"""A reading near a limit carries its doubt.

Fails: 480 µA against a limit of 500 µA, read with an instrument whose accuracy is not in the register.
Passes: the same with the accuracy on record; 100 µA, which is far from the limit; or a load that is marked on a part.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.verdict import Outcome
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import nearest_bound, of_mark, percent

ENTRY = Entry(
    name="doubt-missing",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A reading near a limit carries its doubt.",
    reason="Near a limit the doubt decides; without it the verdict is a guess with a decimal point.",
    source="ISO/IEC 17025:2017, 7.8.3.1 c; the nearness is a setting of ours",
    status="from memory",
    mend="Enter the accuracy of the range, or the doubt on the certificate, in .asfound/instruments.yml.",
    rows=("R50",),
)

NO_DOUBT = frozenset({Outcome.PASS, Outcome.FAIL, Outcome.NOT_ASSESSABLE})


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a reading. A series is compared within itself and has no doubt of its own."""
    spoken: set[str] = set()
    for verdict in facts.verdicts:
        bound = nearest_bound(verdict)
        row = facts.case.reading.get(verdict.subject)
        if bound is None or verdict.value is None or verdict.limit is None or row is None or not row.value.is_number:
            continue
        if verdict.doubt is not None or verdict.outcome not in NO_DOUBT or row.id in spoken or bound == 0:
            continue
        if of_mark(facts.protocol_test(verdict.test)):
            continue
        if facts.unread.on(row.id):
            continue  # what hinders the reading of its instrument is told there
        if abs(verdict.value - bound) > facts.settings.near_limit_share * abs(bound):
            continue
        spoken.add(row.id)
        yield facts.problem(
            ENTRY,
            row.id,
            found=f"{row.id} stands within {percent(facts.settings.near_limit_share)} of the limit "
            f"{verdict.limit.id}, and its doubt is not known",
            needed="the doubt of a reading so near its limit is needed",
        )
