"""The cells of a table, column by column: what a spreadsheet did to each."""

from __future__ import annotations

import re

from msgspec import Struct, field

from asfound.desk.normal.found import Answers, Fate, Found, Question
from asfound.desk.normal.numbers import GROUP_SPACES, Number, number
from asfound.desk.normal.table import Row, Table
from asfound.intake.words import crop
from asfound.model.base import Moment
from asfound.model.number import Fault, read_value

_TIMES = frozenset({"at", "released_at", "received_at"})
_IDS = frozenset({"row", "repeat_of", "line"})
_WORDS = frozenset({"note", "void", "unit"})
_AROUND = f" \t{GROUP_SPACES}"
_MONTH = r"[^\W\d_]{3,9}\.?"
_DATE = re.compile(
    rf"\d{{1,2}}([./-])\d{{1,2}}\1(?:\d{{2}}|\d{{4}})?(?: .*)?|\d{{4}}[./-]\d{{1,2}}[./-]\d{{1,2}}(?:[ T].*)?"
    rf"|\d{{1,2}}[. /-]{{1,2}}{_MONTH}(?:[. /-]\d{{2,4}})?|{_MONTH}[ ./-]\d{{1,4}}"
).fullmatch
_ERROR = re.compile(r"#+|#[A-Z0-9/]+[!?]?|Err:\d+").fullmatch
_POWER = re.compile(r"\d(?:[.,]\d+)?[eE][+-]?\d+").fullmatch
_FORMULA = re.compile(r"[=@]").match
_TYPED_AGAIN = "left: type it again from the paper or the label"


class Cells(Struct):
    """Cells being read: what was found so far, and the places that can be read in two ways."""

    table: Table
    answers: Answers
    found: list[Found] = field(default_factory=list)
    open: list[tuple[tuple[int, int], str]] = field(default_factory=list)
    signs: dict[str, tuple[int, int]] = field(default_factory=dict)
    points: list[tuple[int, int, str]] = field(default_factory=list)
    question: Question | None = None


def read_cells(table: Table, answers: Answers) -> Cells:
    """Mend the cells of `table` where they stand, and say what was found. An open question stands above all."""
    out = Cells(table, answers)
    header = table.header
    assert header is not None
    for cell, name in enumerate(header.cells):
        bare = name.strip(_AROUND)
        if bare != name:
            out.found.append(_mended("spaces", header.at(cell), f"spaces stand around “{crop(bare)}”", "left out"))
            header.cells[cell] = bare
    names = [cell.partition("[")[0].strip() for cell in header.cells]
    units = ["[" in cell for cell in header.cells]
    readings = "row" in names and "value" in names
    for row in table.rows:
        for cell, name in enumerate(names[: len(row.cells)]):
            _cell(out, row, cell, name, readings and (name == "value" or (units[cell] and name not in _IDS)))
    _settle(out)
    if readings and out.question is None:
        _values(out, names.index("value"))
        _same_ids(out, names.index("row"))
    return out


def _cell(out: Cells, row: Row, cell: int, name: str, numeric: bool) -> None:
    text = row.cells[cell]
    at = row.at(cell)
    if (bare := text.strip(_AROUND)) != text:
        if set(text) - set(bare) - {" ", "\t"} or name not in _WORDS:
            out.found.append(_mended("spaces", at, f"spaces stand around “{crop(bare)}”", "left out"))
        row.cells[cell] = text = bare
    if not text:
        return
    if _ERROR(text):
        out.found.append(_left("errors of a spreadsheet", at, f"“{crop(text)}” stands here", _TYPED_AGAIN))
    elif _FORMULA(text):
        out.found.append(
            _left("formulas", at, f"“{crop(text)}” is a formula", "left: write what the instrument showed")
        )
    elif numeric:
        _numeric(out, row, cell, text)
    elif name in _TIMES:
        _time(out, at, text)
    elif name in _IDS:
        if _DATE(text) or _POWER(text):
            what = f"“{crop(text)}” stands for a {name}: a spreadsheet made it of something else"
            out.found.append(_left("ids turned", at, what, _TYPED_AGAIN))
    elif name not in _WORDS and _DATE(text):
        what = f"“{crop(text)}” looks like a date that a spreadsheet made of something else"
        out.found.append(_left("dates turned", at, what, _TYPED_AGAIN))
    elif name not in _WORDS and "\u00a0" in text:
        row.cells[cell] = text.replace("\u00a0", " ")
        out.found.append(_mended("spaces", at, f"a space of another kind stands in “{crop(text)}”", "a plain space"))


