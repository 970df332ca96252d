"""No two people hold an item at once, and nothing is received before it was let go.

Fails: released at 12:30, received at 12:10; two lines by which the same holder lets the same item go.
Passes: released and received at the same minute, each line later than the one before.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import ClashKind, accounts
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids

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
    for item, account in sorted(accounts(facts.case).items()):
        for clash in account.clashes:
            line, before, left = clash.line, clash.before, clash.line.released_at or clash.line.received_at
            if clash.kind is ClashKind.RELEASED_TWICE:
                holder = before.received_by
                found = f'of {{items}} a second release by "{line.released_by}", while "{holder}" held it ({before.id})'
            else:
                assert left is not None and before.received_at is not None
                found = (
                    f"of {{items}} the next move is at {left.text}, "
                    f"before the receipt at {before.received_at.text} ({before.id})"
                )
            clashes.setdefault((line.id, found), []).append(item)
    for (ref, found), items in clashes.items():
        yield facts.problem(
            ENTRY,
            ref,
            found=found.replace("{items}", ids(items)),
            needed="one holder at a time, in the order of the log, is needed",
        )
