"""Results derived from readings: computed here, never typed.

Each kind answers one question a reader asks of a series and says it in one sentence. Doubts that two readings of
one instrument share drop out of their difference; what does not drop out is stated where it is used.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import ROUND_HALF_EVEN, Context, Decimal

from msgspec import Struct

from asfound.measure.agreement import ports_agree, repeatability
from asfound.measure.fits import halvings, linearity, percent_deviation
from asfound.measure.show import show_condition, show_measured, show_number, show_percent, with_unit
from asfound.measure.units import unit
from asfound.model.verdict import SECOND_INSTRUMENT, Outcome, Result
from asfound.verdicts.context import Unknown, comparable
from asfound.verdicts.heating import heating_factor
from asfound.verdicts.measured import Measured, SheetWork, is_open, others, six
from asfound.verdicts.second import among_repeats, second_instrument
from asfound.verdicts.trials import of_trials


class Point(Struct, frozen=True):
    """A reading with the step it was taken at."""

    step: Decimal
    one: Measured


class Series(Struct, frozen=True):
    """Readings under conditions alike but for one, in order of its steps.

    conditions  the other conditions, which name the series
    points      those with a number
    unsure      those that are open: nothing can be reckoned of the whole series then
    """

    conditions: tuple[tuple[str, str], ...]
    points: list[Point]
    unsure: list[Measured]


def series_of(work: SheetWork, over: str = "setting") -> Iterator[Series]:
    """Series of a sheet, by their conditions other than `over`."""
    found: dict[tuple[str, ...], Series] = {}
    for one in work.measured:
        if one.y is None and not is_open(one):
            continue
        try:
            step = work.setting.amount(one.reading, over, work.to)
        except Unknown:
            continue  # a setting in another quantity (an alarm limit for a current) is no reference for the reading
        series = found.setdefault(others(one, over), Series(_named(one, over), [], []))
        if is_open(one):
            series.unsure.append(one)
        else:
            series.points.append(Point(step, one))
    for series in found.values():
        series.points.sort(key=lambda point: point.step)
        yield series


def _named(one: Measured, *but: str) -> tuple[tuple[str, str], ...]:
    return tuple((name, text) for name, text in one.reading.conditions.items() if name not in but)


def _open(kind: str, work: SheetWork, title: str, symbol: str, of: Sequence[Measured], unsure: Measured) -> Result:
    """What is told instead of a figure where one of the readings behind it is no number."""
    text = (
        f'{unsure.reading.id} reads "{unsure.value.text}", which is no number to reckon with; nothing is worked out of '
        "these readings."
    )
    return _made(kind, work, title, None, symbol, of, text)


def derive(work: SheetWork, works: Mapping[str, SheetWork]) -> Iterator[Result]:
    """Every derived result of one sheet: what the protocol's test asks for, and what is asked of every sheet.

    A second instrument is compared with the first and with others that repeat it, and counts of trials tell what they
    leave room for, unasked.
    """
    for kind, make in (*((kind, _MAKERS[kind]) for kind in work.test.results if kind != SECOND_INSTRUMENT), _UNASKED):
        made = list(make(work, works))
        for number, result in enumerate(made, start=1):
            ident = f"Y-{work.name.removeprefix('S-')}-{kind.replace(' ', '-')}"
            yield replace(result, id=ident if len(made) == 1 else f"{ident}-{number}")
    yield from among_repeats(work, works)
    yield from of_trials(work)


def _series_name(others: Sequence[tuple[str, str]], sheet: SheetWork) -> str:
    units = sheet.setting.units
    named = [show_condition(name, text, units.get(name, "")) for name, text in others if text]
    return ", ".join(named) or sheet.sheet.test.replace("-", " ")


def _made(
    kind: str,
    work: SheetWork,
    title: str,
    value: Decimal | None,
    symbol: str,
    of: Sequence[Measured],
    text: str,
    *,
    doubt: float | None = None,
    outcome: Outcome | None = None,
    numbers: Sequence[tuple[str, str]] = (),
) -> Result:
    refs = tuple(dict.fromkeys(one.reading.id for one in of))
    return Result("", kind, work.name, title, value, symbol, doubt, refs, text, outcome, tuple(numbers))


def _deviation(work: SheetWork, works: Mapping[str, SheetWork]) -> Iterator[Result]:
    for series in series_of(work):
        title = f"Deviation from the setting, {_series_name(series.conditions, work)}"
        if series.unsure:
            yield _open("deviation", work, title, "%", _all(series), series.unsure[0])
            continue
        rows = []
        for point in series.points:
            assert point.one.y is not None
            part = percent_deviation(point.one.y, point.step)
            if part is not None:
                rows.append((point, part))
        if not rows:
            continue
        worst, part = max(rows, key=lambda row: abs(row[1]))
        numbers = [(f"{at.step:f} ({at.one.reading.id})", show_percent(value, signed=True)) for at, value in rows]
        yield _made(
            "deviation", work, title, _places(part, 2), "%", [point.one for point, _ in rows],
            f"The reading that strays furthest from its setting does so by {show_percent(part, signed=True)}, "
            f"at {with_unit(show_number(worst.step), work.to)}.",
            numbers=numbers,
        )  # fmt: skip


def _all(series: Series) -> list[Measured]:
    return [*(point.one for point in series.points), *series.unsure]


def _linearity(work: SheetWork, works: Mapping[str, SheetWork]) -> Iterator[Result]:
    for series in series_of(work):
        title = f"Proportion to the setting, {_series_name(series.conditions, work)}"
        if series.unsure:
            yield _open("linearity", work, title, "%", _all(series), series.unsure[0])
            continue
        points = series.points
        steps = [float(point.step) for point in points]
        if len(set(steps)) < 2 or not any(steps):
            continue
        found = linearity(steps, [float(point.one.y or 0) for point in points])
        if found.worst is None:
            continue
        stray = found.deviations[found.worst]
        assert stray is not None
        halves = halvings([point.step for point in points], [point.one.y or Decimal(0) for point in points])
        numbers = [("slope through the origin", f"{found.slope:.4f}")]
        numbers += [
            (
                f"{points[half.full].step:f} against {points[half.half].step:f}",
                show_percent(half.deviation, signed=True),
            )
            for half in halves
        ]
        said = f"The reading furthest from a straight line through zero strays {show_percent(abs(stray))} from it."
        yield _made(
            "linearity", work, title, _places(Decimal(repr(stray)), 2), "%", [point.one for point in points], said,
            numbers=numbers,
        )  # fmt: skip


def _port_agreement(work: SheetWork, works: Mapping[str, SheetWork]) -> Iterator[Result]:
    groups: dict[tuple[str, ...], dict[str, list[Measured]]] = {}
    for one in work.measured:
        port = work.setting.known(one.reading, "port")
        if port is not None and (one.y is not None or is_open(one)):
            groups.setdefault(others(one, "port"), {}).setdefault(comparable(port, ""), []).append(one)
    rows = []
    used: list[Measured] = []
    for ports in groups.values():
        if len(ports) < 2:
            continue
        named = {work.setting.known(got[0].reading, "port") or "": got for got in ports.values()}
        used += [one for got in named.values() for one in got]
        means = {name: (math.fsum(float(m.y or 0) for m in got) / len(got), None) for name, got in named.items()}
        conditions = _named(used[-1], "port")
        rows += [(abs(pair.percent), pair, conditions) for pair in ports_agree(means) if pair.percent is not None]
    unsure = next((one for one in used if is_open(one)), None)
    if unsure is not None:
        yield _open("port agreement", work, "Port against port", "%", used, unsure)
        return
    if not rows:
        return
    worst, pair, key = max(rows, key=lambda row: row[0])
    yield _made(
        "port agreement", work, "Port against port", _places(Decimal(repr(pair.percent)), 2), "%", used,
        f"Ports of one function differ by {show_percent(worst)} at most, {pair.first} against {pair.second} "
        f"at {_series_name(key, work)}.",
        numbers=[(f"{p.first} against {p.second}, {_series_name(k, work)}", show_percent(p.percent or 0.0, signed=True))
                 for _, p, k in rows],
    )  # fmt: skip


def _repeatability(work: SheetWork, works: Mapping[str, SheetWork]) -> Iterator[Result]:
    groups: dict[tuple[str, ...], list[Measured]] = {}
    for one in work.measured:
        if one.y is not None or is_open(one):
            groups.setdefault(one.key, []).append(one)
    symbol = unit(work.test.unit)
    for group in groups.values():
        # "Below 0.001" is a bound and no number: a mean of bounds, or of what is left beside them, says too much.
        if len(group) < 2 or any(is_open(one) for one in group):
            continue
        found = repeatability([float(one.y or 0) for one in group])
        s = Decimal(f"{found.s:.3g}")
        exact = sum((one.y or Decimal(0) for one in group), Decimal(0)) / len(group)
        mean = show_measured(exact, None if found.s == 0 else 2 * found.s / math.sqrt(found.n), symbol)
        text = (
            f"Under the same conditions {found.n} readings have the mean {mean.split(chr(0xA0) + chr(0xB1))[0]} "
            f"and a standard deviation of {with_unit(show_number(s), symbol)}."
        )
        numbers = [("bounds of s, 95 %", f"{found.s_low:.3g} to {found.s_high:.3g}")]
        if not s:
            # Alike is what the last digit shows; "a standard deviation of 0, between 0 and 0" would claim to know more.
            text, numbers = f"Under the same conditions {found.n} readings are alike to the last digit, {mean}.", []
        yield _made(
            "repeatability", work, f"Repeats, {_series_name(_named(group[0]), work)}", s, work.test.unit, group, text,
            numbers=numbers,
        )  # fmt: skip


def _trip_window(work: SheetWork, works: Mapping[str, SheetWork]) -> Iterator[Result]:
    """The values at which a monitor trips when the quantity rises and when it falls, and the window between."""
    ways: dict[str, list[Measured]] = {}
    told = ""
    for one in work.measured:
        way = work.setting.known(one.reading, "direction")
        if way is None:
            continue
        if is_open(one):
            told += f' {one.reading.id} reads "{one.value.text}", which is no number and not among them.'
        elif one.y is not None:
            ways.setdefault(way, []).append(one)
    if not ways:
        return
    symbol = unit(work.test.unit)
    named = []
    for way, group in sorted(ways.items()):
        values = [one.y or Decimal(0) for one in group]
        low, high = with_unit(show_number(min(values)), symbol), with_unit(show_number(max(values)), symbol)
        named.append((way, low if low == high else f"{low} to {high}"))
    said = " and ".join(f"at {value} when {way}" for way, value in named)
    yield _made(
        "trip window", work, "Where the monitor trips", None, work.test.unit,
        [one for group in ways.values() for one in group], f"The monitor trips {said}.{told}", numbers=named,
    )  # fmt: skip


# A reading may have 30 digits before its point, by a slip of whoever typed it.
_WIDE = Context(prec=120, rounding=ROUND_HALF_EVEN)


def _places(value: Decimal, places: int) -> Decimal:
    return value.quantize(Decimal(1).scaleb(-places), context=_WIDE)


Maker = Callable[[SheetWork, Mapping[str, SheetWork]], Iterator[Result]]
_MAKERS: dict[str, Maker] = {
    "deviation": _deviation,
    "linearity": _linearity,
    "port agreement": _port_agreement,
    "repeatability": _repeatability,
    "trip window": _trip_window,
    "heating factor": heating_factor,
}
_UNASKED = (SECOND_INSTRUMENT, second_instrument)

__all__ = ["Point", "Series", "derive", "series_of", "six"]
