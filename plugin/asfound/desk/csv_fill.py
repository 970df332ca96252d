"""Filling cells of one row of somebody's table without touching another byte of it.

As with new rows: the text is put at the places where the cells stand, the whole is read again, and only if every other
cell reads as before and these read as they were meant are the new bytes handed out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from asfound.desk.csv_append import BOM, cell_text
from asfound.desk.refused import Refused
from asfound.intake.csv_rows import read_csv
from asfound.intake.csv_scan import Record, scan_record
from asfound.intake.csv_table import CsvTable


class Differs(Refused):
    """A cell holds something else than whoever wants to change it believes; `there` is what it holds."""

    def __init__(self, reason: str, there: Mapping[str, str]) -> None:
        super().__init__(reason)
        self.there = dict(there)


class Filled(Struct, frozen=True):
    """The file with the row's new cells; `before` is what they held, by column, and `line` where the row begins."""

    data: bytes
    before: Mapping[str, str]
    line: int


def fill_cells(
    path: str,
    data: bytes,
    key: tuple[str, str],
    cells: Mapping[str, str],
    expected: Mapping[str, str] | None = None,
) -> Filled:
    """Give cells of one row new texts, by the names of their columns as the header has them.

    key       column and text that name the row; it must be the only such row
    expected  what cells of the row are believed to hold: where one holds something else, Differs is raised

    Line ends, byte order mark, quotes of other cells and the lack of a last line end are kept. Raises Refused wherever
    it cannot be shown that nothing else changes.
    """
    before = _readable(path, data)
    row = _row(path, before, key)
    unknown = sorted({*cells, *(expected or {})} - set(before.header))
    if unknown:
        raise Refused(f"{path} has no column {' and no column '.join(unknown)}")
    was = {name: before.rows[row][before.header.index(name)] for name in before.header}
    wrong = {name: was[name] for name, text in (expected or {}).items() if was[name] != text}
    if wrong:
        name, there = next(iter(wrong.items()))
        said = f"“{there}”" if there else "nothing"
        raise Differs(f"row {key[1]} of {path} holds {said} under {name} by now", was)
    text, mark = _text(data)
    record = _records(text)[before.header_record + 1 + _nth(before, row)]
    if record.faults:
        raise Refused(f"row {key[1]} of {path} has to be mended by hand first", problems=before.problems)
    edits = []
    for name, new in cells.items():
        cell = before.header.index(name)
        begin = record.offsets[cell]
        end = record.offsets[cell + 1] - 1 if cell + 1 < len(record.offsets) else record.end
        edits.append((begin, end, cell_text(new)))
    whole = _edited(text, edits)
    made = mark + whole.encode("utf-8")
    now = read_csv(path, made)
    wanted = [list(one) for one in before.rows]
    for name, new in cells.items():
        wanted[row][before.header.index(name)] = new
    _prove(path, before, now, before.header, wanted)
    return Filled(made, {name: was[name] for name in cells}, now.line_of(row))


def add_column(path: str, data: bytes, name: str) -> bytes:
    """The table with one more column, empty in every row, behind the last. Raises Refused, as `fill_cells` does."""
    before = _readable(path, data)
    if name in before.header:
        raise Refused(f"{path} has a column {name} already")
    text, mark = _text(data)
    edits = []
    for number, record in enumerate(_records(text)):
        if number >= before.header_record and record.cells:
            edits.append((record.end, record.end, f",{cell_text(name) if number == before.header_record else ''}"))
    made = mark + _edited(text, edits).encode("utf-8")
    now = read_csv(path, made)
    _prove(path, before, now, [*before.header, name], [[*row, ""] for row in before.rows])
    return made


def _readable(path: str, data: bytes) -> CsvTable:
    table = read_csv(path, data)
    if not table.readable:
        raise Refused(f"{path} cannot be read as it stands", problems=table.problems)
    return table


def _row(path: str, table: CsvTable, key: tuple[str, str]) -> int:
    column, text = key
    if column not in table.header:
        raise Refused(f"{path} has no column {column}")
    cell = table.header.index(column)
    found = [number for number, row in enumerate(table.rows) if row[cell] == text]
    if len(found) != 1:
        many = "no row" if not found else f"{len(found)} rows"
        raise Refused(f"{path} has {many} “{text}” under {column}")
    return found[0]


def _text(data: bytes) -> tuple[str, bytes]:
    mark = BOM if data.startswith(BOM) else b""
    return data[len(mark) :].decode("utf-8"), mark


def _records(text: str) -> list[Record]:
    return list(_scanned(text))


def _scanned(text: str) -> Iterator[Record]:
    position = 0
    while position < len(text):
        record = scan_record(text, position)
        yield record
        position = record.after


def _nth(table: CsvTable, row: int) -> int:
    """How many records after the header a row is: empty lines and refused rows count."""
    return row if table.records is None else table.records[row] - table.header_record - 1


def _edited(text: str, edits: list[tuple[int, int, str]]) -> str:
    out, at = [], 0
    for begin, end, new in sorted(edits):
        out += [text[at:begin], new]
        at = end
    return "".join([*out, text[at:]])


def _prove(path: str, before: CsvTable, now: CsvTable, header: list[str], rows: list[list[str]]) -> None:
    if not now.readable or now.header != header or now.rows != rows:
        raise Refused(f"{path} could not be written to without changing what it says elsewhere", problems=now.problems)
    # Places move with what is put before them; how often each rule speaks does not.
    known = [one.rule for one in before.problems]
    worse = []
    for one in now.problems:
        if one.rule in known:
            known.remove(one.rule)
        else:
            worse.append(one)
    if worse:
        raise Refused(f"the text would not be accepted in {path}", problems=worse)
