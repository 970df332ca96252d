"""A table of text, and where each cell of it stands."""

from __future__ import annotations

from bisect import bisect_right
from itertools import accumulate

from asfound.intake.csv_scan import Record, scan_record
from asfound.problems import Problem


class CsvTable:
    """One table.

    path      as given, for messages
    header    the names of the columns, trailing empty ones left out
    rows      rows with exactly as many cells as the header; a row of another width is refused and not among them
    problems  what was refused, warned of or passed over, sorted by place
    lost      whether a row is not among them, so that what it holds, and under which id, is not known
    readable  False where there is no header to read rows by; `rows` is empty then
    """

    __slots__ = (
        "_line_starts",
        "_text",
        "header",
        "header_record",
        "lost",
        "path",
        "problems",
        "readable",
        "records",
        "rows",
        "starts",
    )

    def __init__(self, path: str, text: str = "") -> None:
        self.path = path
        self.header: list[str] = []
        self.rows: list[list[str]] = []
        self.problems: tuple[Problem, ...] = ()
        self.readable = False
        self.lost = False
        self._text = text
        self.header_record = 0
        # Record number of each row and first line of each record; None while both are the plain count.
        self.records: list[int] | None = None
        self.starts: list[int] | None = None
        self._line_starts: list[int] | None = None

    def line_of(self, row: int) -> int:
        """The physical line, from 1, on which `rows[row]` begins."""
        return self.record_line(self._record_of(row))

    def place_of(self, row: int, cell: int) -> tuple[int, int]:
        """(line, column) of a cell, in characters from 1, a quoted one at its quote.

        The line is a later one than `line_of` where a cell before it holds line ends.
        """
        return self.cell_place(self._record_of(row), cell)

    def header_place(self, cell: int) -> tuple[int, int]:
        """(line, column) of a column's name."""
        return self.cell_place(self.header_record, cell)

    def _record_of(self, row: int) -> int:
        if not 0 <= row < len(self.rows):
            raise IndexError(f"the table has {len(self.rows)} rows; there is no row {row}")
        return self.records[row] if self.records is not None else self.header_record + 1 + row

    def record_line(self, record: int) -> int:
        return self.starts[record] if self.starts is not None else record + 1

    def cell_place(self, record: int, cell: int) -> tuple[int, int]:
        scanned = self._scan(record)
        return self.offset_place(scanned.offsets[cell] if cell < len(scanned.offsets) else scanned.end)

    def _scan(self, record: int) -> Record:
        return scan_record(self._text, self._line_offsets()[self.record_line(record) - 1])

    def offset_place(self, offset: int) -> tuple[int, int]:
        starts = self._line_offsets()
        line = bisect_right(starts, offset)
        return line, offset - starts[line - 1] + 1

    def _line_offsets(self) -> list[int]:
        if self._line_starts is None:
            starts = [0, *accumulate(map(len, self._text.splitlines(keepends=True)))]
            if not self._text.endswith("\n"):
                starts.pop()  # the end of the text is no line of its own
            self._line_starts = starts or [0]
        return self._line_starts
