"""No two people hold an item at once, and nothing is received before it was let go.

Fails: released at 12:30, received at 12:10; two lines by which the same holder lets the same item go.
Passes: released and received at the same minute, each line later than the one before.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids
from asfound.rules.custody._holding import lines_of

ENTRY = Entry(
    name="custody-overlap",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="No two people hold an item at once, and nothing is received before it was let go.",
    reason="A log that has a thing in two places was not written as it happened.",
    source="ASTM D4840-99(2010)",
    status="common practice",
    mend="Compare the line with the signed paper, and correct what was copied wrongly; move no time to make it fit.",
    rows=("R11",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a line, whatever items it holds."""
    for line in facts.case.custody:
        if line.released_at and line.received_at and line.received_at < line.released_at:
            yield facts.problem(
                ENTRY,
                line.id,
                found=f"received at {line.received_at.text}, before it was let go at {line.released_at.text}",
                needed="a receipt no earlier than the release is needed",
            )
    clashes: dict[tuple[str, str], list[str]] = {}
    for item, lines in sorted(lines_of(facts.case).items()):
        for before, line in pairwise(lines):
            leaves = line.released_at or line.received_at
            if line.released_by and line.released_by == before.released_by != before.received_by:
                holder = before.received_by
                found = f'of {{items}} a second release by "{line.released_by}", while "{holder}" held it ({before.id})'
            elif before.received_at and leaves and leaves < before.received_at:
                found = (
                    f"of {{items}} the next move is at {leaves.text}, "
                    f"before the receipt at {before.received_at.text} ({before.id})"
                )
            else:
                continue
            clashes.setdefault((line.id, found), []).append(item)
    for (ref, found), items in clashes.items():
        yield facts.problem(
            ENTRY,
            ref,
            found=found.replace("{items}", ids(items)),
            needed="one holder at a time, in the order of the log, is needed",
        )
