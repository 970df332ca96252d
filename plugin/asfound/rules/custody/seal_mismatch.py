"""The seal that is found is the seal that was put on.

Along the log, and at receipt: `seal_on_receipt` of an item against the log.

Fails: `seal_after` 2001 on one line, `seal_before` 2010 on the item's next.
Passes: 2001 on both; no seal on either.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import Account, accounts, broken_custody, sealed
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids

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
    known = accounts(facts.case)
    clashes: dict[tuple[str, str, Level], list[str]] = {}
    for item in sorted(known):
        for broken in known[item].seals:
            line, before, on, found = broken.line, broken.before, broken.put_on, broken.found
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
        account = known.get(ref)
        receipt = account.receipt(facts.case.head.examiner) if account else None
        # The seal the item bore when the examiner first received it; where nobody did, the last it was put under.
        expected = account.seal_before(receipt) if account and receipt else _last(account)
        if read and expected and read != expected:
            yield facts.problem(
                ENTRY,
                ref,
                "seal_on_receipt",
                found=f"{ref} was received under seal {read}, the log has seal {expected}",
                needed="the same seal at both ends is needed",
            )


def _last(account: Account | None) -> str:
    return sealed(account.lines[-1].seal_after) if account and account.lines else ""
