"""CSV to rows of text, each cell with its place; strict, and at the speed of the standard reader.

Cells stay as typed. A table that is sound costs little more than `csv.reader` itself: whole-text checks find out that
nothing is wrong, and only a table with a fault is looked at cell by cell.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Sequence
from itertools import chain

from asfound.intake.csv_formulas import formulas, may_hold_formula
from asfound.intake.csv_scan import scan_record
from asfound.intake.csv_table import CsvTable
from asfound.intake.files import CSV_BYTES
from asfound.intake.text import read_text
from asfound.intake.words import LISTED, counted, crop, refuse
from asfound.model.pause import without_collecting
from asfound.problems import Problem

__all__ = ["CsvTable", "read_csv"]

MAX_ROWS = 1_000_000
MAX_COLUMNS = 200
MAX_CELL = 10_000
# No sound line is longer: every column with the longest cell, its quotes and its comma.
_MAX_LINE = MAX_COLUMNS * (MAX_CELL + 3)

# A quoted cell where one may begin; what is left over after taking these out holds no quote, or a stray one.
_QUOTED = re.compile(r'"(?:(?<=[,\n]")|(?<=\A"))(?>[^"]+|"")*+"')
_SEP = re.compile(r"sep=(.?)\r?\n?", re.IGNORECASE)


def read_csv(path: str, data: bytes) -> CsvTable:
    """Read one table. `path` is for messages only. Raises nothing for any bytes.

    Commas only. A byte order mark, CR LF, quoted line ends and empty rows and columns at the end are allowed.
    """
    decoded = read_text(path, data, CSV_BYTES)
    if decoded.text is None:
        table = CsvTable(path)
        table.problems = decoded.problems
        return table
    reading = _Reading(path, decoded.text)
    with without_collecting():
        reading.read()
    table = reading.table
    table.problems = tuple(sorted((*decoded.problems, *reading.problems), key=lambda problem: problem.key))
    return table


def _like_row(line: str, commas: int) -> bool:
    return commas > 0 and line.count(",") == commas and ", " not in line


class _Reading:
    """One table being read; the table and the problems come out of it."""

    def __init__(self, path: str, text: str) -> None:
        self.path = path
        self.text = text
        self.table = CsvTable(path, text)
        self.problems: list[Problem] = []
        self.lines: list[str] = []
        self.longest = 0

    def read(self) -> None:
        if not self._bounded():
            return
        records = self._records()
        first = self._header(records)
        if first is None:
            return
        body = records[first + 1 :]
        while body and not body[-1]:
            body.pop()
        self._rows(records[first], body)
        self._cells(records)

    def say(
        self, rule: str, place: tuple[int, int], found: str, needed: str, related: Sequence[tuple[int, int]] = ()
    ) -> None:
        self.problems.append(refuse(rule, self.path, place, found, needed, related=related))

    def say_each(self, rule: str, records: Sequence[int], words: Callable[[int], tuple[int, str, str]]) -> None:
        """One problem a record, the first twenty in full; `words` gives cell, what was found, what was needed."""
        listed = []
        for record in records[:LISTED]:
            cell, found, needed = words(record)
            listed.append(refuse(rule, self.path, self.table.cell_place(record, cell), found, needed))
        self.problems += counted(listed, len(records))

    # What could exhaust the reader is refused before it is read.

    def _bounded(self) -> bool:
        count = self.text.count("\n") + (not self.text.endswith("\n"))
        if count > MAX_ROWS + 1:
            needed = f"a header and at most {MAX_ROWS} lines below it are read"
            self.say("csv-too-many-rows", (MAX_ROWS + 2, 1), f"the file has {count} lines", needed)
            return False
        self.lines = self.text.splitlines(keepends=True)
        self.longest = max(map(len, self.lines), default=0)
        if self.longest > _MAX_LINE:
            line = next(number for number, line in enumerate(self.lines, 1) if len(line) > _MAX_LINE)
            wide = self.lines[line - 1].count(",") >= MAX_COLUMNS
            rule = "csv-too-many-columns" if wide else "csv-cell-too-long"
            needed = f"at most {MAX_COLUMNS} cells of {MAX_CELL} characters are read"
            self.say(rule, (line, 1), f"the line has {len(self.lines[line - 1])} characters", needed)
            return False
        return True

    # Records

    def _records(self) -> list[list[str]]:
        """All records, empty lines as records without cells; line starts are noted where they differ from the count."""
        quoted = '"' in self.text
        # A cell of several lines leaves an odd number of quotes on the line where it begins.
        spread = quoted and any(line.count('"') & 1 for line in self.lines)
        reader = csv.reader(self.lines, strict=True)
        records: list[list[str]]
        starts = [1]
        try:
            if spread:
                records = []
                for record in reader:
                    records.append(record)
                    starts.append(reader.line_num + 1)
            else:
                records = list(reader)
        except csv.Error:
            return self._scanned()
        if quoted and '"' in _QUOTED.sub("", self.text):
            return self._scanned()
        if spread:
            self.table.starts = starts
            self._find_swallowed(records)
        return records

    def _scanned(self) -> list[list[str]]:
        """The records by our own scanner, with every break of the grammar named."""
        records: list[list[str]] = []
        starts: list[int] = []
        faults: dict[str, list[Problem]] = {}
        totals: dict[str, int] = {}
        position, line = 0, 1
        while position < len(self.text):
            record = scan_record(self.text, position)
            records.append(record.cells)
            starts.append(line)
            for fault in record.faults:
                totals[fault.rule] = totals.get(fault.rule, 0) + 1
                listed = faults.setdefault(fault.rule, [])
                if len(listed) < LISTED:
                    related = [self.table.offset_place(fault.other)] if fault.other >= 0 else []
                    place = self.table.offset_place(fault.offset)
                    listed.append(refuse(fault.rule, self.path, place, fault.found, fault.needed, related=related))
            line += self.text.count("\n", position, record.after)
            position = record.after
        self.table.starts = starts
        for rule, listed in faults.items():
            self.problems += counted(listed, totals[rule])
        return records

    def _find_swallowed(self, records: list[list[str]]) -> None:
        """Warn of cells that hold what looks like rows: the mark of two quotes left open far apart.

        A swallowed row has a row's commas and no space after them; the last line of the cell is a row up to the cell
        in which the second quote stands, which must be this one, or the record would be ragged.
        """
        width = len(next((record for record in records if record), []))
        found: dict[int, tuple[int, int]] = {}
        starts = self.table.starts or []
        for number, record in enumerate(records):
            if starts[number + 1] - starts[number] < 2:
                continue
            for cell, text in enumerate(record):
                if "\n" in text:
                    *inside, last = text.split("\n")[1:]
                    rows = sum(_like_row(line, width - 1) for line in inside) + _like_row(last, cell)
                    if rows:
                        found[number] = (cell, rows)

        def words(record: int) -> tuple[int, str, str]:
            cell, rows = found[record]
            many = (
                "1 line inside this cell looks like a row"
                if rows == 1
                else f"{rows} lines inside this cell look like rows"
            )
            return cell, f"{many} of the table", "certainty that they belong to a note is needed"

        self.say_each("csv-swallowed-rows", list(found), words)

    # Header

    def _header(self, records: list[list[str]]) -> int | None:
        """Number of the record that is the header; None where no table can be read."""
        first = 0
        if self.lines and (hit := _SEP.fullmatch(self.lines[0])):
            self.say(
                "csv-sep-line",
                (1, 1),
                f"the first line is “{crop(self.lines[0].strip())}”",
                "the names of the columns are needed there",
            )
            if hit[1] not in (",", ""):
                return None
            first = 1
        begin = first
        while first < len(records) and not any(cell.strip() for cell in records[first]):
            first += 1
        if first == len(records):
            if not self.problems:
                found = "the file is empty" if not records else "the file holds no names of columns"
                self.say("csv-no-header", (0, 0), found, "a first line with the names of the columns is needed")
            return None
        if first > begin:
            self.say(
                "csv-blank-line",
                (self.table.record_line(begin), 1),
                "an empty line stands before the header",
                "the header is needed first",
            )
        self.table.header_record = first
        if (separator := self._separator(first, len(records[first]))) is not None:
            count, name = separator
            found = f"the cells are separated by {name}, not by commas ({count + 1} on this line)"
            self.say(
                "csv-delimiter",
                (self.table.record_line(first), 1),
                found,
                "commas between cells and decimal points are needed",
            )
            return None
        return first

    def _separator(self, first: int, width: int) -> tuple[int, str] | None:
        start = self.table.record_line(first) - 1
        sample = [line for line in self.lines[start : start + 20] if line.strip()]
        for sign, name in ((";", "semicolons"), ("\t", "tabs"), ("|", "upright strokes")):
            count = sample[0].count(sign)
            if not count:
                continue
            alike = len(sample) > 1 and all(line.count(sign) == count for line in sample)
            ragged = len({line.count(",") for line in sample}) > 1
            if width == 1 or (alike and (count >= width or ragged)):
                return count, name
        return None

    # Rows

    def _rows(self, header: list[str], body: list[list[str]]) -> None:
        table = self.table
        begin = table.header_record + 1
        width = len(header)
        if width > MAX_COLUMNS:
            place = table.cell_place(table.header_record, MAX_COLUMNS)
            self.say("csv-too-many-columns", place, f"the table has {width} columns", f"at most {MAX_COLUMNS} are read")
            return
        if header[-1].strip() and set(map(len, body)) <= {width} and all(map(any, body)):
            self._names(header)
            table.header, table.rows, table.readable = header, body, True
            return
        numbers = list(range(begin, begin + len(body)))
        width, body = self._trim(header, numbers, body)
        header = header[:width]
        self._names(header)
        kept: list[list[str]] = []
        records: list[int] = []
        blank: list[int] = []
        ragged: list[int] = []
        by_record = dict(zip(numbers, body, strict=False))
        for number, row in by_record.items():
            if not any(row) or (len(row) == 1 and width > 1 and not row[0].strip()):
                blank.append(number)
            elif len(row) != width:
                ragged.append(number)
            else:
                kept.append(row)
                records.append(number)

        def ragged_words(number: int) -> tuple[int, str, str]:
            return self._ragged(header, by_record[number])

        self.say_each("csv-blank-line", blank, lambda number: (0, "the row is empty", "a row with values is needed"))
        self.say_each("csv-ragged-row", ragged, ragged_words)
        table.header, table.rows, table.readable = header, kept, True
        table.records, table.lost = records, bool(ragged)

    @staticmethod
    def _ragged(header: list[str], row: list[str]) -> tuple[int, str, str]:
        cells = f"the row has {len(row)} {'cell' if len(row) == 1 else 'cells'}"
        needed = f"{len(header)} cells are needed, as in the header"
        if len(row) < len(header):
            absent = header[len(row) :]
            names = " and ".join(f"“{crop(name)}”" for name in absent[:2]) + (
                f" and {len(absent) - 2} more" if len(absent) > 2 else ""
            )
            return len(row), f"{cells}; nothing stands under {names}", needed
        return len(header), f"{cells}; “{crop(row[len(header)])}” stands beyond the last column", needed

    def _trim(self, header: list[str], numbers: list[int], body: list[list[str]]) -> tuple[int, list[list[str]]]:
        """Width without the nameless columns at the end that are empty throughout, and the rows cut to it; noted."""
        full = len(header)
        named = full
        while named and not header[named - 1].strip():
            named -= 1
        width = named
        for row in body:
            for cell in range(min(len(row), full) - 1, width - 1, -1):
                if row[cell].strip():
                    width = cell + 1
                    break
        if width < full:
            many = "1 column at the end is" if full - width == 1 else f"{full - width} columns at the end are"
            place = self.table.cell_place(self.table.header_record, width)
            self.say("csv-trailing-empty", place, f"{many} empty throughout", "nothing is needed")
            body = [row[:width] if width < len(row) <= full else row for row in body]
        last = len(body)
        while last and not any(cell.strip() for cell in body[last - 1]):
            last -= 1
        if any(body[last:]):
            many = "1 row at the end is" if len(body) - last == 1 else f"{len(body) - last} rows at the end are"
            place = (self.table.record_line(numbers[last]), 1)
            self.say("csv-trailing-empty", place, f"{many} empty", "nothing is needed")
        return width, body[:last]

    def _names(self, header: list[str]) -> None:
        seen: dict[str, int] = {}
        for cell, name in enumerate(header):
            bare = name.strip()
            if not bare:
                self.say(
                    "csv-header-empty",
                    self.table.header_place(cell),
                    f"column {cell + 1} has no name",
                    "a name is needed",
                )
                continue
            place = self.table.header_place(cell)
            if bare != name:
                self.say(
                    "csv-header-spaces",
                    place,
                    f"spaces stand around the name “{crop(bare)}”",
                    "the name alone is needed",
                )
            if bare in seen:
                other = self.table.header_place(seen[bare])
                found = f"“{crop(bare)}” names column {seen[bare] + 1} already"
                self.say("csv-header-duplicate", place, found, "a name that stands once is needed", [other])
            else:
                seen[bare] = cell

    # Cells

    def _cells(self, records: list[list[str]]) -> None:
        starts = self.table.starts
        if self.longest > MAX_CELL or starts is not None:
            self._long_cells(records)
        if may_hold_formula(self.text):
            self.problems += formulas(self.table, records)

    def _long_cells(self, records: list[list[str]]) -> None:
        if max(map(len, chain.from_iterable(records)), default=0) <= MAX_CELL:
            return
        found = {
            number: cell for number, row in enumerate(records) for cell, text in enumerate(row) if len(text) > MAX_CELL
        }

        def words(number: int) -> tuple[int, str, str]:
            size = len(records[number][found[number]])
            return found[number], f"the cell has {size} characters", f"at most {MAX_CELL} are read"

        self.say_each("csv-cell-too-long", list(found), words)
