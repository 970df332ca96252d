"""A photograph or video has the time it was taken, on a clock whose error was measured.

Where a messenger stripped the time, the reason stands under `time_not_obtainable`: that warns, and such a picture alone
cannot show the as-found state.

Fails: a photograph without `taken_at`; or with `clock: K-2`, a clock that was never compared.
Passes: `taken_at` and `clock: K-2`, with a comparison of K-2 in clocks.yml.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.base import told
from asfound.model.facts import Facts
from asfound.model.testimony import EvidenceKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, short

ENTRY = Entry(
    name="photograph-without-time",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A photograph or video has the time it was taken, on a clock whose error was measured.",
    reason="A picture shows a state; only its time says whose state it was, before or after.",
    source="ASTM E1020-13e1, 5.1.2; ISO/IEC 27037:2012",
    status="confirmed",
    mend="Add taken_at and clock, and compare that clock in clocks.yml; or say why under time_not_obtainable.",
    rows=("R25",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a picture without time, one for all pictures of a camera that was not compared."""
    clocks: dict[str, list[str]] = {}
    for ref, evidence in facts.case.evidence.items():
        if evidence.kind not in {EvidenceKind.PHOTOGRAPH, EvidenceKind.VIDEO}:
            continue
        if evidence.taken_at is None and evidence.time_not_obtainable is not None:
            shown = ", and is offered as found" if evidence.as_found else ""
            yield facts.problem(
                ENTRY,
                ref,
                "time_not_obtainable",
                found=f"the {evidence.kind} has no time ({short(told(evidence.time_not_obtainable))}){shown}",
                needed="another record of the same state is needed to rest on",
                level=Level.WARN,
            )
        elif evidence.taken_at is None:
            yield facts.problem(
                ENTRY,
                ref,
                found=f"nothing says when the {evidence.kind} was taken",
                needed="its time and the clock it comes from are needed",
            )
        elif evidence.clock is None:
            yield facts.problem(
                ENTRY,
                ref,
                "taken_at",
                found=f"nothing says on which clock the {evidence.kind} was timed",
                needed="the clock, and its measured error, are needed",
            )
        else:
            clocks.setdefault(evidence.clock, []).append(ref)
    for name, pictures in clocks.items():
        clock = facts.case.clocks.get(name)
        if clock is None or clock.comparisons:
            continue
        yield facts.problem(
            ENTRY,
            name,
            found=f"the clock of {ids(pictures)} was not compared with another"
            + (f" ({short(told(clock.not_compared))})" if clock.not_compared is not None else ""),
            needed="its measured error is needed",
            level=Level.WARN if clock.not_compared is not None else None,
        )
