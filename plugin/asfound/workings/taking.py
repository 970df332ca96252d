"""Taking the inputs of a calculation out of a case: readings with their doubts, results, rows, stated figures."""

from __future__ import annotations

import math
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from msgspec import Struct, field

from asfound.measure.show import show_factor, show_measured, show_number, show_typed, show_value, with_unit
from asfound.measure.units import OtherQuantityError, Unit, convert, convert_difference, unit
from asfound.model.bench import Instrument
from asfound.model.calculation import FromRows, Stated
from asfound.model.case import Case
from asfound.model.limits import Test
from asfound.model.number import ValueKind, decimal_of, parted
from asfound.model.verdict import Result
from asfound.model.work import Reading
from asfound.model.worked import Lack, WorkedInput, WorkFault
from asfound.physics.calc import Calculation, Input
from asfound.physics.saying import Typed, read_typed
from asfound.verdicts.context import Unknown
from asfound.verdicts.elsewhere import doubt_elsewhere
from asfound.verdicts.measured import Measured, SheetWork, prepare


class Bench(Struct):
    """A case at hand, with each sheet prepared once.

    lacking  answers worked out so far that something moves whose doubt, or part of it, is not on record
    """

    case: Case
    tests: Mapping[str, Test]
    instruments: Mapping[str, Instrument]
    results: dict[str, Result]
    lacking: set[str] = field(default_factory=set)
    _sheets: dict[str, SheetWork | None] = field(default_factory=dict)

    def sheet(self, name: str) -> SheetWork | None:
        """A sheet's standing readings in one unit; None where its test or unit is not known."""
        if name not in self._sheets:
            known = name in self.case.sheets
            self._sheets[name] = prepare(name, self.case, self.tests, self.instruments) if known else None
        return self._sheets[name]

    def sheets(self) -> dict[str, SheetWork]:
        """Every sheet that can be used."""
        return {name: work for name in self.case.sheets if (work := self.sheet(name)) is not None}

    def measured(self, reading: Reading) -> tuple[Measured, SheetWork] | None:
        """A standing reading with its doubt."""
        work = self.sheet(reading.sheet)
        found = next((one for one in work.measured if one.reading.id == reading.id), None) if work else None
        return None if work is None or found is None else (found, work)


class Taken(Struct, frozen=True):
    """An input as it was taken; `fault` where it could not be.

    doubt  twice its standard doubt, the form in which doubts are combined, whatever k it was stated with
    dof    degrees of freedom behind it
    open   whether something went in whose doubt, or part of it, is not on record
    """

    value: float | str | None = None
    doubt: float | None = None
    dof: float = math.inf
    open: bool = False
    shown: WorkedInput | None = None
    fault: WorkFault | None = None
    remark: WorkFault | None = None


class _Figure(Struct, frozen=True):
    """A number in the unit it stands in, with its expanded doubt, its k, and the degrees of freedom behind it."""

    value: Decimal
    doubt: float | None
    of: Unit | None
    text: str
    k: float = 2.0
    dof: float = math.inf
    open: bool = False


class _Not(ValueError):
    """Why a record gives no figure: what was found, what is needed."""

    def __init__(self, found: str, needed: str, lack: Lack = Lack.INPUT) -> None:
        super().__init__(found)
        self.found, self.needed, self.lack = found, needed, lack


