"""Adding rows to somebody's table without touching another byte of it.

As with the YAML: the new rows go behind the last one, the whole is read again, and only if every earlier cell reads as
before and the new rows read as they were meant are the new bytes handed out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from asfound.desk.refused import Refused
from asfound.intake.csv_rows import read_csv
from asfound.intake.csv_table import CsvTable

BOM = b"\xef\xbb\xbf"


class Appended(Struct, frozen=True):
    """The file with its new rows: `data[:start]` and `data[end:]` are the old bytes, `lines` where each row begins."""

    data: bytes
    start: int
    end: int
    lines: tuple[int, ...]


def append_rows(
    path: str, data: bytes, rows: Sequence[Mapping[str, str]], header: Sequence[str] | None = None
) -> Appended:
    """Put rows, by column name, behind the last row of a table; columns a row does not name stay empty.

    `header` begins a table that has nothing in it yet. Line ends, byte order mark and the lack of a last line end are
    kept; empty lines at the end stay at the end. Raises Refused wherever it cannot be shown that nothing else changes.
    """
    if not rows:
        raise Refused(f"there is no row to put into {path}")
    mark = len(BOM) if data.startswith(BOM) else 0
    begun = bool(data[mark:].strip())
    if not begun and header is None:
        raise Refused(f"{path} has no header yet")
    before = read_csv(path, data) if begun else CsvTable(path)
    if begun and not before.readable:
        raise Refused(f"{path} cannot be read as it stands", problems=before.problems)
    columns = before.header if begun else list(header or ())
    unknown = sorted({name for row in rows for name in row} - set(columns))
    if unknown:
        raise Refused(f"{path} has no column {' and no column '.join(unknown)}")
    cells = [[row.get(name, "") for name in columns] for row in rows]
    eol = _line_end(data)
    text = "".join(f"{','.join(map(cell_text, row))}{eol}" for row in ([] if begun else [columns]) + cells)
    start = len(data.rstrip(b"\r\n")) if begun else mark
    added = text.encode("utf-8")
    if begun:
        if start == len(data):  # no last line end: the new last line has none either
            added = eol.encode() + added.removesuffix(eol.encode())
        else:
            start += 2 if data.startswith(b"\r\n", start) else 1
    whole = data[:start] + added + data[start:]
    now = read_csv(path, whole)
    _prove(path, before, now, columns, cells)
    assert whole[:start] + whole[start + len(added) :] == data
    first = len(before.rows)
    return Appended(whole, start, start + len(added), tuple(now.line_of(first + n) for n in range(len(cells))))


def _prove(path: str, before: CsvTable, now: CsvTable, columns: Sequence[str], cells: Sequence[Sequence[str]]) -> None:
    if not now.readable or now.header != list(columns) or now.rows[: len(before.rows)] != before.rows:
        raise Refused(f"{path} could not be written to without changing what it says elsewhere", problems=now.problems)
    if now.rows[len(before.rows) :] != [list(row) for row in cells]:
        raise Refused(f"the new rows would not read in {path} as they were meant", problems=now.problems)
    known = {(one.rule, one.span) for one in before.problems}
    worse = [one for one in now.problems if (one.rule, one.span) not in known]
    if worse:
        raise Refused(f"the new rows would not be accepted in {path}", problems=worse)


def cell_text(text: str) -> str:
    r"""A cell by RFC 4180, section 2: quoted where it holds a comma, a quote or a line end.

    >>> cell_text('a "b", c')
    '"a ""b"", c"'
    """
    if text != text.strip() or any(mark in text for mark in ',"\r\n'):
        return '"' + text.replace('"', '""') + '"'
    return text


def _line_end(data: bytes) -> str:
    first = data.find(b"\n")
    return "\r\n" if first > 0 and data[first - 1 : first] == b"\r" else "\n"
