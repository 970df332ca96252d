"""What was wrong with the calculations of a case, as problems of the rule that speaks of it."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.worked import Lack
from asfound.problems import Entry, Problem


def told(facts: Facts, entry: Entry, *lacks: Lack) -> Iterator[Problem]:
    """A problem for each fault of these kinds."""
    for worked in facts.worked:
        for fault in worked.faults:
            if fault.lack in lacks:
                yield facts.problem(
                    entry, worked.ref, *fault.path, about="", found=f"{worked.ref}: {fault.found}", needed=fault.needed,
                    mend=fault.mend,
                )  # fmt: skip