def take(bench: Bench, one: Input, given: Any) -> Taken:
    """One input, in the unit of the calculation."""
    if isinstance(given, Stated):
        return _stated(bench, one, given)
    refs = (given,) if isinstance(given, str) else tuple(given)
    path = ("inputs", one.name)
    try:
        if one.choices:
            raise _Not(f"{refs[0]} is given for a word", f"one of {', '.join(one.choices)} is needed, under value")
        figures = [_figure(bench, one, ref) for ref in refs]
        if not figures:
            raise _Not("no reading is named", "a reading is needed")
        values = [_in(one, figure, ref) for figure, ref in zip(figures, refs, strict=True)]
    except _Not as wrong:
        return Taken(fault=WorkFault(wrong.lack, path, wrong.found, wrong.needed))
    doubts = [(doubt, figure) for (_, doubt), figure in zip(values, figures, strict=True) if doubt is not None]
    # What one instrument adds is in all of its readings and does not shrink in their mean; so the largest speaks. Where
    # one of them has no doubt on record, nothing is known of that of the mean.
    known = len(doubts) == len(values)
    # Standard doubts are compared, since of two readings the one with few repeats has a larger k and so, perhaps, the
    # larger expanded doubt and the smaller standard one; of equal ones that which fewer repeats stand behind.
    widest = max(doubts, key=lambda pair: (pair[0] / pair[1].k, -pair[1].dof), default=None) if known else None
    expanded, of = widest or (None, figures[0])
    mean = math.fsum(value for value, _ in values) / len(values)
    text = figures[0].text
    if len(values) > 1:
        text = f"{_plain(mean, expanded, one)}{show_factor(of.k) if known else ''}, the mean of {len(values)}"
    twice = None if expanded is None else expanded * 2.0 / of.k
    open_ = any(figure.open for figure in figures)
    return Taken(mean, twice, of.dof, open_, WorkedInput(one.name, one.what, text, refs))


def _plain(value: float, doubt: float | None, one: Input) -> str:
    return _said(Decimal(f"{value:.6g}"), doubt, unit(one.unit) if one.unit else None, computed=True)


def _figure(bench: Bench, one: Input, ref: str) -> _Figure:
    result = bench.results.get(ref)
    if result is not None:
        if result.value is None:
            raise _Not(f"{ref} is a range or a sentence, not one figure", "a result with a value is needed")
        of = unit(result.unit) if result.unit != "1" else None
        k, dof = result.k or 2.0, result.dof or math.inf
        text = _said(result.value, result.doubt, of, computed=True) + show_factor(k)
        return _Figure(result.value, result.doubt, of, text, k, dof, _is_open(bench, result))
    reading = bench.case.reading.get(ref)
    if reading is None:
        known = bench.case.exists(ref)
        said = f"{ref} is no reading and no computed result" if known else f"{ref} stands nowhere"
        raise _Not(said, "a reading or result with a number is needed", Lack.INPUT if known else Lack.CITED)
    if reading.void:
        raise _Not(f"{ref} is void", "a reading that stands is needed")
    if reading.value.kind is ValueKind.COUNT and not one.unit and reading.value.number is not None:
        whole = reading.value.of if one.name == "trials" else None
        return _Figure(
            Decimal(whole) if whole is not None else reading.value.number, None, None, show_value(reading.value)
        )
    found = bench.measured(reading)
    if found is None or found[0].y is None or reading.value.kind is not ValueKind.NUMBER:
        raise _Not(f"{ref} reads “{reading.value.text}”", "a reading with a number is needed")
    y, doubt, k, to = found[0].y, found[0].U, found[0].k, found[1].to
    text = _said(y, doubt, to) + show_factor(k) if doubt else show_value(reading.value, unit(reading.unit))
    return _Figure(y, doubt, to, text, k, found[0].dof, doubt is None)


def _is_open(bench: Bench, result: Result) -> bool:
    """Whether the doubt of a result lacks something. What is derived of a sheet's numbers has one or lacks it all; a
    bound from a count is as it is."""
    if result.id in bench.lacking:
        return True
    readings = (bench.case.reading.get(ref) for ref in result.of)
    of_numbers = any(one is not None and one.value.kind is ValueKind.NUMBER for one in readings)
    return bool(result.sheet) and result.doubt is None and of_numbers


def _said(value: Decimal, doubt: float | None, of: Unit | None, *, computed: bool = False) -> str:
    return show_measured(value, doubt, of, computed=computed) if doubt else with_unit(show_number(value), of)


def _in(one: Input, figure: _Figure, ref: str) -> tuple[float, float | None]:
    to = unit(one.unit) if one.unit else None
    if to is None:
        return float(figure.value), figure.doubt
    if figure.of is None:
        raise _Not(f"{ref} bears no unit", f"a figure in {to.symbol} is needed for {one.name}")
    try:
        value = float(convert(figure.value, figure.of, to))
        if figure.doubt is None:
            return value, None
        return value, float(convert_difference(Decimal(repr(figure.doubt)), figure.of, to))
    except OtherQuantityError:
        raise _Not(f"{ref} is in {figure.of.symbol}", f"a figure in {to.symbol} is needed for {one.name}") from None


