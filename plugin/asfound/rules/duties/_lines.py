"""Where a duty stands, and its words: shared by the rules about reporting duties."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from asfound.model.duties import DutyLine, Standing
from asfound.model.facts import Facts


def owed(facts: Facts) -> Iterator[DutyLine]:
    """The organisation's own duties under which a report is, or may be, owed and was not declined."""
    return (
        line
        for line in facts.duties.lines
        if line.ours and line.standing is not Standing.NOT_ASKED and not line.declined
    )


def place(line: DutyLine, field: str = "duty") -> tuple[str, ...]:
    """Where a problem of the line belongs: its last record, or what starts its clock."""
    return (line.records[-1], field) if line.records else ("case.yml", "event", "aware_at")


def day(date: dt.date) -> str:
    """A date with its day of the week, as files write it: `Monday 2026-03-23`."""
    names = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
    return f"{names[date.weekday()]} {date.isoformat()}"


def due_words(line: DutyLine) -> str:
    """When a line is due: `Monday 2026-03-23`, or the hour where hours are counted."""
    assert line.due is not None
    if line.due_at is not None:
        return f"{day(line.due)}, {line.due_at:%H:%M}"
    return day(line.due)


def days(count: int) -> str:
    """`1 day`, `3 days`."""
    return f"{count} day" if count == 1 else f"{count} days"
