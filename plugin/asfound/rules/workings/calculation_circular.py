"""No calculation waits for its own answer.

Fails: two calculations, each with an answer of the other among its inputs.
Passes: a chain that begins with readings.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.worked import Lack
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids

ENTRY = Entry(
    name="calculation-circular",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="No calculation waits for its own answer.",
    reason="A round of figures proves itself.",
    source="common practice, no source",
    status="common practice",
    mend="Take one of the results out of the inputs.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem, at the first calculation that waits; the others wait with it."""
    waiting = [one.ref for one in facts.worked if any(fault.lack is Lack.ROUND for fault in one.faults)]
    if waiting:
        yield facts.problem(
            ENTRY, waiting[0], "inputs",
            found=f"{ids(waiting)} {'waits for its' if len(waiting) == 1 else 'wait for their'} own answers",
            needed="calculations that begin with readings are needed",
        )  # fmt: skip
