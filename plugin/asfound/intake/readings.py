"""Rows of a readings file.

A file may hold a hundred thousand rows, so a sound row takes a short road: two patterns, one dictionary, one object.
A row with a fault is looked at again at leisure, where its place and words are found.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from operator import itemgetter

from msgspec import Struct, field

from asfound.intake.csv_rows import CsvTable
from asfound.intake.records import id_words, say
from asfound.intake.rows import Row, check_key, is_id, is_slug
from asfound.intake.words import LISTED, counted, crop, refuse
from asfound.model.base import ROLE_PATTERN, Moment
from asfound.model.number import Fault, Value, ValueKind, read_value
from asfound.model.pause import without_collecting
from asfound.model.work import Reading, ReadingSheet
from asfound.problems import Problem, Span

_WITH_UNIT = re.compile(r"(.*?) ?\[(.*)\]", re.DOTALL).fullmatch
_IS_ROW = re.compile(ROLE_PATTERN).fullmatch
_OWN = ("row", "value", "unit", "at", "note", "void", "repeat_of")

# Conditions repeat from row to row, and so do values; up to this many of each are kept and shared instead of built
# again.
_SHARED = 4096

# The constructor of a named tuple is a function of Python; a row is made by the tuple's own.
_new = tuple.__new__


class SheetRows(Struct):
    """What a readings file gave; `sheet` is None where its header cannot be read by."""

    sheet: ReadingSheet | None = None
    lines: dict[str, int] = field(default_factory=dict)
    broken: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


class _Columns(Struct, frozen=True):
    """Columns by their name without unit; `units` has the unit of each condition whose header gives one."""

    at: dict[str, int]
    conditions: tuple[str, ...]
    units: dict[str, str]
    value_unit: str


def read_readings(table: CsvTable, name: str) -> SheetRows:
    """Rows of readings/<name>.csv: sheet `S-<name>`, ids `R-<name>-<row>`. Raises nothing for any table."""
    out = SheetRows()
    if not table.readable:
        return out
    if _headless(table):
        # What follows from it is not told beside it: values for names, no column of rows, none of values.
        table.problems = tuple(one for one in table.problems if not one.rule.startswith("csv-header-"))
        found = f"the first line holds values (“{crop(table.header[0])}” stands first), and no names of columns"
        needed = "a first line with “row”, the conditions and “value” with its unit is needed"
        mend = (
            "Put the line of names back above the values, as it was laid or as the file's history has it: "
            "row,setting [W],value [W]. Take no value away."
        )
        out.problems.append(refuse("csv-no-header", table.path, (table.header_place(0)[0], 1), found, needed, mend))
        return out
    columns = _columns(table, out.problems)
    if columns is None:
        key = next((cell for cell, typed in enumerate(table.header) if typed.strip() == "row"), None)
        if key is not None:
            out.broken = [f"R-{name}-{row[key]}" for row in table.rows if is_slug(row[key])]
        return out
    with without_collecting():
        rows = _rows(table, name, columns, out)
    # A row without a value was laid ready and not taken; one that was struck out says so and is kept as it is.
    waiting = tuple(row for row in rows if row.value.kind is ValueKind.BLANK and not row.void)
    if waiting:
        apart = {row.id for row in waiting}
        rows = tuple(row for row in rows if row.id not in apart)
    out.sheet = ReadingSheet(f"S-{name}", table.path, columns.conditions, columns.units, rows, waiting)
    return out


def _headless(table: CsvTable) -> bool:
    """Whether the first line is a row of values: it names no column of ours, and something in it is a figure."""
    bare = [match[1].strip() if (match := _WITH_UNIT(typed.strip())) else typed.strip() for typed in table.header]
    if any(name in _OWN for name in bare):
        return False
    return any(type(read) is Value and read.number is not None for read in map(read_value, bare))


def _columns(table: CsvTable, problems: list[Problem]) -> _Columns | None:
    at: dict[str, int] = {}
    conditions: list[str] = []
    units: dict[str, str] = {}
    for cell, typed in enumerate(table.header):
        typed = typed.strip()
        match = _WITH_UNIT(typed)
        name, unit = (match[1].strip(), match[2].strip()) if match else (typed, "")
        if not name:
            continue
        if name in at:
            # `setting [W]` beside `setting [mW]`; the very same name twice was told by the reader of the table.
            if typed != table.header[at[name]].strip():
                found = f"“{name}” names a column twice, with two units"
                problems.append(
                    say("unit-twice", Span(table.path, *table.header_place(cell)), found, "one column is needed")
                )
            continue
        at[name] = cell
        if unit:
            units[name] = unit
        if name not in _OWN:
            conditions.append(name)
    line = table.header_place(0)[0]
    missing = [name for name in ("row", "value") if name not in at]
    for name in missing:
        found = f"there is no column “{name}”"
        mend = "Add it; the unit of the values stands in square brackets, as in value [W]." if name == "value" else ""
        problems.append(say("column-missing", Span(table.path, line), found, "it is needed to read the rows", mend))
    value_unit = units.pop("value", "")
    if value_unit and "unit" in at:
        place = table.header_place(at["unit"])
        found = f"the header gives the unit {value_unit}, and there is a column “unit”"
        problems.append(say("unit-twice", Span(table.path, *place), found, "the unit is needed in one place"))
        return None
    return None if missing else _Columns(at, tuple(conditions), units, value_unit)


def _rows(table: CsvTable, name: str, columns: _Columns, out: SheetRows) -> tuple[Reading, ...]:
    sheet = f"S-{name}"
    prefix = f"R-{name}-"
    at = columns.at
    row_at, value_at = at["row"], at["value"]
    unit_at, time_at, note_at, void_at, repeat_at = (
        at.get(key, -1) for key in ("unit", "at", "note", "void", "repeat_of")
    )
    plain = time_at < 0 and repeat_at < 0
    names = columns.conditions
    pick = _picker([at[key] for key in names])
    shared: dict[object, dict[str, str]] = {}
    values: dict[str, Value] = {}
    unit = columns.value_unit
    lines = out.lines
    slow: dict[str, list[Problem]] = {}
    totals: dict[str, int] = {}
    first = table.line_of(0) if table.rows else 0
    even = not table.rows or table.line_of(len(table.rows) - 1) == first + len(table.rows) - 1
    kept: list[Reading] = []
    keep = kept.append
    for number, cells in enumerate(table.rows):
        row = cells[row_at]
        ref = prefix + row
        typed = cells[value_at]
        value: Value | Fault | None = values.get(typed)
        if value is None:
            value = read_value(typed)
            if type(value) is Value and len(values) < _SHARED:
                values[typed] = value
        line = first + number if even else table.line_of(number)
        at_time: Moment | None = None
        repeat = ""
        if type(value) is Fault or ref in lines or not _IS_ROW(row):
            sound = False
        elif plain:
            sound = True
        else:
            sound, at_time, repeat = _extras(cells, time_at, repeat_at, prefix)
        if not sound:
            _slow(table, number, at, prefix, value, out, slow, totals)
            continue
        lines[ref] = line
        key = pick(cells)
        conditions = shared.get(key)
        if conditions is None:
            conditions = dict(zip(names, key, strict=True))
            if len(shared) < _SHARED:
                shared[key] = conditions
        keep(
            _new(
                Reading,
                (
                    ref,
                    sheet,
                    row,
                    line,
                    value,
                    unit if unit_at < 0 else cells[unit_at].strip(),
                    conditions,
                    at_time,
                    cells[note_at].strip() if note_at >= 0 else "",
                    cells[void_at].strip() if void_at >= 0 else "",
                    repeat,
                ),
            )
        )
    for rule, listed in slow.items():
        out.problems += counted(listed, totals[rule])
    return tuple(kept)


def _picker(cells: list[int]) -> Callable[[list[str]], tuple[str, ...]]:
    """A function that takes the conditions' cells out of a row, as one tuple."""
    if not cells:
        return lambda row: ()
    if len(cells) == 1:
        only = cells[0]
        return lambda row: (row[only],)
    return itemgetter(*cells)


