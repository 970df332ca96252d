"""What the rules, limits and arithmetic of today say otherwise of the newest edition is told, and changes nothing.

Fails: a limit was revised after the edition was issued, and a verdict would now be another.
Passes: today's rules say of the same records what they said then.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.editions._place import place

ENTRY = Entry(
    name="edition-rules-differ",
    family=Family.INTEGRITY,
    level=Level.NOTE,
    title="Where today's rules say otherwise of an edition, this is said beside it.",
    reason="An edition speaks as of its date; whoever relies on it later should know what would be said now.",
    source="common practice, no source",
    status="common practice",
    mend="Read what is listed on the page of the edition, and issue a new one where it matters.",
    rows=("R103",),
)

_SHOWN = 110


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem."""
    said, newest = facts.editions.otherwise, facts.editions.newest
    if not said or newest is None:
        return
    first = said[0].rstrip(".")
    first = first if len(first) <= _SHOWN else f"{first[: _SHOWN - 1].rstrip()}…"
    more = f" (and {len(said) - 1} more)" if len(said) > 1 else ""
    yield facts.problem(
        ENTRY,
        place(facts, newest.number),
        found=f"today's rules say otherwise of edition {newest.number}: {first}{more}",
        needed="the edition stands as it was issued",
    )