def _stated(bench: Bench, one: Input, given: Stated) -> Taken:
    path = ("inputs", one.name)
    read = read_typed(one, given.value)
    if read.fault:
        fault = WorkFault(Lack.INPUT, (*path, "value"), read.fault, f"{_wanted(one)} is needed")
        return Taken(fault=fault)
    wrong = _stated_amiss(given, read)
    if wrong:
        return Taken(fault=WorkFault(Lack.INPUT, (*path, wrong[0]), *wrong[1:]))
    doubt, text, k = read.doubt, _printed(given.value), read.k or float(given.k)
    dof = read.dof or (math.inf if given.dof is None else float(given.dof))
    if given.doubt is not None:
        width = _width(one, given.doubt)
        if isinstance(width, WorkFault):
            return Taken(fault=width)
        doubt, text = width, f"{_printed(given.value)} ± {_printed(given.doubt)}"
    if doubt is not None:
        doubt, text = doubt * 2.0 / k, text + (show_factor(k) if read.k is None else "")
    remark = None
    if not given.from_ and given.why is None:
        remark = WorkFault(
            Lack.GROUND, path, f"{one.name} is stated as {given.value}, and nothing says where it comes from",
            "the record it is taken from, or the reason why it is taken, is needed",
        )  # fmt: skip
    shown = WorkedInput(one.name, one.what, text, given.from_, given.why or "")
    return Taken(read.value, doubt, dof, False, shown, None, remark)


def _stated_amiss(given: Stated, read: Typed) -> tuple[str, str, str] | None:
    """What does not go together in a stated figure: where, what was found, what is needed."""
    factored = given.k != 2 or given.dof is not None
    if read.doubt is not None and given.doubt is not None:
        return "doubt", f"a doubt stands here and one in “{given.value}”", "one of the two is needed"
    if read.k is not None and factored:
        return "value", f"“{given.value}” states its k, and so does the record", "one of the two is needed"
    if factored and read.doubt is None and given.doubt is None:
        found = "k" if given.k != 2 else "dof"
        return found, f"{found} is stated, and no doubt that it belongs to", "a doubt, or neither, is needed"
    return None


def _printed(text: str) -> str:
    """A figure as typed, its unit as units are printed; anything else as it stands."""
    head, symbol = parted(text)
    of = unit(symbol) if symbol else None
    return with_unit(show_typed(head), of) if of is not None and decimal_of(head) is not None else text


def _width(one: Input, text: str) -> float | WorkFault:
    head, symbol = parted(text)
    from_, to = unit(symbol), unit(one.unit) if one.unit else None
    read = read_typed(Input(one.name, "", one.what), head)
    path = ("inputs", one.name, "doubt")
    if read.fault or not isinstance(read.value, float):
        return WorkFault(Lack.INPUT, path, f"found “{text}”", f"{_wanted(one)} is needed")
    if read.value < 0:
        return WorkFault(Lack.INPUT, path, f"found “{text}”", "a doubt not below 0 is needed")
    if to is None:
        return read.value
    if from_ is not None and from_.quantity is to.quantity:
        return float(convert_difference(Decimal(repr(read.value)), from_, to))
    return WorkFault(Lack.INPUT, path, f"found “{text}”", f"a doubt in {to.symbol} is needed")


def _wanted(one: Input) -> str:
    if one.choices:
        return f"one of {', '.join(one.choices)}"
    return f"a number in {one.unit}" if one.unit else "a number"


Columns = dict[str, list[float]]