def _extras(cells: list[str], time_at: int, repeat_at: int, prefix: str) -> tuple[bool, Moment | None, str]:
    """Whether the optional cells can be read, the time, and the id of the reading that this one repeats."""
    moment: Moment | None = None
    repeat = cells[repeat_at].strip() if repeat_at >= 0 else ""
    if repeat and not is_id(repeat):
        # A bare row name means a row of the same file.
        repeat = prefix + repeat
        if not is_id(repeat):
            return False, None, ""
    if time_at >= 0 and (typed := cells[time_at].strip()):
        try:
            moment = Moment.read(typed)
        except ValueError:  # PydanticCustomError is one; its words are found on the slow road
            return False, None, ""
    return True, moment, repeat


def _slow(
    table: CsvTable,
    number: int,
    at: dict[str, int],
    prefix: str,
    value: Value | Fault,
    out: SheetRows,
    listed: dict[str, list[Problem]],
    totals: dict[str, int],
) -> None:
    """Name what is wrong with a row; the first twenty of a kind with their places, the rest counted."""
    typed = table.rows[number][at["row"]]
    row = Row(table, number, at, prefix + typed)
    named = check_key(row, "row", typed, out.lines)
    if isinstance(value, Fault):
        place = row.span("value")
        column = place.column + _typed_offset(table, number, at["value"], value.offset)
        where = Span(place.path, place.line, column)
        row.problems.append(say("value-unreadable", where, value.found, value.needed, value.mend, subject=row.id))
    row.moment("at")
    repeat = row.text("repeat_of")
    if repeat and not is_id(repeat) and not is_id(prefix + repeat):
        rule, found, _, _ = id_words(repeat)
        row.fault(
            rule,
            "repeat_of",
            found,
            "the row that this one repeats is needed",
            "Write its number in this file, or its id.",
        )
    if named:
        out.lines[row.id] = row.line
        out.broken.append(row.id)
    for problem in row.problems:
        totals[problem.rule] = totals.get(problem.rule, 0) + 1
        of_kind = listed.setdefault(problem.rule, [])
        if len(of_kind) < LISTED:
            of_kind.append(problem)


def _typed_offset(table: CsvTable, number: int, cell: int, offset: int) -> int:
    """Characters from the start of a cell in the file to `offset` in its text: one more where it is quoted."""
    cells = table.rows[number]
    line, column = table.place_of(number, cell)
    end_line, end = table.place_of(number, cell + 1)
    width = end - column - (1 if cell + 1 < len(cells) else 0)
    if end_line != line or width == len(cells[cell]):
        return offset
    return offset + 1 + cells[cell].count('"', 0, offset)
