"""An event that was taken from a log says what the log says: the row is there, and clock, time and words are its own.

The time is compared as the digits of the log's own clock, cut to the step in which the timeline writes it; where the
log writes an offset from UTC, as the instant. The words are those that the log's `events` give for the code or words of
the row.

Fails: `log_row` E-5#14 for a log of twelve entries; 10:05 for an entry of 10:06; other words than the mapping's.
Passes: clock and digits of the log, and the mapping's words; an event without `log_row` is not asked.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.logs import LogRow, cited_row
from asfound.model.testimony import Evidence, TimelineRow
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import short

ENTRY = Entry(
    name="timeline-differs-from-log",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="An event taken from a log says what the log says: the row is there, and clock, time and words are its own.",
    reason="A time copied wrongly out of a log is taken for the device's own word, and an order is built on it.",
    source="ISO/IEC 17025:2017, 7.5.1 and 7.11.6 (checks of calculations and of data transfers)",
    status="from memory",
    mend="Copy the row out of the log again, and say under log which words stand for its code.",
    rows=("R31", "R89"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an event and kind of difference."""
    for event in facts.case.timeline:
        cited = cited_row(event.log_row)
        if cited is None or cited[0] in facts.case.broken or "evidence.yml" in facts.case.broken:
            continue
        ref, number = cited
        evidence = facts.case.evidence.get(ref)
        if evidence is None or evidence.log is None:
            found = f"{ref} says nothing of how its rows are read" if evidence else f"there is no {ref}"
            yield _problem(facts, event, "log_row", found, "a log with its columns under log is needed")
            continue
        read = facts.case.logs.get(ref)
        if read is None or read.absent:
            continue
        row = read.kept.get(number)
        if row is None:
            found = f"{ref} has {read.entries} entries, and none is numbered {short(number)}"
            yield _problem(facts, event, "log_row", found, "the number of an entry is needed")
            continue
        yield from _against(facts, event, evidence, row)


def _against(facts: Facts, event: TimelineRow, evidence: Evidence, row: LogRow) -> Iterator[Problem]:
    where = f"{event.log_row} (line {row.line})"
    if row.times > 1:
        yield _problem(
            facts, event, "log_row", f"{row.times} entries of the log bear this number",
            "a number that stands once is needed",
        )  # fmt: skip
    if evidence.clock != event.clock:
        shown = evidence.clock or "no clock"
        yield _problem(
            facts, event, "clock", f"{event.clock} stands here, and the log is on {shown}",
            "the log's own clock is needed",
        )  # fmt: skip
    if row.at is None:
        yield _problem(
            facts, event, "at", f"the time of {where}, “{short(row.time)}”, cannot be read as a time",
            "a date and a time of day are needed; else say under log its date, or where it counts from",
        )  # fmt: skip
    elif not _same(event, row):
        yield _problem(
            facts, event, "at", f"{event.at.text} stands here, and {where} says “{short(row.time)}”",
            "the time of the entry, by the log's own clock, is needed",
        )  # fmt: skip
    words = evidence.log.events.get(row.entry) if evidence.log is not None else None
    if words is None:
        yield _problem(
            facts, event, "event", f"the entry of {where}, “{short(row.entry)}”, is no event by the log's mapping",
            "words for it under events of the log are needed",
        )  # fmt: skip
    elif " ".join(words.split()) != " ".join(event.event.split()):
        yield _problem(
            facts, event, "event", f"“{short(event.event)}” stands here, and “{short(words)}” for {where}",
            "the words of the mapping are needed",
        )  # fmt: skip


def _same(event: TimelineRow, row: LogRow) -> bool:
    """Whether the log's time, cut to the step in which the timeline writes its own, is the same."""
    shown, there = event.at.at, row.zoned
    if there is None and row.at is not None:
        there = row.at.replace(tzinfo=shown.tzinfo)
    if there is None:
        return False
    away = (there - shown).total_seconds()
    return 0.0 <= away < _step(event.at.text) if row.step < _step(event.at.text) else away == 0.0


def _step(text: str) -> float:
    """The step in which a moment was written: minutes, seconds, or parts of one."""
    clock = text.strip()[11:].replace("−", "-").rstrip("Z").split("+")[0].split("-")[0].strip()
    if clock.count(":") < 2:
        return 60.0
    return float(10.0 ** -len(clock.partition(".")[2]))


def _problem(facts: Facts, event: TimelineRow, field: str, found: str, needed: str) -> Problem:
    return facts.problem(ENTRY, event.id, field, about="", found=found, needed=needed)
