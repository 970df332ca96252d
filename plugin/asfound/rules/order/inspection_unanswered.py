"""Every line of the protocol's checklist is answered for every thing it is asked of that is impounded or measured.

An answer is `found`, `nothing seen`, or `could not look` with the reason.

Fails: no row for the plug of the power cord; `could not look` without `why`.
Passes: `could not look`, "the door needs a key the hospital keeps".
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from asfound.model.checklist import checklist, examined, unanswered
from asfound.model.facts import Facts
from asfound.model.things import Seen
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, listed

ENTRY = Entry(
    name="inspection-unanswered",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every line of the checklist is answered for every impounded or measured item it is asked of.",
    reason="A place nobody looked at cannot be told from a place where nothing was.",
    source="ASTM E860-22, 4.1 and 4.2 (document the nature, state and condition)",
    status="confirmed",
    mend="Add a row to inspection.csv: found, nothing seen, or could not look with the reason. "
    "asfound explain --checklist CASE prints what to look at, as rows.",
    rows=("R34",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem while nothing was inspected; else one an item, one a row without a reason or with an unknown line."""
    case = facts.case
    if case.some_unread("V"):
        return
    if not case.inspection:
        if things := examined(case):
            yield facts.problem(
                ENTRY,
                "inspection.csv",
                found=f"no inspection of {ids(things)} is on record",
                needed="an answer to each line of the checklist, before any power, is needed",
            )
        return
    lines = checklist(facts.protocols)
    for ref, missing in unanswered(case, lines).items():
        yield facts.problem(
            ENTRY,
            ref,
            found=f"{len(missing)} line{'s' * (len(missing) > 1)} of the checklist "
            f"{'are' if len(missing) > 1 else 'is'} not answered for {ref}: {listed(missing)}",
            needed="found, nothing seen, or could not look is needed",
        )
    for row in case.inspection:
        if row.seen is Seen.COULD_NOT and not row.why:
            yield facts.problem(
                ENTRY,
                row.id,
                found=f"one could not look at {row.place or row.check}, without a reason",
                needed="why one could not look is needed",
                mend="Fill in the column why.",
            )
        elif row.check and lines and row.check not in lines:
            near = get_close_matches(row.check, lines, 1)
            yield facts.problem(
                ENTRY,
                row.id,
                found=f'"{row.check}" is no line of the checklist' + (f"; there is {near[0]}" if near else ""),
                needed="a line of the plan's protocols, or nothing, is needed",
                mend="Correct the word, or leave the column empty for what was noticed besides.",
            )
