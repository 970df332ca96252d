"""Events of the timeline by their clock, and which of them the rest of the case leans on."""

from __future__ import annotations

import re

from asfound.model.facts import Facts
from asfound.model.testimony import TimelineRow
from asfound.model.walk import SpotKind, walk_case

_CITED = re.compile(r"\[=?(T-[a-z0-9]+(?:-[a-z0-9]+)*)\]")


def by_clock(facts: Facts) -> dict[str, list[TimelineRow]]:
    """Rows of the timeline by the clock they were read off, those of clocks that do not exist left out."""
    found: dict[str, list[TimelineRow]] = {}
    for row in facts.case.timeline:
        if row.clock in facts.case.clocks:
            found.setdefault(row.clock, []).append(row)
    return found


def leaned_on(facts: Facts) -> frozenset[str]:
    """Events that a record or a text of the case cites: there the order may matter."""
    found: set[str] = set()
    for spot in walk_case(facts.case):
        if spot.kind is SpotKind.REF and str(spot.value).startswith("T-"):
            found.add(spot.value)
        elif spot.kind is SpotKind.PROSE:
            found.update(_CITED.findall(spot.value))
    return frozenset(found)


def unread(facts: Facts) -> bool:
    """Whether a clock or an event could not be read; what asks for all of them is then not asked."""
    broken = facts.case.broken
    return "clocks.yml" in broken or "timeline.csv" in broken or any(ref[:2] in {"K-", "T-"} for ref in broken)
