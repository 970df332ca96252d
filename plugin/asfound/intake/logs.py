"""A device's log out of the evidence, line by line, with only those rows kept that the case leans on.

Logs are what machines write, so the reader takes another separator and lines before the names of the columns; it takes
nothing else on trust. A quoted cell that runs over a line end is refused, since an open quote would swallow the rest.
"""

from __future__ import annotations

import csv
import datetime as dt
import re
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from msgspec import Struct, field

from asfound.intake.csv_scan import scan_record
from asfound.model.logs import MOST_KEPT, LogMap, LogRead, LogRow, cited_row
from asfound.model.number import Fault, read_decimal
from asfound.model.testimony import Evidence, TimelineRow
from asfound.problems import Entry, Family, Level, Problem, Span

LISTED = 20
MOST_BYTES = 1 << 20
"""A line longer than this is no entry of a log."""
_SIGNS = {"comma": ",", "semicolon": ";", "tab": "\t"}
_DAY = re.compile(r"(\d{4}-\d{2}-\d{2})[ T](.+)")
_CLOCK = re.compile(r"(\d{2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,6}))?)?\s*(Z|[+\-−]\d{2}:\d{2})?")

ENTRIES: tuple[Entry, ...] = (
    Entry(
        "log-row-unreadable",
        Family.INTEGRITY,
        Level.REJECT,
        "Every row of a log that the timeline draws on can be read: as many cells as names, in UTF-8, no open quote.",
        "A row that is passed over may be the one that matters, and an open quote hides all rows after it.",
        "RFC 4180, section 2",
        "from memory",
        "Say under log which separator parts the cells and on which line the names stand; if the log itself is broken "
        "there, keep it as it is and take a copy in order from it, with derived_from and edits.",
    ),
)


class LogReading(Struct):
    """A log that was read, and what was wrong with its rows."""

    read: LogRead
    problems: list[Problem] = field(default_factory=list)


def read_logs(
    folder: Path, called: str, evidence: Mapping[str, Evidence], timeline: Sequence[TimelineRow], known: Collection[str]
) -> tuple[dict[str, LogRead], list[Problem]]:
    """The logs of a case that say how they are read, by evidence, with the rows that the timeline cites.

    `called` is how the case folder is called in messages; only files among the `known` are opened.
    """
    cited: dict[str, set[str]] = {}
    for event in timeline:
        ref, row = cited_row(event.log_row) or ("", "")
        cited.setdefault(ref, set()).add(row)
    found: dict[str, LogRead] = {}
    problems: list[Problem] = []
    for ref, one in evidence.items():
        if one.log is None or one.file is None or one.file not in known:
            continue
        name = f"{called}/{one.file}" if called else one.file
        try:
            reading = read_log(folder.joinpath(*one.file.split("/")), name, one.log, frozenset(cited.get(ref, ())))
        except OSError:
            continue  # the facts of the file were read a moment ago, and whoever reads them says what is wrong
        problems += reading.problems
        found[ref] = reading.read
    return found, problems


def read_log(path: Path, name: str, how: LogMap, cited: frozenset[str] = frozenset()) -> LogReading:
    """Read the log at `path`, called `name` in messages, in memory that does not grow with it.

    Kept are the rows whose numbers are `cited` and those whose code or words stand in `how.events`. Raises OSError
    where it cannot be opened.
    """
    out = LogReading(LogRead(name))
    sign = _SIGNS[how.separator]
    with path.open("rb") as file:
        lines = enumerate(iter(lambda: file.readline(MOST_BYTES + 1), b""), start=1)
        names: list[str] = []
        for number, raw in lines:
            if number == max(1, how.names_on_line):
                cells = _cells(raw.removeprefix(b"\xef\xbb\xbf"), sign, name, number, 0, out.problems)
                names = [cell.strip() for cell in cells or ()]
                break
        wanted = [one for one in (how.time, how.number, how.code, how.text) if one is not None]
        absent = tuple(dict.fromkeys(one for one in wanted if names.count(one) != 1))
        if absent:
            out.read = LogRead(name, absent=absent)
            return out
        at = {one: names.index(one) for one in wanted}
        out.read = _take(lines, name, how, cited, sign, at, len(names), out.problems)
    return out


