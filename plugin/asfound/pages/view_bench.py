"""Measurements: charts, results, coverage, sheets with their verdicts, instruments, limits used."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from markupsafe import Markup
from msgspec import Struct

from asfound.measure import show_chance, show_condition, show_typed, show_value, unit
from asfound.measure.show import PLUS_MINUS, show_factor
from asfound.model.base import told
from asfound.model.bench import Instrument
from asfound.model.limits import Limit, Sense, Test
from asfound.model.verdict import Cell, CellState, Coverage, LimitRef, Outcome, Result, Verdict
from asfound.model.work import PlannedTest, Reading, Sheet
from asfound.pages.charts import charts_of
from asfound.pages.part import Facts
from asfound.pages.prose import linked
from asfound.pages.texts import capital, plural
from asfound.pages.view_sheet import SheetPart, numeric

ORDER = (
    Outcome.FAIL,
    Outcome.CONDITIONAL_FAIL,
    Outcome.CONDITIONAL_PASS,
    Outcome.NOT_ASSESSABLE,
    Outcome.PASS,
    Outcome.NO_REQUIREMENT,
)
TONES = {
    Outcome.FAIL: "af-out",
    Outcome.CONDITIONAL_FAIL: "af-out",
    Outcome.CONDITIONAL_PASS: "af-gap",
    Outcome.NOT_ASSESSABLE: "af-gap",
}


class GridCell(Struct, frozen=True):
    """A cell of a coverage grid, in words."""

    text: str
    tone: str
    used: bool


class Grid(Struct, frozen=True):
    """A coverage grid: the last axis runs across, the others down."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, tuple[GridCell, ...]], ...]


class VerdictWords(Struct, frozen=True):
    """Verdicts of one outcome on one reading, in words."""

    word: str
    tone: str
    bounds: str
    chance: str
    why: str


class RowWords(Struct, frozen=True):
    """A reading in words."""

    ref: str
    conditions: tuple[str, ...]
    measured: str
    verdicts: tuple[VerdictWords, ...]
    note: str
    void: str


class SheetBlock(Struct, frozen=True):
    """A sheet, ready to be shown."""

    ref: str
    title: str
    facts: Facts
    note: str | None
    against: tuple[Markup, ...]
    heads: tuple[str, ...]
    rows: tuple[RowWords, ...]
    chances: bool
    """Whether any row has a chance to print; a column of empty cells is none."""


class TestBlock(Struct, frozen=True):
    """A planned test, ready to be shown."""

    name: str
    title: str
    purpose: str
    done: str
    """What was done where it has a value: measured, read, answered."""
    notes: tuple[str | Markup, ...]
    not_done: str | Markup
    charts: Markup
    results: tuple[Result, ...]
    grid: Grid | None
    sheets: tuple[SheetBlock, ...]


