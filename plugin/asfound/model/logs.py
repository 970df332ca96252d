"""A device's log as evidence: which columns hold what, which entries are events, the rows that the case leans on."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import Literal

from asfound.model.base import Count, Day, Moment, Record, Text


class LogMap(Record):
    """How a log is read. Nothing is guessed: what no field names is not looked at."""

    time: Text
    """The column that holds the time of an entry, as the first row calls it."""
    date: Day | None = None
    """The day, where the column holds a time of day alone."""
    counts_from: Moment | None = None
    """Where the column counts seconds: the time by the log's clock at which the count was nought."""
    number: Text | None = None
    """The column that numbers the entries; without one they are counted, the first row below the names is 1."""
    code: Text | None = None
    """The column of codes."""
    text: Text | None = None
    """The column of words."""
    events: dict[str, Text] = {}
    """From an exact code, or exact words, of the log to the words of the timeline."""
    separator: Literal["comma", "semicolon", "tab"] = "comma"
    """What parts the columns."""
    names_on_line: Count = 1
    """The line of the file on which the names of the columns stand, where others go before it."""


@dataclass(frozen=True, slots=True)
class LogRow:
    """One entry of a log that the case cites, or that the mapping calls an event.

    row    its number, as typed       line, column  where its time stands in the file
    time   as typed                   entry         code or words that the mapping knows; else the code, else the words
    at     the digits of its time by the log's own clock; None where they cannot be read
    step   in which the time is written, in seconds
    zoned  the instant, where the log itself writes an offset from UTC
    times  how often this number stands in the log
    """

    row: str
    line: int
    column: int
    time: str
    entry: str
    at: dt.datetime | None = None
    step: float = 1.0
    zoned: dt.datetime | None = None
    times: int = 1


@dataclass(frozen=True, slots=True)
class LogRead:
    """What was read of a log.

    entries  how many rows stand below the names
    kept     rows that the timeline cites or that are events, by number; never more than `MOST_KEPT`
    absent   columns that the mapping names and the file has not, or has twice
    unseen   keys of `events` that no entry bears
    more     events beyond those kept
    """

    path: str
    entries: int = 0
    kept: dict[str, LogRow] = field(default_factory=dict)
    absent: tuple[str, ...] = ()
    unseen: tuple[str, ...] = ()
    more: int = 0


MOST_KEPT = 2000
"""Events of a log beyond so many are counted and not kept: a mapping that calls every beat an event is no mapping."""


def cited_row(text: str) -> tuple[str, str] | None:
    """The log and the number in `E-5#14`; None where it is written in another way."""
    ref, sign, row = text.partition("#")
    return (ref, row) if sign and ref and row and ref.startswith("E-") else None
