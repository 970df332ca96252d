"""Rows of custody, inspection and timeline: from cells of text to frozen records.

A row with a fault is left out and its id kept, so that whatever cites it is not blamed as well.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from enum import StrEnum
from typing import Generic, TypeVar

from msgspec import Struct, field
from pydantic_core import PydanticCustomError

from asfound.intake.csv_rows import CsvTable
from asfound.intake.records import id_words, one_of, say, say_fault, stands
from asfound.intake.words import crop, suggest
from asfound.model.base import ID_PATTERN, REF_PATTERN, ROLE_PATTERN, Duration, Moment
from asfound.model.logs import cited_row
from asfound.model.testimony import TimelineRow
from asfound.model.things import CustodyKind, CustodyLine, InspectionRow, Seen
from asfound.problems import Problem, Span

T = TypeVar("T")
W = TypeVar("W", bound=StrEnum)

is_id = re.compile(ID_PATTERN).fullmatch
is_ref = re.compile(REF_PATTERN).fullmatch
is_slug = re.compile(ROLE_PATTERN).fullmatch

RELEVANCE = ("relevant", "not relevant", "not known")

# Columns in the order a table is written in; those a row cannot be read without come with True.
CUSTODY = {
    "line": True,
    "items": True,
    "kind": True,
    "released_at": False,
    "received_at": False,
    "released_by": True,
    "received_by": True,
    "from_place": False,
    "to_place": False,
    "purpose": False,
    "seal_before": False,
    "seal_after": False,
    "condition": False,
    "signed_out": False,
    "signed_in": False,
    "evidence": False,
    "note": False,
}
INSPECTION = {
    "row": True,
    "item": True,
    "check": False,
    "place": True,
    "seen": True,
    "what": True,
    "evidence": False,
    "relevance": False,
    "why": False,
    "at": False,
    "by": False,
}
TIMELINE = {
    "row": True,
    "clock": True,
    "at": True,
    "doubt": False,
    "event": True,
    "source": False,
    "by": False,
    "log_row": False,
}


class Rows(Struct, Generic[T]):
    """What a table gave.

    rows      the rows that could be read, in the order of the file
    lines     line of every id, whether its row could be read or not
    broken    ids of rows that could not be read
    problems  what was wrong
    """

    rows: list[T] = field(default_factory=list)
    lines: dict[str, int] = field(default_factory=dict)
    broken: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def read_custody(table: CsvTable) -> Rows[CustodyLine]:
    """Lines of custody.csv."""
    return _read(table, CUSTODY, "line", "C", _custody)


def read_inspection(table: CsvTable) -> Rows[InspectionRow]:
    """Rows of inspection.csv."""
    return _read(table, INSPECTION, "row", "V", _inspection)


def read_timeline(table: CsvTable) -> Rows[TimelineRow]:
    """Rows of timeline.csv."""
    return _read(table, TIMELINE, "row", "T", _timeline)


def _custody(row: Row) -> CustodyLine:
    return CustodyLine(
        id=row.id,
        line=row.line,
        items=row.ids("items", needed=True),
        kind=row.word("kind", CustodyKind),
        released_at=row.moment("released_at"),
        received_at=row.moment("received_at"),
        released_by=row.role("released_by"),
        received_by=row.role("received_by"),
        from_place=row.text("from_place"),
        to_place=row.text("to_place"),
        purpose=row.text("purpose"),
        seal_before=row.text("seal_before"),
        seal_after=row.text("seal_after"),
        condition=row.text("condition"),
        signed_out=row.role("signed_out"),
        signed_in=row.role("signed_in"),
        evidence=row.ids("evidence"),
        note=row.text("note"),
    )


def _inspection(row: Row) -> InspectionRow:
    items = row.ids("item", needed=True)
    if len(items) > 1:
        row.fault(
            "id-malformed", "item", f"{len(items)} ids stand here", "one item is needed", "Write a row for each item."
        )
    relevance = row.text("relevance")
    if relevance and relevance not in RELEVANCE:
        row.unknown_word("relevance", RELEVANCE)
    return InspectionRow(
        id=row.id,
        line=row.line,
        item=items[0] if items else "",
        check=row.slug("check"),
        place=row.text("place", needed=True),
        seen=row.word("seen", Seen),
        what=row.text("what"),
        evidence=row.ids("evidence"),
        relevance=relevance,
        why=row.text("why"),
        at=row.moment("at"),
        by=row.role("by"),
    )


def _timeline(row: Row) -> TimelineRow:
    clocks = row.ids("clock", needed=True)
    if len(clocks) > 1:
        row.fault(
            "id-malformed",
            "clock",
            f"{len(clocks)} ids stand here",
            "one clock is needed",
            "Name the clock that was read.",
        )
    at = row.moment("at", needed=True)
    doubt = row.text("doubt")
    if any(sign.isdigit() for sign in doubt):
        row.duration("doubt")
    return TimelineRow(
        id=row.id,
        line=row.line,
        clock=clocks[0] if clocks else "",
        at=at or _NO_TIME,
        doubt=doubt,
        event=row.text("event", needed=True),
        source=row.ids("source"),
        by=row.role("by"),
        log_row=_log_row(row),
    )


def _log_row(row: Row) -> str:
    text = row.text("log_row")
    if text and cited_row(text) is None:
        needed = "the log's id, a # and the number of the entry are needed, as in E-5#14"
        row.fault("id-malformed", "log_row", stands(text), needed, "Write the id of the log, a #, and the number.")
    return text


# Stands in a row that is broken and thrown away, never in one that is kept.
_NO_TIME = Moment.read("1900-01-01 00:00 Z")


class Row:
    """One row while it is read: each getter gives the cell in its type, or a stand-in and a fault."""

    def __init__(self, table: CsvTable, number: int, columns: dict[str, int], name: str) -> None:
        self._table = table
        self._number = number
        self._cells = table.rows[number]
        self._columns = columns
        self.id = name
        self.line = table.line_of(number)
        self.problems: list[Problem] = []

    def text(self, column: str, needed: bool = False) -> str:
        """The cell without the spaces around it; empty where the table has no such column."""
        at = self._columns.get(column)
        text = self._cells[at].strip() if at is not None else ""
        if needed and not text:
            self.fault("value-blank", column, f"nothing stands under “{column}”", "words are needed")
        return text

    def ids(self, column: str, needed: bool = False) -> tuple[str, ...]:
        """Ids parted by spaces."""
        found = self.text(column, needed).split()
        for part in found:
            if not is_ref(part):
                rule, what, need, mend = id_words(part)
                apart = part.rstrip(",;")
                self.fault(
                    rule, column, what, need, "Part ids by spaces alone." if apart != part and is_id(apart) else mend
                )
        return tuple(found)

    def role(self, column: str) -> str:
        """A role; empty where nobody is named."""
        return self._key(column, "a role, in small letters and hyphens, is needed")

    def slug(self, column: str) -> str:
        """A name of small letters, digits and hyphens."""
        return self._key(column, "a name in small letters, digits and hyphens is needed")

    def _key(self, column: str, needed: str) -> str:
        text = self.text(column)
        if text and not is_slug(text):
            plain = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")
            mend = f"Write {plain}, if that is meant." if is_slug(plain) and len(plain) <= 40 else ""
            self.fault("word-malformed", column, stands(text), needed, mend)
        return text

    def word(self, column: str, words: type[W]) -> W:
        """A word of a closed list."""
        text = self.text(column)
        try:
            return words(text)
        except ValueError:
            self.unknown_word(column, [str(word) for word in words])
            return next(iter(words))

    def unknown_word(self, column: str, words: Sequence[str]) -> None:
        """The fault of a word that is not on its list."""
        text = self.text(column)
        self.fault("word-unknown", column, stands(text), *one_of(words, text))

    def moment(self, column: str, needed: bool = False) -> Moment | None:
        """A time with its zone; None for an empty cell."""
        text = self.text(column, needed)
        return self._read(column, Moment.read, text) if text else None

    def duration(self, column: str) -> Duration | None:
        """A length of time."""
        return self._read(column, Duration.read, self.text(column))

    def _read(self, column: str, read: Callable[[str], T], text: str) -> T | None:
        try:
            return read(text)
        except PydanticCustomError as error:
            self.problems.append(say_fault(error, self.span(column), self.id, column))
            return None

    def fault(self, rule: str, column: str, found: str, needed: str, mend: str = "") -> None:
        """Note a fault at a cell."""
        self.problems.append(say(rule, self.span(column), found, needed, mend, subject=self.id, about=column))

    def span(self, column: str) -> Span:
        """The place of a cell; of the row where the table has no such column."""
        at = self._columns.get(column)
        if at is None:
            return Span(self._table.path, self.line)
        return Span(self._table.path, *self._table.place_of(self._number, at))


def _read(table: CsvTable, known: dict[str, bool], key: str, letter: str, build: Callable[[Row], T]) -> Rows[T]:
    out: Rows[T] = Rows()
    if not table.readable:
        return out
    columns, out.problems = columns_of(table, known)
    if any(needed and name not in columns for name, needed in known.items()):
        out.broken = [f"{letter}-{name}" for name in _keys(table, columns.get(key))]
        return out
    for number, cells in enumerate(table.rows):
        typed = cells[columns[key]].strip()
        row = Row(table, number, columns, f"{letter}-{typed}")
        if not check_key(row, key, typed, out.lines):
            out.problems += row.problems
            continue
        out.lines[row.id] = row.line
        record = build(row)
        if row.problems:
            out.problems += row.problems
            out.broken.append(row.id)
        else:
            out.rows.append(record)
    return out


def _keys(table: CsvTable, column: int | None) -> list[str]:
    if column is None:
        return []
    return [row[column].strip() for row in table.rows if is_slug(row[column].strip())]


def check_key(row: Row, key: str, typed: str, lines: dict[str, int]) -> bool:
    """Whether a row has a name of its own; a fault is noted where it has not."""
    if not typed:
        row.fault("value-blank", key, f"nothing stands under “{key}”", "the number of the row is needed")
    elif not is_slug(typed):
        row.fault("id-malformed", key, f"found “{crop(typed)}”", "small letters, digits and hyphens are needed")
    elif row.id in lines:
        first = lines[row.id]
        found = f"“{typed}” stands on line {first} already"
        where = row.span(key)
        other = [Span(where.path, first)]
        needed = "a number that stands once is needed"
        row.problems.append(say("duplicate-id", where, found, needed, subject=row.id, related=other))
    else:
        return True
    return False


def columns_of(table: CsvTable, known: dict[str, bool]) -> tuple[dict[str, int], list[Problem]]:
    """Where each known column stands, and what is wrong with the header."""
    columns: dict[str, int] = {}
    problems: list[Problem] = []
    unknown: list[int] = []
    for cell, typed in enumerate(table.header):
        name = typed.strip()
        if name in known:
            columns.setdefault(name, cell)
        elif name:
            unknown.append(cell)
    absent = [name for name in known if name not in columns]
    for cell in unknown:
        name = table.header[cell].strip()
        meant = suggest(name, absent)
        needed = f"“{meant}” is perhaps meant" if meant else "a known column is needed"
        mend = f"The columns of this table are: {', '.join(known)}."
        problems.append(
            say(
                "column-unknown",
                Span(table.path, *table.header_place(cell)),
                f"a column “{crop(name)}” is not known here",
                needed,
                mend,
            )
        )
    for name, needed_too in known.items():
        if needed_too and name not in columns:
            line = table.header_place(0)[0]
            mend = f"Add the column; the columns of this table are: {', '.join(known)}."
            problems.append(
                say(
                    "column-missing",
                    Span(table.path, line),
                    f"there is no column “{name}”",
                    "it is needed to read the rows",
                    mend,
                    about=name,
                )
            )
    return columns, problems