class TakenRows(Struct, frozen=True):
    """Rows as they were taken: columns, doubts of those where every row has one, readings used; or what hindered.

    doubts  twice the standard doubt of each cell
    dofs    the degrees of freedom behind each of them
    open    columns of which the doubt of a row, or of all, is not on record, where doubts of rows are carried
    """

    columns: Columns = field(default_factory=dict)
    doubts: Columns = field(default_factory=dict)
    dofs: Columns = field(default_factory=dict)
    used: tuple[str, ...] = ()
    fault: WorkFault | None = None
    open: tuple[str, ...] = ()


def take_rows(bench: Bench, of: Calculation, rows: FromRows) -> TakenRows:
    """The columns of a calculation out of a sheet's readings."""

    def no(found: str, needed: str, *path: str) -> TakenRows:
        return TakenRows(fault=WorkFault(Lack.ROWS, ("rows", *path), found, needed))

    work = bench.sheet(rows.sheet)
    if work is None:
        return no(f"{rows.sheet} holds no readings that can be used", "a sheet with readings is needed", "sheet")
    names = {one.name for one in of.columns}
    for name in rows.columns:
        if name not in names:
            return no(f"{of.name} has no column “{name}”", f"one of {', '.join(sorted(names))} is needed", "columns")
    columns: Columns = {one.name: [] for one in of.columns}
    doubts: dict[str, list[tuple[float, float] | None]] = {one.name: [] for one in of.columns} if of.row_doubts else {}
    used: list[str] = []
    for measured in work.measured:
        reading = measured.reading
        if not all(work.setting.matches(reading, name, wanted) for name, wanted in rows.where.items()):
            continue
        for one in of.columns:
            source = rows.columns.get(one.name, one.name)
            try:
                columns[one.name].append(_cell(measured, work, source, one.unit))
            except _Not as wrong:
                return no(f"{reading.id}: {wrong.found}", wrong.needed, "columns")
            if doubts:
                doubts[one.name].append(_cell_doubt(bench, measured, work, source, one.unit))
        used.append(reading.id)
    if not used:
        return no(f"no reading of {rows.sheet} is under these conditions", "at least one is needed", "where")
    known = {name: [one for one in found if one and one[0]] for name, found in doubts.items()}
    whole = {name: found for name, found in known.items() if len(found) == len(used)}
    return TakenRows(
        columns, {name: [twice for twice, _ in found] for name, found in whole.items()},
        {name: [dof for _, dof in found] for name, found in whole.items()}, tuple(used), None,
        tuple(name for name in doubts if name not in whole),
    )  # fmt: skip


def _cell_doubt(
    bench: Bench, measured: Measured, work: SheetWork, source: str, symbol: str
) -> tuple[float, float] | None:
    """The doubt of a cell, that of its reading or of the sheet that measured what stands beside it: twice the standard
    doubt, and the degrees of freedom behind it."""
    to = unit(symbol) if symbol not in ("", "1") else None
    if to is None:
        return None
    if source == "value":
        if measured.U is None or work.to.quantity is not to.quantity:
            return None
        return float(convert_difference(Decimal(repr(measured.U)), work.to, to)) * 2.0 / measured.k, measured.dof
    found = doubt_elsewhere(work, bench.sheets(), measured, source, to)
    return None if found is None else (found.twice, found.dof)


def _cell(measured: Measured, work: SheetWork, source: str, symbol: str) -> float:
    to = unit(symbol) if symbol not in ("", "1") else None
    if source == "value":
        if measured.y is None or measured.value.kind is not ValueKind.NUMBER:
            raise _Not(f"it reads “{measured.value.text}”", "a number is needed")
        if to is None:
            return float(measured.y)
        try:
            return float(convert(measured.y, work.to, to))
        except OtherQuantityError:
            raise _Not(f"it is in {work.to.symbol}", f"a reading in {symbol} is needed") from None
    if to is None:
        said = work.setting.known(measured.reading, source)
        read = read_typed(Input(source, "", ""), parted(said or "")[0])
        if read.fault or not isinstance(read.value, float):
            raise _Not(f"{source.replace('_', ' ')} is “{said or 'not recorded'}”", "a number is needed")
        return read.value
    try:
        return float(work.setting.amount(measured.reading, source, to))
    except Unknown as why:
        raise _Not(str(why), f"{source.replace('_', ' ')} in {symbol} is needed") from None
