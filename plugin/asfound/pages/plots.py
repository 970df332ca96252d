"""What a calculation has to show, as a chart: the same data, with every number as text beside it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

from msgspec import Struct, structs

from asfound.figures.curve_spec import Bar, Curve, Dot, Entry, Level, Places, Region, Role, Shown
from asfound.figures.spec import Axis, Chart, ChartKind, Scale
from asfound.measure.reduce import reduce_extremes
from asfound.measure.show import NBSP, PLUS_MINUS, round_to_doubt, show_number, show_typed, two_digits, with_unit
from asfound.measure.units import unit
from asfound.model.plots import Curve as PlotCurve
from asfound.model.plots import Dot as PlotDot
from asfound.model.plots import Plot, PlotAxis, PlotKind
from asfound.model.plots import Region as PlotRegion

_PAIR = re.compile(r"(?<=[0-9]) (?=[^0-9\s]\S{0,6}(?:[\s,;.)]|$))")
"""The space between a number and something as short as a unit."""
BUCKETS = 300
"""A curve of more than four places for each of these is reduced to that, its extremes kept."""
WHOLE = 12
"""A curve of no more places than this stands in the table in full."""
CURVE_DIGITS, DOT_DIGITS = 4, 5
"""Significant digits of a place of a curve and of a reading in the table; what a person reads beside the dot is the
text it came with."""


def chart_of(plot: Plot, ident: str, *, series: str = "", buckets: int = BUCKETS) -> Chart:
    """The chart of one plot of a calculation.

    ident    id of the chart on its page: a letter, then letters, digits, hyphens or underscores
    series   record that holds the full series of what was measured, such as a file of evidence; named in the table
    buckets  how short a long curve is made, its extremes kept; 0 leaves every place

    What cannot be drawn (a number that is not finite, a value at or below zero on a logarithmic axis) is left out or
    drawn otherwise, and the note says so.
    """
    plot, left_out = _finite(plot)
    notes = [plot.note] if plot.note else []
    if left_out:
        notes.append(f"Not drawn, since they are no finite numbers: {show_number(Decimal(left_out))} places.")
    x, y = (_axis(plot, plot.x, "x", notes), _axis(plot, plot.y, "y", notes))
    if plot.bars:
        x, y = structs.replace(x, scale=Scale.LINEAR, from_zero=True), _rows(plot)
    text = _Text(x.unit, y.unit)
    shown = Shown(
        tuple(_curve(one, text, buckets, notes, series) for one in plot.curves),
        tuple(_region(one, text) for one in plot.regions),
        tuple(_dot(one, text) for one in plot.dots),
        tuple(
            Level(one.axis, one.value, bound(one.words), text.of(one.axis, one.value, DOT_DIGITS), Role(one.role))
            for one in plot.levels
        ),
        tuple(_bars(plot, text)),
    )
    return Chart(
        id=ident,
        kind=ChartKind(plot.kind),
        title=plot.title,
        result=plot.result,
        x=x,
        y=y,
        note=" ".join(notes),
        shown=shown,
    )


def _axis(plot: Plot, of: PlotAxis, name: str, notes: list[str]) -> Axis:
    symbol = unit(of.unit) if of.unit else None
    shown = symbol.si_text if symbol is not None else of.unit
    zero = of.from_zero or (plot.kind is PlotKind.WAVEFORM and name == "y")
    if not of.log:
        return Axis(of.label, shown, from_zero=zero)
    if min(_values(plot, name), default=1.0) > 0:
        return Axis(of.label, shown, Scale.LOG)
    notes.append(f"The axis of {of.label} is even, since a value on it is not above zero.")
    return Axis(of.label, shown, from_zero=zero)


def _values(plot: Plot, name: str) -> Iterator[float]:
    at = 0 if name == "x" else 1
    edges = [one.points for one in plot.curves] + [edge for one in plot.regions for edge in (one.lower, one.upper)]
    yield from (place[at] for edge in edges for place in edge)
    yield from (dot.x if name == "x" else dot.y for dot in plot.dots)
    yield from (level.value for level in plot.levels if level.axis == name)


def _rows(plot: Plot) -> Axis:
    return Axis(plot.y.label, scale=Scale.CATEGORY, categories=tuple(dict.fromkeys(bar.row for bar in plot.bars)))


class _Text(Struct, frozen=True):
    """Numbers of both axes as text; the units are those that the axes print."""

    x: str
    y: str

    def of(self, axis: str, value: float, digits: int) -> str:
        """A value with its unit."""
        return _with(figure(value, digits), self.x if axis == "x" else self.y)

    def measured(self, axis: str, value: float, half: float | None) -> str:
        """A value with its doubt, both ending at one place; without a doubt as it is."""
        if not half or not math.isfinite(half):
            return self.of(axis, value, DOT_DIGITS)
        rounded = show_number(round_to_doubt(Decimal(f"{value:.12g}"), half, computed=True))
        symbol = self.x if axis == "x" else self.y
        return f"{_with(rounded, symbol)}{NBSP}{PLUS_MINUS}{NBSP}{_with(show_number(two_digits(half)), symbol)}"


def _with(shown: str, symbol: str) -> str:
    known = unit(symbol) if symbol else None
    return with_unit(shown, known) if known is not None else f"{shown}{NBSP}{symbol}" if symbol else shown


def figure(value: float, digits: int = CURVE_DIGITS) -> str:
    """A computed number with so many significant digits, as a power of ten where it is very small or very large."""
    if value == 0:
        return "0"
    exact = Decimal(f"{value:.{digits - 1}e}").normalize()
    if -5 <= exact.adjusted() < 9:
        return show_number(exact)
    return show_typed(f"{exact:E}")


def bound(words: str) -> str:
    """Words whose numbers keep their units with them when a line is broken."""
    return _PAIR.sub(NBSP, words)


def _curve(of: PlotCurve, text: _Text, buckets: int, notes: list[str], series: str) -> Curve:
    points, role = of.points, Role(of.role)
    if buckets and len(points) > 4 * buckets and all(a[0] <= b[0] for a, b in pairwise(points)):
        short = reduce_extremes([x for x, _ in points], [y for _, y in points], buckets)
        points = short.points
        if short.sentence not in notes:
            notes.append(short.sentence)
    ref = series if role is Role.MEASURED and len(of.points) > WHOLE else ""
    return Curve(bound(of.name), points, role, _told(of.points, text), len(of.points), ref)


def _told(points: Places, text: _Text) -> tuple[Entry, ...]:
    if len(points) <= WHOLE:
        return tuple(_entry("", x, text, text.of("y", y, CURVE_DIGITS)) for x, y in points)
    low, high = min(points, key=lambda one: one[1]), max(points, key=lambda one: one[1])
    kept: dict[tuple[float, float], list[str]] = {}
    for which, place in (("first", points[0]), ("smallest", low), ("largest", high), ("last", points[-1])):
        kept.setdefault(place, []).append(which)
    return tuple(_entry(" and ".join(which), x, text, text.of("y", y, CURVE_DIGITS)) for (x, y), which in kept.items())


def _entry(which: str, x: float, text: _Text, y_text: str) -> Entry:
    return Entry(which, text.of("x", x, CURVE_DIGITS), y_text)


def _region(of: PlotRegion, text: _Text) -> Region:
    """A region; the table tells where it begins, where it ends, and both edges there."""

    def said(low: float, high: float) -> str:
        return f"{text.of('y', low, CURVE_DIGITS)} to {text.of('y', high, CURVE_DIGITS)}"

    told: list[Entry] = []
    if of.lower and of.upper:
        told = [
            _entry("first", of.lower[0][0], text, said(of.lower[0][1], of.upper[0][1])),
            _entry("last", of.lower[-1][0], text, said(of.lower[-1][1], of.upper[-1][1])),
        ]
    return Region(of.words, of.lower, of.upper, tuple(told))


def _dot(of: PlotDot, text: _Text) -> Dot:
    x_text, y_text = text.measured("x", of.x, of.dx), text.measured("y", of.y, of.dy)
    return Dot(of.x, of.y, bound(of.text), x_text, y_text, of.dx, of.dy, of.ref, of.as_used)


def _bars(plot: Plot, text: _Text) -> Iterable[Bar]:
    rows = list(dict.fromkeys(bar.row for bar in plot.bars))
    # Spans of several things side by side start anywhere; parts of a sum start where the one before ended.
    adds_up = any(bar.start != 0 for bar in plot.bars) and all(
        math.isclose(bar.start, before.end, rel_tol=1e-9, abs_tol=1e-12) for before, bar in pairwise(plot.bars)
    )
    shown = _evenly([value for bar in plot.bars for value in (bar.start, bar.end)])
    for number, bar in enumerate(plot.bars):
        start, end = (_with(one, text.x) for one in shown[2 * number : 2 * number + 2])
        total = end if adds_up else ""
        yield Bar(rows.index(bar.row), bar.start, bar.end, bound(bar.text), start, end, total, bar.ref)


def _evenly(values: Sequence[float]) -> list[str]:
    """Numbers of one column, all to the decimals that the largest is worth; none ends in more noughts than it needs."""
    largest = max((abs(value) for value in values), default=0.0)
    worth = max(0, CURVE_DIGITS - 1 - Decimal(f"{largest:.3e}").adjusted()) if largest else 0
    exact = [Decimal(f"{value:.{CURVE_DIGITS - 1}e}").normalize() for value in values]
    places = min(worth, max((-int(one.as_tuple().exponent) for one in exact if one), default=0))
    return [show_number(Decimal(f"{value:.{max(0, places)}f}")) for value in values]


def _finite(plot: Plot) -> tuple[Plot, int]:
    """The plot without what is no finite number, and how many places that were."""
    count = 0

    def kept(points: Sequence[tuple[float, float]]) -> Places:
        nonlocal count
        good = tuple(place for place in points if math.isfinite(place[0]) and math.isfinite(place[1]))
        count += len(points) - len(good)
        return good

    curves = tuple(replace(one, points=kept(one.points)) for one in plot.curves)
    regions = tuple(replace(one, lower=kept(one.lower), upper=kept(one.upper)) for one in plot.regions)
    dots = tuple(one for one in plot.dots if math.isfinite(one.x) and math.isfinite(one.y))
    dots = tuple(replace(one, dx=_half(one.dx), dy=_half(one.dy)) for one in dots)
    levels = tuple(one for one in plot.levels if math.isfinite(one.value))
    bars = tuple(one for one in plot.bars if math.isfinite(one.start) and math.isfinite(one.end))
    count += len(plot.dots) - len(dots) + len(plot.levels) - len(levels) + len(plot.bars) - len(bars)
    return replace(plot, curves=curves, regions=regions, dots=dots, levels=levels, bars=bars), count


def _half(half: float | None) -> float | None:
    return half if half is not None and math.isfinite(half) and half > 0 else None