def _numeric(out: Cells, row: Row, cell: int, text: str) -> None:
    at = row.at(cell)
    if _DATE(text) and number(text) is None:
        what = f"“{crop(text)}” looks like a date that a spreadsheet made of a number"
        out.found.append(_left("dates turned", at, what, _TYPED_AGAIN))
        return
    read = number(text, {"comma": ",", "point": "."}.get(out.answers.decimal, ""))
    if read is None:
        return
    if read.sign:
        out.signs.setdefault(read.sign, at)
    if read.open_:
        # A point before three digits is our own way of writing; it is in doubt only beside commas (see `_settle`).
        if "," in text:
            out.open.append((at, text))
        else:
            out.points.append((*at, text))
        return
    for kind, what in read.reasons:
        out.found.append(_mended(kind, at, f"{what} in “{crop(text)}”", f"“{read.text}”"))
    _noted(out, at, text, read)
    row.cells[cell] = read.text


def _noted(out: Cells, at: tuple[int, int], text: str, read: Number) -> None:
    if read.power:
        what = f"“{crop(text)}” is in scientific notation, which drops digits that were not shown"
        out.found.append(_noted_as("scientific notation", at, what, "compare it with the paper"))
    if sum(char.isdigit() for char in read.text) > 15:
        what = f"“{crop(text)}” has more digits than a spreadsheet keeps"
        out.found.append(_noted_as("long numbers", at, what, "compare it with the paper"))


def _settle(out: Cells) -> None:
    """What can be read in two ways becomes a question; a file that writes decimals in two ways is told."""
    comma_like = out.table.separator != "," or "," in out.signs or bool(out.open)
    doubtful = out.open + ([((line, column), text) for line, column, text in out.points] if comma_like else [])
    if doubtful and not out.answers.decimal:
        (line, column), text = doubtful[0]
        more = f", and {len(doubtful) - 1} more like it" if len(doubtful) > 1 else ""
        said = [f"{name} part decimals on line {out.signs[sign][0]}" for sign, name in _NAMES if sign in out.signs]
        asks = f"Line {line}, column {column} holds “{text}”{more}. Which sign parts the decimals in this file?"
        if said:
            asks += f" ({'; '.join(said)})"
        choices = tuple((name, number(text, sign).text) for name, sign in _ANSWERS if number(text, sign))  # type: ignore[union-attr]
        out.question = Question("--decimal", asks, choices)
    if len(out.signs) == 2:
        comma, point = out.signs[","], out.signs["."]
        what = f"a comma parts the decimals here, and a point does on line {point[0]}, column {point[1]}"
        out.found.append(_noted_as("two decimal signs", comma, what, "look at both"))


_NAMES = ((",", "commas"), (".", "points"))
_ANSWERS = (("comma", ","), ("point", "."))


def _time(out: Cells, at: tuple[int, int], text: str) -> None:
    try:
        Moment.read(text)
    except ValueError as error:
        told = getattr(error, "context", None) or {}
        what = f"“{crop(text)}” is no time with its offset from UTC any more" if _DATE(text) else str(told.get("found"))
        done = "left: the day, the month and the offset cannot be known; write it as 2026-03-09 15:12 -05:00"
        out.found.append(_left("times", at, what, done))


def _values(out: Cells, column: int) -> None:
    """What no number was made of and the grammar of values refuses; and digits that may be gone."""
    told = {(one.line, one.column) for one in out.found if one.fate is Fate.LEFT}
    places: dict[int, int] = {}
    for row in out.table.rows:
        if column >= len(row.cells) or row.at(column) in told:
            continue
        read = read_value(row.cells[column])
        if isinstance(read, Fault):
            out.found.append(_left("values", row.at(column), read.found, f"left: {read.mend or read.needed}"))
        elif read.is_number and "e" not in read.text.lower():
            places.setdefault(len(read.text.partition(".")[2]), row.line)
    if len(places) > 1 and out.table.separator != ",":
        few, many = min(places), max(places)
        what = f"values show from {few} (line {places[few]}) to {many} digits after the point (line {places[many]})"
        done = "a spreadsheet drops zeros at the end, which say how fine the instrument shows: compare with the paper"
        out.found.append(_noted_as("digits", (0, 0), what, done))


def _same_ids(out: Cells, column: int) -> None:
    seen: dict[str, int] = {}
    for row in out.table.rows:
        ref = row.cells[column] if column < len(row.cells) else ""
        if ref and ref in seen:
            what = f"the row “{crop(ref)}” stands on line {seen[ref]} already; zeros in front of it may be gone"
            out.found.append(_left("ids turned", row.at(column), what, _TYPED_AGAIN))
        seen.setdefault(ref, row.line)


def _mended(kind: str, at: tuple[int, int], found: str, done: str) -> Found:
    return Found(kind, *at, found, done, Fate.MENDED)


def _left(kind: str, at: tuple[int, int], found: str, done: str) -> Found:
    return Found(kind, *at, found, done, Fate.LEFT)


def _noted_as(kind: str, at: tuple[int, int], found: str, done: str) -> Found:
    return Found(kind, *at, found, done, Fate.NOTED)
