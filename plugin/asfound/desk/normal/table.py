"""Text to rows of cells, each with its place; what separates them, and what stands empty around them."""

from __future__ import annotations

import re

from msgspec import Struct, field

from asfound.desk.normal.found import Answers, Fate, Found, Question
from asfound.desk.refused import Refused
from asfound.intake.csv_scan import Record, scan_record
from asfound.intake.words import crop

SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "upright strokes"}
"""Signs that separate cells, and their names."""

_SEP = re.compile(r"sep=(.?)[ \t]*(?:\n|\Z)", re.IGNORECASE)
_KNOWN = frozenset({"row", "value", "line", "items", "item", "place", "at", "clock", "event", "kind", "seen"})


class Row(Struct):
    """A row, and where each of its cells begins in the original."""

    line: int
    cells: list[str]
    columns: list[int]

    def at(self, cell: int) -> tuple[int, int]:
        """(line, column) of a cell, or of the end of the row."""
        return self.line, self.columns[cell] if cell < len(self.columns) else 0


class Table(Struct):
    """Header and rows; None for `header` with a question where what separates the cells cannot be told."""

    header: Row | None
    rows: list[Row] = field(default_factory=list)
    separator: str = ","
    found: list[Found] = field(default_factory=list)
    question: Question | None = None


def read_table(text: str, answers: Answers) -> Table:
    """Take a table apart. Raises Refused where there is none."""
    found: list[Found] = []
    start, told = 0, ""
    if hit := _SEP.match(text):
        start, told = hit.end(), hit[1]
        found.append(Found("sep= line", 1, 1, f"the first line is “{crop(hit[0].strip())}”", "left out", Fate.MENDED))
    first = 1 if start else 0
    body = text[start:]
    if not body.strip():
        raise Refused("it holds no names of columns")
    choices = [answers.separator] if answers.separator else [told] if told in SEPARATORS else _fitting(body)
    if len(choices) != 1:
        shown = tuple((sign, f"{SEPARATORS[sign]}: {_first_cells(body, sign)}") for sign in choices or SEPARATORS)
        asks = "What separates the cells cannot be told. Which of these is it?"
        return Table(None, question=Question("--separator", asks, shown))
    sign = choices[0]
    if sign != ",":
        found.append(
            Found("separator", first + 1, 0, f"{SEPARATORS[sign]} separate the cells", "commas do", Fate.MENDED)
        )
    rows, quoted = _rows(body, sign, first, found)
    if quoted:
        found.append(
            Found("quotes", 0, 0, f"{quoted} cells stand in quotes that need none", "quotes left out", Fate.MENDED)
        )
    return _framed(rows, sign, found)


def _fitting(body: str) -> list[str]:
    """Signs under which the first line holds names that a table of a case has; else those that give even rows."""
    line = body.lstrip("\n").partition("\n")[0]
    named = [sign for sign in SEPARATORS if sign in line and _names(line, sign) & _KNOWN]
    if named:
        most = max(len(_names(line, sign) & _KNOWN) for sign in named)
        return [sign for sign in named if len(_names(line, sign) & _KNOWN) == most]
    return [sign for sign in SEPARATORS if sign in line]


def _names(line: str, sign: str) -> frozenset[str]:
    return frozenset(cell.partition("[")[0].strip("\u00a0 \t") for cell in scan_record(line, 0, sign).cells)


def _first_cells(body: str, sign: str) -> str:
    cells = scan_record(body.lstrip("\n"), 0, sign).cells
    return f"{len(cells)} columns, the first “{crop(cells[0] if cells else '')}”"


def _rows(body: str, sign: str, first: int, found: list[Found]) -> tuple[list[Row], int]:
    rows: list[Row] = []
    position, line, quoted = 0, first + 1, 0
    while position < len(body):
        record = scan_record(body, position, sign)
        for fault in record.faults:
            before = body.rfind("\n", 0, fault.offset) + 1
            where = first + 1 + body.count("\n", 0, fault.offset)
            what = f"{fault.found}; {fault.needed}"
            found.append(Found("quotes", where, fault.offset - before + 1, what, "mend it by hand first", Fate.LEFT))
        rows.append(Row(line, record.cells, _columns(body, position, record)))
        quoted += sum(
            body[at : at + 1] == '"' and bare(cell) for at, cell in zip(record.offsets, record.cells, strict=True)
        )
        line += body.count("\n", position, record.after)
        position = record.after
    return rows, quoted


def bare(cell: str) -> bool:
    """Whether a cell needs no quotes in the copy."""
    return not any(mark in cell for mark in ',"\n') and cell == cell.strip()


def _columns(body: str, position: int, record: Record) -> list[int]:
    return [offset - (body.rfind("\n", 0, offset) + 1) + 1 for offset in record.offsets]


def _framed(rows: list[Row], sign: str, found: list[Found]) -> Table:
    """The table without what stands empty before, after and beside it."""
    head = next((n for n, row in enumerate(rows) if any(cell.strip() for cell in row.cells)), None)
    if head is None:
        # Separators and nothing between them.
        raise Refused("it holds no names of columns")
    if head:
        found.append(
            Found("empty rows", rows[0].line, 0, f"{head} empty lines before the header", "left out", Fate.MENDED)
        )
    header, body = rows[head], rows[head + 1 :]
    while body and not any(cell.strip() for cell in body[-1].cells):
        last = body.pop()
        if last.cells:
            found.append(Found("empty rows", last.line, 0, "an empty row at the end", "left out", Fate.MENDED))
    width = len(header.cells)
    while width and not header.cells[width - 1].strip():
        width -= 1
    used = max((n + 1 for row in body for n, cell in enumerate(row.cells) if cell.strip()), default=0)
    if len(header.cells) > width and used <= width:
        many = len(header.cells) - width
        what = (
            f"{many} columns at the end are empty throughout" if many > 1 else "1 column at the end is empty throughout"
        )
        found.append(Found("empty columns", *header.at(width), what, "left out", Fate.MENDED))
        full = len(header.cells)
        for row in (header, *body):
            if len(row.cells) <= full:
                del row.cells[width:], row.columns[width:]
    width = len(header.cells)
    for row in body:
        _ragged(row, width, sign, found)
    return Table(header, body, sign, found)


def _ragged(row: Row, width: int, sign: str, found: list[Found]) -> None:
    if not any(cell.strip() for cell in row.cells):
        done = "left: whether a reading is lost here cannot be told; delete the line if none is"
        found.append(Found("empty rows", row.line, 0, "an empty row stands inside the table", done, Fate.LEFT))
    elif sign != "," and len(row.cells) > width and not any(cell.strip() for cell in row.cells[width:]):
        # Between commas this may be a decimal comma in front of an empty note: `1,92,4,`.
        what = f"{len(row.cells) - width} empty cells beyond the last column"
        found.append(Found("empty columns", *row.at(width), what, "left out", Fate.MENDED))
        del row.cells[width:], row.columns[width:]
    elif len(row.cells) != width:
        what = f"the row has {len(row.cells)} cells, the header {width}"
        done = "left: which cell is which cannot be told; a comma that is no separator belongs in quotes"
        found.append(Found("ragged rows", row.line, 0, what, done, Fate.LEFT))
