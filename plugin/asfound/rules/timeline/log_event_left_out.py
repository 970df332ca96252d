"""What a log's mapping calls an event stands in the timeline.

Fails: a mapping with a code for low gas, an entry of low gas in the log, and no event with its `log_row`.
Passes: each such entry cited by one event.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.ids import sort_key
from asfound.model.logs import cited_row
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import short

ENTRY = Entry(
    name="log-event-left-out",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="What a log's mapping calls an event stands in the timeline.",
    reason="An entry that is left out of the order of events is one that somebody chose not to show.",
    source="common practice, no source",
    status="common practice",
    mend="Add a row with its log_row to timeline.csv; or take its code out of the mapping: it is then no event.",
    rows=("R31",),
)
NAMED = 4


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a log."""
    if "timeline.csv" in facts.case.broken or facts.case.some_unread("T"):
        return
    cited = {cited_row(event.log_row) for event in facts.case.timeline}
    for ref, read in facts.case.logs.items():
        evidence = facts.case.evidence.get(ref)
        if evidence is None or evidence.log is None:
            continue
        left = [row for row in read.kept.values() if row.entry in evidence.log.events and (ref, row.row) not in cited]
        count = len(left) + read.more
        if not count:
            continue
        left.sort(key=lambda row: sort_key(f"E-{row.row}"))
        named = ", ".join(f"{row.row} (“{short(row.entry)}”)" for row in left[:NAMED])
        more = f" and {count - min(len(left), NAMED)} more" if count > min(len(left), NAMED) else ""
        yield facts.problem(
            ENTRY, ref, "log", "events",
            found=f"no event of the timeline comes from {'entry' if count == 1 else 'entries'} {named}{more}",
            needed="an event for each is needed",
        )  # fmt: skip
