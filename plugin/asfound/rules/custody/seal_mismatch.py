"""The seal that is found is the seal that was put on.

Along the log, and at receipt: `seal_on_receipt` of an item against the log.

Fails: `seal_after` 2001 on one line, `seal_before` 2010 on the item's next.
Passes: 2001 on both; no seal on either.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from asfound.model.facts import Facts
from asfound.model.things import CustodyKind, CustodyLine
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids
from asfound.rules.custody._holding import broken_custody, lines_of, sealed

ENTRY = Entry(
    name="seal-mismatch",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="The seal found at a hand-over is the one that was put on at the last.",
    reason="A seal with another number means that somebody opened the container and nobody wrote it down.",
    source="ASTM E1459-13(2018), 4.1.5",
    status="confirmed",
    mend="Read both numbers again from the photographs; if they differ, record the incident before any test.",
    rows=("R14",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a line of the log, whatever items it holds, then one an item for its receipt."""
    if broken_custody(facts.case):
        return
    logs = lines_of(facts.case)
    clashes: dict[tuple[str, str, Level], list[str]] = {}
    for item in sorted(logs):
        for before, line in pairwise(logs[item]):
            on, found = sealed(before.seal_after), sealed(line.seal_before)
            if line.kind is CustodyKind.BEFORE_CUSTODY or on == found:
                continue
            if on and found:
                words = f"seal {on} was put on {{items}} at {before.id}, seal {found} was found here"
            elif on:
                words = f"seal {on} was put on {{items}} at {before.id}, and none was read here"
            else:
                words = f"no seal was put on {{items}} at {before.id}, seal {found} was found here"
            clashes.setdefault((line.id, words, Level.REJECT if found else Level.WARN), []).append(item)
    for (ref, words, level), items in clashes.items():
        yield facts.problem(
            ENTRY,
            ref,
            found=words.replace("{items}", ids(items)),
            needed="the same seal at both ends is needed",
            level=level,
        )
    for ref, record in facts.case.items.items():
        read = sealed(record.seal_on_receipt or "")
        expected = _on_receipt(facts, logs.get(ref, []))
        if read and expected and read != expected:
            yield facts.problem(
                ENTRY,
                ref,
                "seal_on_receipt",
                found=f"{ref} was received under seal {read}, the log has seal {expected}",
                needed="the same seal at both ends is needed",
            )


def _on_receipt(facts: Facts, lines: list[CustodyLine]) -> str:
    """The seal the item bore when the examiner first received it, as the log has it."""
    on = ""
    for line in lines:
        if line.received_by == facts.case.head.examiner:
            return on or sealed(line.seal_before)
        on = sealed(line.seal_after)
    return on
