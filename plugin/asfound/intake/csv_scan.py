"""A table read character by character, for exact places and for files that the standard reader refuses.

The grammar is that of RFC 4180, section 2: cells between commas, records between line ends, quotes around a whole cell
and doubled inside it. Where a record breaks the grammar the fault is named at the place where it begins, and reading
goes on with the next line, so that one open quote hides nothing after it.
"""

from __future__ import annotations

import re

from msgspec import Struct, field

_CELL_END = {sign: re.compile(f"[{re.escape(sign)}\\n]") for sign in ",;\t|"}


class Fault(Struct, frozen=True):
    """A break of the grammar at character `offset`; `other` is a second offset that belongs to it, or -1."""

    rule: str
    offset: int
    found: str
    needed: str
    other: int = -1


class Record(Struct):
    """Cells of one record, the offset at which each begins (a quoted cell at its quote), and where the record ends."""

    cells: list[str] = field(default_factory=list)
    offsets: list[int] = field(default_factory=list)
    end: int = 0
    after: int = 0
    faults: list[Fault] = field(default_factory=list)


def scan_record(text: str, start: int, comma: str = ",") -> Record:
    """The record that begins at character `start`; an empty line is a record without cells.

    `comma` is the sign between cells: a comma in every file of a case, a semicolon, a tab or an upright stroke in one
    that a spreadsheet saved otherwise.
    """
    record = Record()
    position = start
    size = len(text)
    while True:
        record.offsets.append(position)
        read = _quoted if text.startswith('"', position) else _bare
        position = read(text, position, record, comma)
        if position < size and text[position] == comma:
            position += 1
            continue
        break
    record.end = position
    if text.startswith("\r\n", position):
        position += 1
    record.after = min(position + 1, size)
    if len(record.cells) == 1 and record.end == start:
        record.cells.clear()
        record.offsets.clear()
    return record


def _line_end(text: str, position: int) -> int:
    """Offset of the line end at or after `position`, a carriage return belonging to it."""
    end = text.find("\n", position)
    if end < 0:
        return len(text)
    return end - 1 if end > position and text[end - 1] == "\r" else end


def _bare(text: str, position: int, record: Record, comma: str) -> int:
    hit = _CELL_END[comma].search(text, position)
    end = hit.start() if hit else len(text)
    if hit and hit[0] == "\n" and end > position and text[end - 1] == "\r":
        end -= 1
    cell = text[position:end]
    quote = cell.find('"')
    if quote >= 0:
        if cell[:quote].isspace():
            found = "a space stands before the quote that opens this cell"
        else:
            found = "a quote stands inside a cell that does not begin with one"
        record.faults.append(
            Fault("csv-stray-quote", position + quote, found, "a cell without quotes or wholly in quotes is needed")
        )
    record.cells.append(cell)
    return end


def _quoted(text: str, position: int, record: Record, comma: str) -> int:
    """Read the quoted cell that opens at `position`; the offset just after it."""
    close = position
    while True:
        close = text.find('"', close + 1)
        if close < 0 or text[close + 1 : close + 2] != '"':
            break
        close += 1
    line_end = _line_end(text, position)
    if close < 0:
        fault = Fault(
            "csv-unclosed-quote", position, "the quote opened here is never closed", "a closing quote is needed"
        )
    elif close + 1 >= len(text) or text[close + 1] in (comma, "\n") or text.startswith("\r\n", close + 1):
        record.cells.append(text[position + 1 : close].replace('""', '"'))
        return close + 1
    elif close > line_end:
        line = text.count("\n", position, close)
        below = "1 line" if line == 1 else f"{line} lines"
        fault = Fault(
            "csv-unclosed-quote",
            position,
            f"the quote opened here is not closed on its line; the next one stands {below} below",
            "a closing quote is needed",
            close,
        )
    else:
        fault = Fault(
            "csv-text-after-quote",
            close + 1,
            "text follows the quote that closes the cell",
            "a comma or the end of the line is needed",
            position,
        )
        hit = _CELL_END[comma].search(text, close)
        end = min(hit.start() if hit else len(text), line_end)
        record.faults.append(fault)
        record.cells.append(text[position:end])
        return end
    # An open quote: the cell is taken to end with its line, and the next line is read as a record of its own.
    record.faults.append(fault)
    record.cells.append(text[position + 1 : line_end])
    return line_end