class BenchPart(SheetPart):
    """Parts of the page about measurements."""

    @cached_property
    def measure_words(self) -> str:
        """One sentence over the measurements."""
        rows = sum(len(self.case.standing(name)) for name in self.case.readings)
        void = sum(1 for sheet in self.case.readings.values() for row in sheet.rows if row.void)
        if not rows:
            return "Nothing has been measured yet."
        voided = f", and {plural(void, 'void one', 'void ones')} kept in sight" if void else ""
        return (
            f"{capital(plural(rows, 'reading'))} on {plural(len(self.case.readings), 'sheet')}{voided}. "
            "What was measured stands with its expanded doubt, and each with the limits that speak to it and the line "
            "it was typed on."
        )

    @cached_property
    def measure_cautions(self) -> tuple[str, ...]:
        """Cautions of the tests shown, each once."""
        names = [name for block in self._planned for name in block[2].cautions] if self._planned else []
        return tuple(dict.fromkeys((*names, "pass-is-not-exoneration")))

    @cached_property
    def _planned(self) -> list[tuple[str, PlannedTest, Test]]:
        plan = self.case.plan
        if plan is None:
            return []
        found = []
        for name, planned in plan.tests.items():
            base = name.partition("--")[0]
            test = next((one.tests[base] for one in self.core.protocols.values() if base in one.tests), None)
            if test is not None:
                found.append((name, planned, test))
        return found

    @cached_property
    def tests(self) -> list[TestBlock]:
        """Every planned test in the order of the plan."""
        return [self._block(name, planned, test) for name, planned, test in self._planned]

    @property
    def planned_titles(self) -> list[tuple[str, str]]:
        """Name and title of every planned test, in the order of the plan; what is drawn of it is left alone."""
        return [(name, _titled(name, test)) for name, _, test in self._planned]

    def _block(self, name: str, planned: PlannedTest, test: Test) -> TestBlock:
        sheets = self.by_id(dict(self.case.sheets_of(name)))
        names = {ref for ref, _ in sheets}
        notes: list[str | Markup] = []
        if planned.separates:
            links = Markup(", ").join(self.link(ref) for ref in planned.separates)
            notes.append(Markup("helps to tell apart {}").format(links))
        if test.cannot_reach:
            notes.append(f"cannot reach: {test.cannot_reach}")
        charts = Markup("").join(self.draw(chart) for chart in charts_of(self.texts, name, test))
        grid = next((one for one in self.core.coverage if one.test == name), None)
        return TestBlock(
            name,
            _titled(name, test),
            test.purpose,
            test.done,
            tuple(notes),
            linked(told(planned.not_done).rstrip("."), self.href) if planned.not_done is not None else "",
            charts,
            tuple(one for one in self.core.results if one.sheet in names),
            self._grid(grid, test) if grid is not None and grid.cells else None,
            tuple(self._sheet(ref, sheet, test) for ref, sheet in sheets),
        )

    def _grid(self, coverage: Coverage, test: Test) -> Grid:
        across = coverage.axes[-1]
        columns = list(dict.fromkeys(dict(cell.conditions)[across] for cell in coverage.cells))
        rows: dict[str, dict[str, GridCell]] = {}
        for cell in coverage.cells:
            pairs = dict(cell.conditions)
            said = [
                show_condition(name, text, _unit_of(test, name)) for name, text in cell.conditions if name != across
            ]
            label = ", ".join(said) or test.told_as
            rows.setdefault(label, {})[pairs[across]] = self._cell(cell, test)
        unit_text = _unit_of(test, across)
        if len(coverage.axes) == 1:
            # The head of the first column names what the others are values of.
            first = capital(across.replace("_", " "))
            others = [show_condition("what", text, unit_text) for text in columns]
        else:
            first = ", ".join(capital(name.replace("_", " ")) for name in coverage.axes[:-1])
            others = [show_condition(across, text, unit_text) for text in columns]
        heads = (first, *others)
        return Grid(heads, tuple((label, tuple(cells[text] for text in columns)) for label, cells in rows.items()))

    def _cell(self, cell: Cell, test: Test) -> GridCell:
        refs, used = cell.readings, cell.as_used
        if cell.state in {CellState.DONE, CellState.FAILING}:
            said = " / ".join(self.texts.value(ref) for ref in refs[:3]) + (" …" if len(refs) > 3 else "")
            if cell.state is CellState.FAILING:
                return GridCell(f"{said}, outside its limit", "af-out", used)
            return GridCell(said, "", used)
        state = f"not {test.done}" if cell.state is CellState.MISSING else str(cell.state)
        return GridCell(f"{state}{f': {cell.why}' if cell.why else ''}", "af-gap", used)

    def sheet_block(self, ref: str) -> SheetBlock | None:
        """One sheet by itself; None where its test is in no protocol of the plan."""
        sheet = self.case.sheets.get(ref)
        test = next((test for name, _, test in self._planned if sheet is not None and name == sheet.test), None)
        return None if sheet is None or test is None else self._sheet(ref, sheet, test)

    def _sheet(self, ref: str, sheet: Sheet, test: Test) -> SheetBlock:
        rows = self.case.readings.get(ref)
        columns = [name for name in rows.columns if name in _conditions_of(rows.rows)] if rows else []
        against = self._against(rows.rows if rows else ())
        words = tuple(self._row(one, columns, bool(against)) for one in rows.rows) if rows else ()
        chances = any(verdict.chance for one in words for verdict in one.verdicts)
        heads = (
            "Reading",
            *(_head(name, rows.units.get(name, "") if rows else "") for name in columns),
            capital(test.told_as),
            "Verdict",
            *(("Chance of meeting it",) if chances else ()),
            "Source",
        )
        title = f"{ref}, {sheet.moment}"
        return SheetBlock(ref, title, self.sheet_facts(sheet, test), sheet.note, against, heads, words, chances)

    def _against(self, rows: Sequence[Reading]) -> tuple[Markup, ...]:
        """The limits a sheet's readings are held against, each once, with its authority."""
        spoken: dict[str, Verdict] = {}
        for row in rows:
            for one in self.texts.verdicts.get(row.id, ()):
                if one.limit is not None:
                    spoken.setdefault(one.limit.id, one)
        made = []
        for name, one in spoken.items():
            title = self.core.limits[name].title
            made.append(Markup('<a href="{}">{}</a>: {}').format(self.limit(name), title, self.texts.authority(one)))
        return tuple(made)

    def _row(self, reading: Reading, columns: list[str], against: bool) -> RowWords:
        everything = self.texts.verdicts.get(reading.id, ())
        spoken = [one for one in everything if one.subject == reading.id]
        words = self._verdicts(spoken, against)
        if not spoken and everything:
            words = (VerdictWords("judged with", "", everything[0].subject, "", ""),)
        return RowWords(
            reading.id,
            tuple(_shown(reading.conditions.get(name, "")) for name in columns),
            self._measured(reading, spoken),
            words,
            reading.note,
            reading.void,
        )

    def _measured(self, reading: Reading, spoken: Sequence[Verdict]) -> str:
        """A reading with its doubt, and with the k of that where it is not 2: without it no chance can be reckoned."""
        if reading.void:
            return show_value(reading.value, unit(reading.unit))
        shown, k = self.texts.measured(reading), next((one.k for one in spoken if one.doubt and one.k), 2.0)
        return shown + show_factor(k) if PLUS_MINUS in shown else shown

    def _verdicts(self, spoken: Sequence[Verdict], against: bool) -> tuple[VerdictWords, ...]:
        """One line for each outcome, heaviest first, with every bound it was given on."""
        groups: dict[Outcome, list[Verdict]] = {}
        for one in spoken:
            groups.setdefault(one.outcome, []).append(one)
        return tuple(self._group(outcome, groups[outcome], against) for outcome in ORDER if outcome in groups)

    def _group(self, outcome: Outcome, verdicts: Sequence[Verdict], against: bool) -> VerdictWords:
        bounds = [self._bounds(one) for one in verdicts]
        chances = [one.chance for one in verdicts if one.chance is not None]
        # That no limit speaks to a whole sheet is said once, below its table; where one speaks to others, in its row.
        why = [
            one.why if one.limit is not None or outcome is Outcome.NOT_ASSESSABLE else "no limit speaks to it"
            for one in verdicts
            if one.why and (against or one.limit is not None or outcome is Outcome.NOT_ASSESSABLE)
        ]
        why += [
            step
            for one in verdicts
            for step in one.steps
            if step.startswith(("scaled", "the maker states")) or (" is " in step and "(" in step)
        ]
        # Where several limits are met, the smallest chance is the one that counts.
        chance = show_chance(min(chances)) if chances else ""
        return VerdictWords(
            str(outcome),
            TONES.get(outcome, ""),
            "; ".join(dict.fromkeys(bound for bound in bounds if bound)),
            chance,
            "; ".join(dict.fromkeys(why)),
        )

    def _bounds(self, one: Verdict) -> str:
        if one.limit is None or (one.lower is None and one.upper is None):
            return ""
        if self.core.limits[one.limit.id].sense is Sense.MONOTONIC:
            return "does not fall as the setting rises" if one.outcome is Outcome.PASS else "falls as the setting rises"
        return self.texts.limit_words(one)

    @cached_property
    def instruments(self) -> list[tuple[str, Instrument]]:
        """Instruments used, in order."""
        return self.by_id(self.core.instruments)

    @cached_property
    def used_limits(self) -> list[tuple[str, Limit, LimitRef]]:
        """Limits that spoke, with their citations."""
        refs = {one.limit.id: one.limit for one in self.core.verdicts if one.limit is not None}
        return [(name, self.core.limits[name], refs[name]) for name in sorted(refs)]


def _titled(name: str, test: Test) -> str:
    extra = name.partition("--")[2].replace("-", " ")
    return f"{test.title} ({extra})" if extra else test.title


def _conditions_of(rows: tuple[Reading, ...]) -> Iterator[str]:
    return iter(dict.fromkeys(name for row in rows for name in row.conditions))


def _head(name: str, unit_text: str) -> str:
    known = unit(unit_text) if unit_text else None
    said = capital(name.replace("_", " "))
    return f"{said} ({known.si_text if known else unit_text})" if unit_text else said


def _shown(text: str) -> str:
    return show_typed(text) if numeric(text) else text


def _unit_of(test: Test, name: str) -> str:
    column = test.conditions.get(name)
    known = unit(column.unit) if column and column.unit else None
    return known.si_text if known else ""
