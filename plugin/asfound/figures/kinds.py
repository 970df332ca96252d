"""The charts of the trade, built from readings and limits as plain data.

A builder decides what belongs on the chart and how the limit runs; the numbers, texts and verdict words
are handed in.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise

from msgspec import Struct, structs

from asfound.measure.show import show_number

from .scale import scale_for
from .spec import (
    Axis,
    Band,
    Chart,
    ChartKind,
    Event,
    Line,
    LineRole,
    Mark,
    Point,
    Scale,
    Series,
    Shape,
    Sight,
    Span,
    SpanRole,
    Stretch,
    Tick,
    Words,
)

SCALES_WITHOUT_NOTHING = frozenset({"°C", "°F"})
"""Units whose zero is a mark on a scale and not an absence, so that lengths from it mean nothing."""

_SHAPES = (Shape.CIRCLE, Shape.SQUARE, Shape.DIAMOND, Shape.TRIANGLE)


class Tolerance(Struct, frozen=True):
    """An allowed deviation from the nominal value: ``share`` as a fraction (0.20), and the words for its
    two edges."""

    share: float
    lower: str
    upper: str

    def __post_init__(self) -> None:
        if not 0 < self.share < 1:
            raise ValueError(f"tolerance {self.share!r}: a fraction between 0 and 1 was needed")


class Floor(Struct, frozen=True):
    """The setting at or below which there is no requirement, and the words that say so."""

    setting: float
    words: str


class Row(Struct, frozen=True):
    """One condition: its name, its readings (``x`` the value) or the words that stand in their place, and
    its limit."""

    name: str
    points: tuple[Point, ...] = ()
    words: str = ""
    why: str = ""
    ref: str = ""
    limit: float | None = None
    limit_text: str = ""
    limit_role: LineRole = LineRole.LIMIT


class Window(Struct, frozen=True):
    """A range of trip values, and the words that say whose window it is."""

    low: float
    high: float
    words: str


def _shaped(series: Sequence[Series]) -> tuple[Series, ...]:
    """Give every series a shape of its own where the caller left them all alike."""
    if len({s.shape for s in series}) == 1 < len(series):
        return tuple(structs.replace(s, shape=_SHAPES[i % len(_SHAPES)]) for i, s in enumerate(series))
    return tuple(series)


def _setting_ticks(series: Sequence[Series], *, zero: bool) -> tuple[Tick, ...]:
    """A tick for every setting that was tried."""
    tried = sorted({p.x for s in series for p in s.points} | ({0.0} if zero else set()))
    return tuple(Tick(v, show_number(Decimal(repr(v)).normalize())) for v in tried)


def output_against_setting(
    id: str,
    title: str,
    result: str,
    series: Sequence[Series],
    *,
    x: Axis,
    y: Axis,
    note: str = "",
    curve: Sequence[tuple[float, float]] = (),
    curve_label: str = "",
    tolerance: Tolerance | None = None,
    floor: Floor | None = None,
    as_used: Mark | None = None,
) -> Chart:
    """Measured output (y) over its setting (x), with the nominal line or the maker's curve and the
    tolerance about it.

    ``curve`` gives the nominal output as (setting, output) pairs; without it there is no limit to draw,
    and none is drawn. The tolerance band begins at the floor, for below it nothing is required.
    """
    lines: list[Line] = []
    bands: list[Band] = []
    if curve:
        path = tuple(sorted(curve))
        if tolerance is not None:
            ruled = _from(path, floor.setting) if floor else path
            lower = tuple((a, b * (1 - tolerance.share)) for a, b in ruled)
            upper = tuple((a, b * (1 + tolerance.share)) for a, b in ruled)
            bands.append(Band(lower, upper))
            lines += [Line(tolerance.upper, upper), Line(tolerance.lower, lower)]
        lines.append(Line(curve_label, path, LineRole.NOMINAL))
    spans = (Span(None, floor.setting, floor.words),) if floor else ()
    ticks = x.ticks or _setting_ticks(series, zero=True)
    return Chart(
        id=id,
        kind=ChartKind.OUTPUT_AGAINST_SETTING,
        title=title,
        result=result,
        note=note,
        x=structs.replace(x, ticks=ticks, from_zero=True),
        y=structs.replace(y, from_zero=True),
        series=_shaped(series),
        lines=tuple(lines),
        bands=tuple(bands),
        spans=spans,
        marks=(as_used,) if as_used else (),
    )


def _from(path: tuple[tuple[float, float], ...], start: float) -> tuple[tuple[float, float], ...]:
    """The part of a curve from ``start`` on, cut exactly there."""
    kept = [p for p in path if p[0] > start]
    for (a, b), (c, d) in pairwise(path):
        if a <= start < c:
            kept.insert(0, (start, b + (d - b) * (start - a) / (c - a)))
    return tuple(kept) or path


def deviation(
    id: str,
    title: str,
    result: str,
    series: Sequence[Series],
    *,
    x: Axis,
    limit: float | None,
    lower_label: str = "",
    upper_label: str = "",
    zero_label: str = "",
    note: str = "",
    y_label: str = "deviation from the setting",
    floor: Floor | None = None,
    as_used: Mark | None = None,
) -> Chart:
    """Deviation in percent (y) for every setting (x), between two limit lines at plus and minus ``limit``
    percent."""
    tried = [p.x for s in series for p in s.points] or [0.0, 1.0]
    start, end = min(0.0, *tried), max(tried) if max(tried) > 0 else 1.0
    left = floor.setting if floor else start
    # As much room above as below: an axis that is cut on one side would lean the eye.
    reach = limit if limit is not None else max((abs(p.y) for s in series for p in s.points), default=1.0)
    lines = [Line(zero_label, ((start, 0.0), (end, 0.0)), LineRole.NOMINAL)]
    bands: tuple[Band, ...] = ()
    if limit is not None:
        upper, lower = ((left, limit), (end, limit)), ((left, -limit), (end, -limit))
        lines += [Line(upper_label, upper), Line(lower_label, lower)]
        bands = (Band(lower, upper),)
    return Chart(
        id=id,
        kind=ChartKind.DEVIATION,
        title=title,
        result=result,
        note=note,
        x=structs.replace(x, ticks=x.ticks or _setting_ticks(series, zero=True)),
        y=Axis(y_label, "%", from_zero=True, low=-1.25 * reach, high=1.25 * reach),
        series=_shaped(series),
        lines=tuple(lines),
        bands=bands,
        spans=(Span(None, floor.setting, floor.words),) if floor else (),
        marks=(as_used,) if as_used else (),
    )


def leakage_by_condition(
    id: str,
    title: str,
    result: str,
    rows: Sequence[Row],
    *,
    label: str,
    unit: str,
    note: str = "",
    condition_label: str = "condition",
    scale: Scale | None = None,
) -> Chart:
    """One row for each condition, the reading along x, each limit standing in the rows it applies to.

    The axis is linear from zero unless readings and limits lie more than a factor of 30 apart and none is
    zero; then it is logarithmic and says so. A temperature in °C or °F has no zero that means nothing: its axis
    reaches one whole degree beyond the lowest and the highest number, so that a tenth never fills it.
    """
    numbers = [p.x for r in rows for p in r.points] + [r.limit for r in rows if r.limit is not None]
    if unit in SCALES_WITHOUT_NOTHING and numbers:
        low, high = math.floor(min(numbers)) - 1.0, math.ceil(max(numbers)) + 1.0
        axis = Axis(label, unit, Scale.LINEAR, low=low, high=high)
    else:
        chosen = scale or scale_for(numbers)
        axis = Axis(label, unit, chosen, from_zero=chosen is Scale.LINEAR)
    return _in_rows(id, ChartKind.LEAKAGE_BY_CONDITION, title, result, note, axis, rows, condition_label)


def contact_monitor_window(
    id: str,
    title: str,
    result: str,
    rows: Sequence[Row],
    *,
    label: str = "resistance at which the monitor changed state",
    unit: str = "Ω",
    window: Window | None = None,
    note: str = "",
    row_label: str = "direction",
) -> Chart:
    """Trip values of a contact quality monitor, rising and falling, against the window that is named with
    them."""
    axis = Axis(label, unit, from_zero=True)
    spans = (Span(window.low, window.high, window.words, SpanRole.WINDOW),) if window else ()
    chart = _in_rows(id, ChartKind.CONTACT_MONITOR_WINDOW, title, result, note, axis, rows, row_label)
    return structs.replace(chart, spans=spans)


def custody_bands(
    id: str,
    title: str,
    result: str,
    rows: Sequence[str],
    stretches: Sequence[Stretch],
    *,
    x: Axis,
    events: Sequence[Event] = (),
    note: str = "",
    row_label: str = "item",
) -> Chart:
    """One band for each thing on a common axis of time: who had it, where, from when to when; gates as ticks below.

    Stretches of one row must not overlap: a thing is in one hand at a time, and where it cannot be said in whose,
    the stretch says so.
    """
    order = sorted(stretches, key=lambda one: (one.row, one.start))
    for one, other in pairwise(order):
        if one.row == other.row and other.start < one.end:
            raise ValueError(f"chart {id}: two stretches of {rows[one.row]!r} overlap at {other.start_text}")
    return Chart(
        id=id,
        kind=ChartKind.CUSTODY_BANDS,
        title=title,
        result=result,
        note=note,
        x=x,
        y=Axis(row_label, "", Scale.CATEGORY, categories=tuple(rows)),
        stretches=tuple(order),
        events=tuple(sorted(events, key=lambda one: (one.row, one.x, one.ref))),
    )


def timeline_lanes(
    id: str,
    title: str,
    result: str,
    rows: Sequence[str],
    sights: Sequence[Sight],
    *,
    x: Axis,
    events: Sequence[Event] = (),
    spans: Sequence[Span] = (),
    note: str = "",
    row_label: str = "clock",
) -> Chart:
    """A lane for each clock on one base of time, events with where they may lie; other records as ticks beneath.

    ``spans`` hold events whose order among them is not settled.
    """
    return Chart(
        id=id,
        kind=ChartKind.TIMELINE,
        title=title,
        result=result,
        note=note,
        x=x,
        y=Axis(row_label, "", Scale.CATEGORY, categories=tuple(rows)),
        spans=tuple(spans),
        sights=tuple(sorted(sights, key=lambda one: (one.row, one.x, one.ref))),
        events=tuple(sorted(events, key=lambda one: (one.row, one.x, one.ref))),
    )


def _in_rows(
    id: str, kind: ChartKind, title: str, result: str, note: str, x: Axis, rows: Sequence[Row], row_label: str
) -> Chart:
    points = tuple(
        structs.replace(p, y=float(i), x_text=p.x_text or row.name) for i, row in enumerate(rows) for p in row.points
    )
    return Chart(
        id=id,
        kind=kind,
        title=title,
        result=result,
        note=note,
        x=x,
        y=Axis(row_label, "", Scale.CATEGORY, categories=tuple(r.name for r in rows)),
        series=(Series("", points),) if points else (),
        lines=tuple(_limits(rows)),
        words=tuple(Words(i, r.words, r.why, r.ref) for i, r in enumerate(rows) if r.words),
    )


def _limits(rows: Sequence[Row]) -> list[Line]:
    """One stroke for neighbouring rows with the same limit, so that its words stand once."""
    lines: list[Line] = []
    start = 0
    while start < len(rows):
        row, end = rows[start], start
        same = (row.limit, row.limit_text, row.limit_role)
        while end + 1 < len(rows) and (rows[end + 1].limit, rows[end + 1].limit_text, rows[end + 1].limit_role) == same:
            end += 1
        if row.limit is not None:
            lines.append(Line(row.limit_text, ((row.limit, start - 0.45), (row.limit, end + 0.45)), row.limit_role))
        start = end + 1
    return lines
