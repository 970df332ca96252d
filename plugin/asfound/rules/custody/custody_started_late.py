"""Custody begins soon after the event, or the hours between are accounted for.

How soon is a setting of the organisation, `first_custody_hours`, 24 where nothing is said.

Fails: the event on 2 March, the first line of the pump on 5 March.
Passes: the first line on the same day; or a `before custody` line that tells where the thing was.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import accounts, broken_custody
from asfound.model.facts import Facts
from asfound.model.things import CustodyKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids

ENTRY = Entry(
    name="custody-started-late",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Custody of what was in use begins soon after the event, or the hours between are accounted for.",
    reason="The longer a thing lay about, the more hands it passed through that nobody wrote down.",
    source="ASTM E1188-11(2017), 2.2 (the quality of evidence fades with time); the number of hours is ours",
    status="confirmed",
    mend="Ask where the things were, and record it as a before custody line signed by whoever knows.",
    rows=("R13",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a first line, whatever items it holds."""
    case = facts.case
    if broken_custody(case):
        return
    hours = facts.settings.first_custody_hours
    told_at = case.head.event.told_at
    late: dict[str, tuple[str, list[str]]] = {}
    for item, account in sorted(accounts(case).items()):
        if not account.lines:
            continue
        record, first = case.items.get(item), account.lines[0]
        at = first.released_at or first.received_at
        if record is None or not record.in_use_at_event or first.kind is CustodyKind.BEFORE_CUSTODY or at is None:
            continue
        if (at.at - told_at.at).total_seconds() > float(hours) * 3600:
            late.setdefault(first.id, (at.text, []))[1].append(item)
    for ref, (text, items) in late.items():
        yield facts.problem(
            ENTRY,
            ref,
            found=f"custody of {ids(items)} begins at {text}, the event was at {told_at.text}",
            needed=f"custody within {hours} h, or an account of the time between, is needed",
        )
