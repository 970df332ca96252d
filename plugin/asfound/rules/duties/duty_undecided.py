"""The decision to report, or not to, is kept with its reasons.

Fails: a serious injury in the United States, and no record in duties.yml that names the duty.
Passes: a record with `duty: us-user-facility-report`, the decision and its reasons, also where it is not to report.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.duties import Standing
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="duty-undecided",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="The decision to report an event, or not to report it, is kept with its reasons.",
    reason="The file of an event must hold how it was decided; without it, not reporting looks like forgetting.",
    source="21 CFR 803.18(b)(1)(i)",
    status="confirmed",
    mend="Add a record to duties.yml that names the duty, with the decision, its reasons, by whom and when.",
    rows=("R108",),
    private=True,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a duty."""
    for line in facts.duties.lines:
        if not line.ours or not line.asks_decision or line.records:
            continue
        said = {
            Standing.APPLIES: f"applies ({line.word})",
            Standing.MAY_APPLY: f"may apply ({line.decided_by} does not say)",
            Standing.NOT_ASKED: f"asks for no report ({line.word})",
        }[line.standing]
        yield facts.problem(
            ENTRY, "case.yml", "event", "aware_at",
            found=f'the duty "{line.kind}" {said}, and no record in duties.yml says what was decided',
            needed="the decision and its reasons are needed",
        )  # fmt: skip
