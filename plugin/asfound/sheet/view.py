"""What the pages of the form say: sheets, rows, units, cautions, questions. Verdicts are none of it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal

from msgspec import Struct

from asfound.measure.units import Unit, unit
from asfound.model.base import told
from asfound.model.grid import Grid, GridColumn, GridRow
from asfound.model.limits import Caution, Test
from asfound.model.work import PreparedSheet, Reading, ReadingSheet
from asfound.sheet.asking import Question, questions
from asfound.sheet.bench import Lying
from asfound.sheet.gates import not_open
from asfound.verdicts.bounds import Exempted, applies, resolve
from asfound.verdicts.context import Setting, Unknown
from asfound.verdicts.judge import candidates

NEEDED = ("instrument", "function", "by", "from_")
"""What a sheet has to say before the first value is typed."""


class RowView(Struct, frozen=True):
    """One row of a sheet, written or still to be written.

    key       names it on the page: the row's own name, or `new:` and a digest of its conditions
    row       its name in the file; empty where it is not in the file yet
    words     its conditions as they are read out
    cells     its conditions by column name, as they are typed
    value     what stands in the file
    """

    key: str
    row: str
    id: str
    words: tuple[str, ...]
    cells: tuple[tuple[str, str], ...]
    value: str
    unit: str
    note: str
    void: str
    at: str
    as_used: bool
    repeat: int
    question: Question | None

    @property
    def label(self) -> str:
        """What the row is, in one line, for whoever does not see the page."""
        row = f"Row {self.row}" if self.row else "Row still to be written"
        said = ", ".join(self.words) or "no condition varies"
        again = f", reading {self.repeat} at these conditions" if self.repeat > 1 else ""
        return f"{row}: {said}{again}{f', in {self.unit}' if self.unit else ''}"


class SheetView(Struct, frozen=True):
    """A sheet, ready to be shown."""

    name: str
    sheet: PreparedSheet
    test: Test | None
    grid: Grid | None
    rows: tuple[RowView, ...]
    gates: tuple[str, ...]
    cautions: tuple[Caution, ...]
    version: str

    @property
    def short(self) -> str:
        """The name of its file: `output` for S-output."""
        return self.name.removeprefix("S-")

    @property
    def title(self) -> str:
        """What is measured."""
        return self.test.title if self.test else self.sheet.test

    @property
    def closed(self) -> str:
        """When it was closed; empty while it is under way."""
        return self.sheet.to.text if self.sheet.to is not None else ""

    @property
    def state(self) -> str:
        """How far it is, as a sentence."""
        rows = "1 row" if len(self.rows) == 1 else f"{len(self.rows)} rows"
        if self.closed:
            return f"Closed at {self.closed}, {rows}."
        if not self.filled:
            return f"Not begun, {rows} to read." if self.rows else "Not begun; no row is laid ready."
        if self.open_rows:
            return f"Under way: {self.filled} of {rows} filled."
        return f"Under way: {rows}, all filled; not closed yet."

    @property
    def lacking(self) -> tuple[str, ...]:
        """What has to be said before the first value."""
        return tuple(name for name in NEEDED if getattr(self.sheet, name) is None)

    @property
    def unsaid(self) -> tuple[GridColumn, ...]:
        """Conditions that have to be on record and that no row says, as a method is: the same in all of them."""
        if self.grid is None or self.sheet.constants:
            return ()
        said = {name for row in self.rows for name, text in row.cells if text}
        said |= {name for row in self.grid.rows for name, text in row.cells if text}
        return tuple(one for one in self.grid.columns if one.required and one.name not in said)

    @property
    def filled(self) -> int:
        """Rows that hold a value."""
        return sum(1 for row in self.rows if row.value)

    @property
    def open_rows(self) -> int:
        """Rows that hold nothing, and are not struck."""
        return sum(1 for row in self.rows if not row.value and not row.void)

    @property
    def structure(self) -> str:
        """Changes when rows come or go."""
        return _digest([row.key for row in self.rows])


def sheet_view(lying: Lying, name: str) -> SheetView:
    """One sheet. Raises KeyError for a name that is none."""
    sheet = lying.sheets[name]
    case = lying.case
    test = lying.tests.get(sheet.test.partition("--")[0])
    grid = lying.grids.get(sheet.test)
    table = case.readings.get(name)
    asked = _asked(lying, name, sheet, test, table)
    rows = [*_written(table, grid, asked), *_unwritten(name, sheet, grid, table)]
    cautions = tuple(
        case_cautions[one] for case_cautions in (lying.facts.book.cautions,) for one in _cautions(lying, sheet, test)
        if one in case_cautions
    )  # fmt: skip
    version = _digest([repr(sheet), repr(table), repr(case.gates), repr(case.plan)])
    return SheetView(name, sheet, test, grid, tuple(rows), not_open(case, sheet, test), cautions, version)


def _cautions(lying: Lying, sheet: PreparedSheet, test: Test | None) -> Iterator[str]:
    yield from dict.fromkeys((*(test.cautions if test else ()), *(("biohazard",) if _soiled(lying, sheet) else ())))


def _soiled(lying: Lying, sheet: PreparedSheet) -> bool:
    return any(
        ref in lying.case.items and lying.case.items[ref].biohazard == "yes" for ref in (sheet.item, *sheet.accessories)
    )


def _all_rows(table: ReadingSheet | None) -> list[Reading]:
    """Readings and rows that wait, in the order of the file."""
    return sorted((*table.rows, *table.waiting), key=lambda row: row.line) if table else []


def _written(table: ReadingSheet | None, grid: Grid | None, asked: dict[str, Question]) -> Iterator[RowView]:
    planned = {one.reading or one.waiting: one for one in grid.rows} if grid else {}
    units = table.units if table else {}
    for row in _all_rows(table):
        of = planned.get(row.id)
        yield RowView(
            row.row, row.row, row.id, _words(row.conditions.items(), units), tuple(row.conditions.items()),
            row.value.text, _symbol(row.unit), row.note, row.void, row.at.text if row.at else "",
            bool(of and of.as_used), of.repeat if of else 1, asked.get(row.id),
        )  # fmt: skip


def _unwritten(name: str, sheet: PreparedSheet, grid: Grid | None, table: ReadingSheet | None) -> Iterator[RowView]:
    """Rows the plan asks for that are in no file; they belong to the first sheet of the test."""
    if grid is None or grid.not_done or sheet.to is not None or not grid.sheets or grid.sheets[0] != name:
        return
    names = columns_of(sheet, grid, table)
    units = {column.name: column.unit for column in grid.columns if column.unit}
    for one in grid.unprepared:
        cells = tuple((column, text) for column, text in one.cells if column in names and text)
        yield RowView(
            new_key(one), "", "", _words(cells, units), cells, "", _symbol(grid.value_unit), "", "", "",
            one.as_used, one.repeat, None,
        )  # fmt: skip


def new_key(row: GridRow) -> str:
    """Names a row that is in no file yet: the same for the same conditions, whoever asks."""
    return f"new:{_digest([list(row.cells), row.repeat])[:16]}"


def columns_of(sheet: PreparedSheet, grid: Grid | None, table: ReadingSheet | None) -> tuple[str, ...]:
    """The columns for conditions that the sheet's file has, or will have once it is begun."""
    if table is not None:
        return table.columns
    return tuple(one.name for one in grid.columns if one.name not in sheet.constants) if grid else ()


