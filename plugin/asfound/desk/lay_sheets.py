"""Reading sheets for a plan: one table a test, every required row, empty cells for the values.

What is missing is put behind what stands there; nothing is written over and nothing is taken away. A row that was laid
ready while the plan did not say its conditions yet, and into which nobody typed, gets them. Rows that the plan does not
ask for any more are told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct, field

from asfound.desk.csv_append import append_rows
from asfound.desk.csv_fill import fill_cells
from asfound.desk.yaml_insert import Inserted, insert_records
from asfound.desk.yaml_text import Plain
from asfound.intake.csv_rows import read_csv
from asfound.model.case import Case
from asfound.model.grid import Grid, GridRow
from asfound.model.ids import reading_id
from asfound.model.limits import Test
from asfound.model.work import PreparedSheet
from asfound.verdicts.context import same
from asfound.verdicts.grid import cell_text, grids

_NAME_LENGTH = 30
"""Of a sheet: with `R-` and a number behind it, an id has 40 characters at most."""
ASKED_LATER = "With the first value: instrument, function, by, from, to; supply, climate and checks as they were."


class Laid(Struct, frozen=True):
    """What is to be written so that every required row has a place.

    sheets       sheets.yml, old and new; None where it stays as it is
    tables       `readings/output.csv` → old bytes (None: no file yet) and new ones
    lines        every line that is new: file of the case, line, its text
    superfluous  test → rows that stand there and that the plan does not ask for
    """

    sheets: tuple[bytes | None, bytes] | None = None
    tables: Mapping[str, tuple[bytes | None, bytes]] = field(default_factory=dict)
    lines: tuple[tuple[str, int, str], ...] = ()
    superfluous: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def lay_sheets(
    case: Case,
    tests: Mapping[str, Test],
    repeats: int,
    register: bytes | None,
    tables: Mapping[str, bytes],
    register_path: str = "sheets.yml",
    head: str = "",
) -> Laid:
    """Work out the sheets of every planned test of a case.

    `register` are the bytes of sheets.yml, `tables` those of the files of readings by their path in the case. `head`
    begins a sheets.yml that is not there yet. Raises Refused where a file that has to grow cannot be written to.
    """
    return _Laying(case, tests, repeats, register, dict(tables), register_path, head).lay()


def new_lines(name: str, made: Inserted, *, whole: bool = False) -> list[tuple[str, int, str]]:
    """File, number and text of each line that was put into a file; `whole` where the file itself is new."""
    start, end = (0, len(made.data)) if whole else (made.start, made.end)
    # What is put behind a file without a last line end begins with one.
    begin = start + (len(made.data[start:end]) - len(made.data[start:end].lstrip(b"\r\n")))
    first = made.data[:begin].count(b"\n") + 1
    text = made.data[begin:end].decode("utf-8-sig").splitlines()
    return [(name, first + number, line) for number, line in enumerate(text)]


class _Laying:
    def __init__(
        self,
        case: Case,
        tests: Mapping[str, Test],
        repeats: int,
        register: bytes | None,
        tables: dict[str, bytes],
        register_path: str,
        head: str,
    ) -> None:
        self.case, self.tests, self.repeats = case, tests, repeats
        self.register, self.tables, self.register_path, self.head = register, tables, register_path, head
        self.known: dict[str, PreparedSheet] = {**case.sheets, **case.prepared}
        self.entries: dict[str, Plain] = {}
        self.remarks: dict[str, tuple[str, ...]] = {}
        self.made: dict[str, tuple[bytes | None, bytes]] = {}
        self.lines: list[tuple[str, int, str]] = []
        self.filled: set[str] = set()

    def lay(self) -> Laid:
        superfluous = {}
        for planned, grid in grids(self.case, self.tests, self.repeats).items():
            if grid.unprepared:
                self._rows(grid, grid.unprepared)
            if spare := tuple(ref for ref in grid.superfluous if ref not in self.filled):
                superfluous[planned] = spare
        sheets = None
        if self.entries:
            old = self.head.encode() if self.register is None else self.register
            made = insert_records(self.register_path, old, self.entries, remarks=self.remarks)
            sheets = self.register, made.data
            self.lines[:0] = new_lines("sheets.yml", made, whole=self.register is None)
        return Laid(sheets, self.made, tuple(self.lines), superfluous)

    def _rows(self, grid: Grid, rows: Sequence[GridRow]) -> None:
        for name in reversed(grid.sheets):
            path = f"readings/{name.removeprefix('S-')}.csv"
            if path in self.tables:
                fitting = self._fitting(name, path, grid, rows)
                if fitting is not None:
                    rest = self._fill(path, name, fitting, grid.superfluous)
                    if rest:
                        self._append(path, name, rest, None)
                    return
            elif name in self.case.prepared:
                # A run that was cut off after it had written the register.
                self._append(path, name, [dict(row.cells) for row in rows], grid)
                return
        name = self._free_name(grid.planned)
        self.entries[name] = {"test": grid.planned, "item": grid.item}
        self.remarks[name] = self._said(grid)
        self._append(f"readings/{name.removeprefix('S-')}.csv", name, [dict(row.cells) for row in rows], grid)

    def _fitting(self, name: str, path: str, grid: Grid, rows: Sequence[GridRow]) -> list[dict[str, str]] | None:
        """The cells of the rows for a table that stands there; None where it lacks a column they need."""
        sheet, table = self.known[name], self.case.readings.get(name)
        if table is None or sheet.item != grid.item:
            return None
        found = []
        for row in rows:
            wanted = {**dict(row.cells)}
            cells = {}
            for column in grid.columns:
                text = wanted[column.name]
                if column.name in table.columns:
                    spoken = f"{text} {column.unit}" if text and column.unit else text
                    cells[column.name] = cell_text(spoken, table.units.get(column.name, ""))
                elif text and not same(sheet.constants.get(column.name), f"{text} {column.unit}".strip()):
                    return None
            found.append(cells)
        return found

    def _fill(
        self, path: str, sheet: str, rows: Sequence[Mapping[str, str]], spare: Sequence[str]
    ) -> list[Mapping[str, str]]:
        """Give rows to those that wait without their conditions; the ones that are left over.

        Only empty cells are filled, and only of a row in which nothing else stands than conditions that agree.
        """
        old = data = self.tables[path]
        table = read_csv(path, data)
        if not table.readable:
            return list(rows)
        heads = {head.partition("[")[0].strip(): head for head in table.header}
        free = []
        for cells in table.rows:
            held = dict(zip(table.header, cells, strict=True))
            number = held.get(heads.get("row", "row"), "")
            if reading_id(sheet, number) in self.case.waiting and reading_id(sheet, number) in spare:
                free.append((number, {name: text for name, text in held.items() if text and name != heads["row"]}))
        rest: list[Mapping[str, str]] = []
        lines: list[int] = []
        for cells_of in rows:
            wanted = {heads[name]: text for name, text in cells_of.items()}
            fits = [
                one for one in free if len(one[1]) < len(wanted) and all(wanted.get(n) == t for n, t in one[1].items())
            ]
            empty = {name: text for name, text in wanted.items() if text and fits and name not in fits[0][1]}
            if not empty:
                rest.append(cells_of)
                continue
            free.remove(fits[0])
            made = fill_cells(path, data, (heads["row"], fits[0][0]), empty)
            data = made.data
            lines.append(made.line)
            self.filled.add(reading_id(sheet, fits[0][0]))
        if lines:
            self.made[path] = old, data
            text = data.decode("utf-8-sig").splitlines()
            self.lines += [(path, line, text[line - 1]) for line in sorted(lines)]
        return rest

    def _append(self, path: str, sheet: str, rows: Sequence[Mapping[str, str]], new: Grid | None) -> None:
        old = self.tables.get(path)
        data = self.made[path][1] if path in self.made else old or b""
        header = None
        heads: dict[str, str]
        if new is not None:
            heads = {column.name: column.head for column in new.columns}
            header = ["row", *heads.values(), new.value_head, "at", "note"]
            number = 1
        else:
            table = read_csv(path, data)
            heads = {head.partition("[")[0].strip(): head for head in table.header}
            taken = [
                int(row[table.header.index(heads["row"])])
                for row in table.rows
                if row[table.header.index(heads["row"])].isdigit()
            ]
            number = 1 + max(taken, default=0)
        told: list[dict[str, str]] = []
        for cells in rows:
            while reading_id(sheet, str(number)) in self.case.waiting or self.case.exists(
                reading_id(sheet, str(number))
            ):
                number += 1
            told.append({heads.get("row", "row"): str(number), **{heads[name]: text for name, text in cells.items()}})
            number += 1
        made = append_rows(path, data, told, header)
        self.made[path] = old, made.data
        text = made.data.decode("utf-8-sig").splitlines()
        if new is not None:
            self.lines.append((path, 1, text[0]))
        self.lines += [(path, line, text[line - 1]) for line in made.lines]

    def _free_name(self, planned: str) -> str:
        stem = planned.replace("--", "-")[:_NAME_LENGTH].strip("-")
        taken = {*self.known, *self.entries, *self.case.broken}
        number = 1
        while True:
            name = stem if number == 1 else f"{stem}-{number}"
            if f"S-{name}" not in taken and f"readings/{name}.csv" not in self.tables:
                return f"S-{name}"
            number += 1

    def _said(self, grid: Grid) -> tuple[str, ...]:
        test = self.tests.get(grid.test)
        lines = [f"{grid.title}: {len(grid.rows)} {'row' if len(grid.rows) == 1 else 'rows'}."]
        if test is not None and test.bench_checks:
            lines.append(f"Check the bench before, below checks: {', '.join(test.bench_checks)}.")
        return (*lines, ASKED_LATER)