def _take(
    lines: Iterator[tuple[int, bytes]], name: str, how: LogMap, cited: frozenset[str], sign: str,
    at: Mapping[str, int], width: int, problems: list[Problem],
) -> LogRead:  # fmt: skip
    kept: dict[str, LogRow] = {}
    again: Counter[str] = Counter()
    unseen = dict.fromkeys(how.events)
    entries = more = 0
    for line, raw in lines:
        if not raw.strip():
            continue
        entries += 1
        cells = _cells(raw, sign, name, line, width, problems)
        if cells is None:
            continue
        row = cells[at[how.number]].strip() if how.number is not None else str(entries)
        bears = [cells[at[one]].strip() for one in (how.code, how.text) if one is not None]
        entry = next((one for one in bears if one in how.events), "")
        unseen.pop(entry, None)
        if row in kept:
            again[row] += 1
        elif row in cited or (entry and len(kept) < MOST_KEPT):
            kept[row] = _row(row, line, cells, raw, sign, at[how.time], entry or next(iter(bears), ""), how)
        elif entry:
            more += 1
    for row, times in again.items():
        kept[row] = replace(kept[row], times=1 + times)
    return LogRead(name, entries, kept, (), tuple(unseen), more)


def _row(row: str, line: int, cells: list[str], raw: bytes, sign: str, place: int, entry: str, how: LogMap) -> LogRow:
    typed = cells[place].strip()
    when, step, zoned = _time(typed, how)
    column = scan_record(raw.decode("utf-8"), 0).offsets[place] + 1 if sign == "," else 0
    return LogRow(row, line, column, typed, entry, when, step, zoned)


def _cells(raw: bytes, sign: str, name: str, line: int, width: int, problems: list[Problem]) -> list[str] | None:
    """The cells of one line; None, with a problem, where it cannot be told what they are. Width 0 asks for none."""
    found = ""
    cells: list[str] = []
    try:
        text = raw.decode("utf-8").rstrip("\r\n")
    except UnicodeDecodeError:
        found, text = "this line is no text in UTF-8", ""
    if not found and len(raw) > MOST_BYTES:
        found = f"this line is longer than {MOST_BYTES} bytes"
    if not found and text.count('"') % 2:
        found = "a quote is opened and not closed on this line"
    if not found and '"' not in text:
        # Most lines: without a quote there is nothing that the grammar could say otherwise.
        cells = text.split(sign)
    elif not found:
        try:
            cells = next(csv.reader([text], delimiter=sign, strict=True), [])
        except csv.Error as error:
            found = f"this line does not read as cells ({error})"
    if not found and width and len(cells) != width:
        found = f"{len(cells)} cells in a row of {width}"
    if not found:
        return cells
    if len(problems) < LISTED:
        entry = ENTRIES[0]
        needed = "one cell for each name, in UTF-8, is needed"
        problems.append(Problem(entry.name, entry.level, Span(name, line, 0), found, needed, entry.mend))
    return None


def _time(typed: str, how: LogMap) -> tuple[dt.datetime | None, float, dt.datetime | None]:
    """Digits by the log's clock, the step in which they are written, and the instant where an offset stands there."""
    nothing = (None, 1.0, None)
    if how.counts_from is not None:
        seconds = read_decimal(typed)
        if isinstance(seconds, Fault):
            return nothing
        start = how.counts_from.at.replace(tzinfo=None)
        try:
            exponent = seconds.as_tuple().exponent
            step = 10.0 ** min(0, exponent) if isinstance(exponent, int) else 1.0
            return start + dt.timedelta(seconds=float(seconds)), step, None
        except OverflowError:
            return nothing
    dated = _DAY.fullmatch(typed)
    day, rest = (dated[1], dated[2]) if dated else (how.date.isoformat() if how.date else "", typed)
    clock = _CLOCK.fullmatch(rest.strip())
    if not day or clock is None:
        return nothing
    try:
        part = f"{clock[4] or '':0<6}"
        at = dt.datetime.fromisoformat(f"{day} {clock[1]}:{clock[2]}:{clock[3] or '00'}.{part}")
        offset = (clock[5] or "").replace("−", "-").replace("Z", "+00:00")
        zoned = dt.datetime.fromisoformat(at.isoformat() + offset) if offset else None
    except ValueError:
        return nothing
    step = 10.0 ** -len(clock[4]) if clock[4] else 1.0 if clock[3] else 60.0
    return at, step, zoned