def _words(cells: Iterable[tuple[str, str]], units: Mapping[str, str]) -> tuple[str, ...]:
    found = []
    for name, text in cells:
        symbol = units.get(name, "")
        if symbol and text:
            found.append(f"{text} {_symbol(symbol)}")
        elif text:
            # Neither “closed” nor “3” says by itself of what; on a bench a wrong row is measured in earnest.
            found.append(f"{name.replace('_', ' ')} {text}")
    return tuple(found)


def _symbol(text: str) -> str:
    known = unit(text) if text else None
    return "" if text == "1" else known.si_text if known else text


def _asked(
    lying: Lying, name: str, sheet: PreparedSheet, test: Test | None, table: ReadingSheet | None
) -> dict[str, Question]:
    if table is None or sheet.to is not None:
        return {}
    sizes = _sizes(lying, name, sheet, test, table)
    return questions(_all_rows(table), table.units, sizes, lying.facts.settings.slip_tolerance)


def _sizes(
    lying: Lying, name: str, sheet: PreparedSheet, test: Test | None, table: ReadingSheet
) -> dict[str, tuple[Decimal, Unit]]:
    """By row, how large the things are that the test measures there: the largest bound of any limit that may speak."""
    to = unit(test.unit) if test else None
    plan = lying.case.plan
    if to is None or plan is None or sheet.test not in plan.tests:
        return {}
    at = Setting.of(name, sheet, table, lying.case.items)
    limits = [limit for _, limit in candidates(lying.facts.book.sets, plan, sheet.test) if limit.result is None]
    base = sheet.test.partition("--")[0]
    found: dict[str, tuple[Decimal, Unit]] = {}
    for row in table.rows:
        sizes = []
        for limit in limits:
            try:
                if applies(limit, at, row, base) is not True:
                    continue
                bounds = resolve(limit, at, row, base, to)
            except (Unknown, Exempted):
                continue
            sizes += [abs(bound) for bound in (bounds.lower, bounds.upper) if bound is not None]
        if sizes:
            found[row.id] = (max(sizes), to)
    return found


class Listed(Struct, frozen=True):
    """A line of the list of sheets."""

    name: str
    title: str
    item: str
    said: str
    closed: bool


def list_of_sheets(lying: Lying) -> tuple[tuple[Listed, ...], tuple[tuple[str, str, str], ...]]:
    """Sheets in the order of work, and planned tests that have none: key, title, why not done."""
    order = {name: number for number, name in enumerate(lying.case.plan.tests if lying.case.plan else ())}
    names = sorted(lying.sheets, key=lambda name: order.get(lying.sheets[name].test, len(order)))
    found = []
    for name in names:
        view = sheet_view(lying, name)
        found.append(Listed(name, view.title, _item(lying, view.sheet.item), view.state, bool(view.closed)))
    bare = []
    for planned, grid in lying.grids.items():
        if not grid.sheets and not any(sheet.test == planned for sheet in lying.sheets.values()):
            bare.append((planned, grid.title, grid.not_done))
    return tuple(found), tuple(bare)


def _item(lying: Lying, ref: str) -> str:
    item = lying.case.items.get(ref)
    return f"{ref}, {told(item.what)}" if item is not None else ref


def _digest(what: object) -> str:
    return hashlib.sha256(json.dumps(what, ensure_ascii=False, default=str).encode("utf-8")).hexdigest()
