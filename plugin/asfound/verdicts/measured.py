"""A sheet's standing readings in the unit of their verdict, each with its doubt.

Readings under equal conditions are repeats of one another: their spread is worked out once for all of them, and what
is the same for equal values is shared between them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from msgspec import Struct, field

from asfound.measure.budget import INFINITE
from asfound.measure.units import OtherQuantityError, Unit, convert, unit
from asfound.model.bench import Instrument
from asfound.model.case import Case
from asfound.model.limits import Test
from asfound.model.number import Value, ValueKind
from asfound.model.work import Reading, Sheet
from asfound.verdicts.context import Setting, comparable
from asfound.verdicts.doubts import RangeInUnit, quick_doubt, range_for, ranges_in, repeated_doubt, spread

_SHARED = 1024
"""How many values of one combination of conditions are kept to be shared."""

_new = tuple.__new__


class Measured(NamedTuple):
    """A reading in the unit of its verdict.

    U, k, dof  expanded doubt, its coverage factor, and the effective degrees of freedom behind them, not truncated
    key  the conditions of its row in the order of the columns, in a form that is equal for what is the same however it
         was typed: 90 under `setting [W]`, `90 W` and `90.0`; readings under equal conditions share one
    """

    reading: Reading
    value: Value
    key: tuple[str, ...]
    y: Decimal | None
    U: float | None
    k: float
    steps: tuple[str, ...]
    why: str = ""
    dof: float = INFINITE


class SheetWork(Struct, frozen=True):
    """A sheet, ready to be judged.

    alike  its readings in groups, each of those under equal conditions; of those that read the same, the first
    ranges  those of the instrument's function, narrowest first
    """

    name: str
    sheet: Sheet
    test: Test
    to: Unit
    setting: Setting
    measured: tuple[Measured, ...]
    alike: tuple[tuple[Measured, ...], ...]
    ranges: tuple[RangeInUnit, ...] = ()


_NO_NUMBER = frozenset(
    {ValueKind.BELOW, ValueKind.ABOVE, ValueKind.OVER_RANGE, ValueKind.UNDER_RANGE, ValueKind.NO_OUTPUT}
)


def is_open(one: Measured) -> bool:
    """Whether something was read that is no number: a bound, an instrument at its end, no output, another quantity.

    What is reckoned from several readings is not known where one of them is open. A bound taken for a number, or a
    series without it, says that an output which may have failed was near its setting.
    """
    return one.value.kind in _NO_NUMBER or bool(one.why)


def others(one: Measured, *names: str) -> tuple[str, ...]:
    """The conditions of a row but for some, in the form of `key`."""
    told = zip(one.reading.conditions, one.key, strict=True)
    return tuple(text for name, text in told if name not in names)


_Parts = tuple[Decimal | None, float | None, float, tuple[str, ...], str, float]


class _Group(Struct):
    """Readings under equal conditions; `s` and `dof` are the spread of a single one of them."""

    key: tuple[str, ...]
    s: float = 0.0
    dof: float = 0.0
    shared: dict[tuple[str, str], _Parts] = field(default_factory=dict)


def prepare(
    name: str, case: Case, tests: Mapping[str, Test], instruments: Mapping[str, Instrument]
) -> SheetWork | None:
    """Convert a sheet's standing readings and give each its doubt. None where test or unit is not known."""
    sheet = case.sheets[name]
    rows = case.readings.get(name)
    test = tests.get(sheet.test.partition("--")[0])
    to = unit(test.unit) if test else None
    if rows is None or test is None or to is None:
        return None
    setting = Setting.of(name, sheet, rows, case.items)
    marked = test.read_from == "mark"
    # What is read off a mark stands there as it is: neither whoever read it nor its repeats lend it a doubt.
    ranges = () if marked else ranges_in(instruments.get(sheet.instrument), sheet.function, to)
    standing = [row for row in rows.rows if not row.void]
    groups = _groups(standing, to, rows.units)
    measured = tuple([_measured(row, group, to, ranges) for row, group in zip(standing, groups, strict=True)])
    alike: dict[tuple[str, ...], dict[tuple[object, ...], Measured]] = {}
    for one in measured:
        alike.setdefault(one.key, {}).setdefault((one.y, one.U, one.k), one)
    grouped = tuple(tuple(group.values()) for group in alike.values())
    return SheetWork(name, sheet, test, to, setting, measured, grouped, ranges)


def _groups(rows: Sequence[Reading], to: Unit, units: Mapping[str, str]) -> list[_Group]:
    """The group of each row, its spread computed where it was read more than once."""
    found: dict[tuple[str, ...], _Group] = {}
    typed: dict[tuple[tuple[str, str], ...], tuple[str, ...]] = {}
    numbers: dict[tuple[str, ...], list[float]] = {}
    each: list[_Group] = []
    for row in rows:
        told = tuple(row.conditions.items())
        key = typed.get(told)
        if key is None:
            key = typed[told] = tuple([comparable(text, units.get(name, "")) for name, text in told])
        group = found.get(key)
        if group is None:
            group = found[key] = _Group(key)
            numbers[key] = []
        each.append(group)
        if row.value.kind is ValueKind.NUMBER:
            number = _converted(row, to)
            if number is not None:
                numbers[key].append(float(number))
    for key, values in numbers.items():
        if len(values) > 1:
            component = spread(values)
            found[key].s, found[key].dof = component.contribution, component.dof
    return each


def _converted(row: Reading, to: Unit) -> Decimal | None:
    number = row.value.number
    if number is None:
        return None
    if row.unit == to.symbol:
        return number
    from_ = unit(row.unit)
    try:
        return None if from_ is None else convert(number, from_, to)
    except OtherQuantityError:
        return None


def _measured(row: Reading, group: _Group, to: Unit, ranges: Sequence[RangeInUnit]) -> Measured:
    value = row.value
    at = (value.text, row.unit)
    parts = group.shared.get(at)
    if parts is None:
        parts = _parts(row, group, to, ranges)
        if len(group.shared) < _SHARED:
            group.shared[at] = parts
    return _new(Measured, (row, value, group.key, *parts))


def _parts(row: Reading, group: _Group, to: Unit, ranges: Sequence[RangeInUnit]) -> _Parts:
    value = row.value
    y = _converted(row, to)
    if value.number is not None and value.kind is not ValueKind.COUNT and y is None:
        return None, None, 2.0, (), f'it is in "{row.unit}", which cannot be turned into {to.symbol}', INFINITE
    if y is None or value.kind is ValueKind.COUNT:
        return None, None, 2.0, (), "", INFINITE
    steps = () if row.unit == to.symbol or unit(row.unit) is to else (f"{value.text} {row.unit} is {y:f} {to.symbol}",)
    chosen = range_for(y, ranges)
    if chosen is None:
        # Outside all ranges no doubt is known, and none is guessed.
        return y, None, 2.0, steps, "", INFINITE
    if not group.dof and chosen.known.dof == INFINITE:
        return y, six(quick_doubt(float(y), chosen)), 2.0, steps, "", INFINITE
    found = repeated_doubt(float(y), chosen, group.s, group.dof or INFINITE)
    return y, six(found.U), six(found.k), steps, "", six(found.dof)


def six(number: float) -> float:
    """Six significant digits: the form in which doubts and chances are kept, shown and decided with."""
    return float(f"{number:.6g}")


__all__ = ["Measured", "SheetWork", "is_open", "others", "prepare", "six"]
