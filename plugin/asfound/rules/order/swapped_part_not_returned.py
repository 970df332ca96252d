"""A part that was swapped for one to compare with goes back to its own bag, and is fitted again where it is claimed.

After a sheet with an exemplar fitted, the log must put both away again. A sheet said to be at the as-found settings
with the as-found accessories cannot have the exemplar in the place of the part.

Fails: `accessories: [I-2, I-4]` with `as_found_settings: yes`, where I-4 stands beside I-3; no line of custody for I-4
after the swap.
Passes: the swap on a sheet of its own, and a line that stores both afterwards.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import STORE, Account, accounts, broken_custody
from asfound.model.base import Moment
from asfound.model.facts import Facts
from asfound.model.things import ItemRole
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids

ENTRY = Entry(
    name="swapped-part-not-returned",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A part swapped for one to compare with goes back to its own bag, and stands where it is said to stand.",
    reason="Two parts of one kind, once mixed, can never be told apart again.",
    source="ASTM E1459-13(2018) (audit trail); common practice for the swap itself",
    status="common practice",
    mend="Add the line by which both went back under seal, or correct what was fitted.",
    rows=("ST12",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet that claims too much, and one a swap that was not put away."""
    if broken_custody(facts.case):
        return
    items, known = facts.case.items, accounts(facts.case)
    last: dict[str, tuple[str, Moment]] = {}
    for ref, sheet in facts.case.sheets.items():
        for part in sheet.accessories:
            item = items.get(part)
            other = item.compares_with if item and item.role is ItemRole.EXEMPLAR else None
            if other is None or other not in items or other in (sheet.item, *sheet.accessories):
                continue
            if sheet.as_found_settings:
                yield facts.problem(
                    ENTRY,
                    ref,
                    "accessories",
                    about=part,
                    found=f"{part} stands in the place of {other}, on a sheet said to be with the as-found accessories",
                    needed=f"{other} itself is needed there, or as_found_settings: no",
                )
            if part not in last or last[part][1] < sheet.to:
                last[part] = ref, sheet.to
    for part, (ref, until) in last.items():
        other = items[part].compares_with or ""
        loose = [one for one in (part, other) if items[one].impounded and not _put_away(known.get(one), until)]
        if loose:
            yield facts.problem(
                ENTRY,
                ref,
                "accessories",
                about=part,
                found=f"after the swap of {other} for {part} the log does not put {ids(loose)} away again",
                needed="a line for each back into its own bag, sealed, is needed",
            )


def _put_away(account: Account | None, after: Moment) -> bool:
    return account is not None and any(
        (at := line.received_at or line.released_at) is not None
        and at >= after
        and (line.received_by == STORE or bool(line.seal_after))
        for line in account.lines
    )
