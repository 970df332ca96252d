"""From numbers to room: ranges, round ticks and the mapping of an axis to a length.

The range of an axis is computed, never chosen for effect: every reading with its doubt and every limit is
inside it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal

from msgspec import Struct

from asfound.measure.show import show_number

from .spec import Axis, Chart, Scale, Tick

NOISE = 0.2
"""Part of a step by which values may go below zero before the axis gets a step there."""
AIR, SPARE = 0.012, 0.1
"""Air behind the last place, so that a mark there is not cut in half, and how much of an axis may stay empty, as parts
of what lies before it."""
LOG_FROM = 30.0
"""From this ratio of largest to smallest on, a linear axis would press the small readings into one spot."""


def scale_for(numbers: Iterable[float]) -> Scale:
    """Linear unless all numbers are above zero and the largest is more than 30 times the smallest."""
    values = list(numbers)
    if values and min(values) > 0 and max(values) > LOG_FROM * min(values):
        return Scale.LOG
    return Scale.LINEAR


def nice_step(length: float, wanted: int = 5) -> float:
    """The step of 1, 2 or 5 times a power of ten that cuts ``length`` into about ``wanted`` parts."""
    raw = length / wanted
    power = 10.0 ** math.floor(math.log10(raw))
    return next((m * power for m in (1.0, 2.0, 5.0) if m * power >= raw * 0.999), 10.0 * power)


def tick_text(value: float, step: float) -> str:
    """A round tick as text: as many decimals as the step needs, written as every number of the product is."""
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return show_number(Decimal(f"{value:.{decimals}f}"))


class Ruler(Struct, frozen=True):
    """The computed range of one axis with its ticks."""

    low: float
    high: float
    ticks: tuple[Tick, ...]
    scale: Scale


def ruler(axis: Axis, numbers: Sequence[float], wanted: int = 5) -> Ruler:
    """Range and ticks for ``numbers`` (axis units; doubt bars included by the caller)."""
    if axis.scale is Scale.CATEGORY:
        ticks = tuple(Tick(float(i), name) for i, name in enumerate(axis.categories))
        return Ruler(-0.5, len(axis.categories) - 0.5, ticks, axis.scale)
    values = [*numbers, *(t.value for t in axis.ticks), *(v for v in (axis.low, axis.high) if v is not None)]
    if axis.scale is Scale.LOG:
        return _log_ruler(axis, values)
    if axis.from_zero or not values:
        values.append(0.0)
    low, high = min(values), max(values)
    if high == low:
        pad = abs(low) * 0.1 or 1.0
        low, high = (0.0, high + pad) if low == 0 or axis.from_zero else (low - pad, high + pad)
    if axis.ticks:
        # A little air, so that a reading at the end of the axis is not cut in half.
        return Ruler(low, high + AIR * (high - low), axis.ticks, axis.scale)
    step = nice_step(high - low, wanted)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    if first == -1 and last > 0 and low >= -NOISE * step:
        # Noise about zero needs no step of its own below it.
        places = tuple(Tick(i * step, tick_text(i * step, step)) for i in range(last + 1))
        return Ruler(-NOISE * step, last * step, places, axis.scale)
    places = tuple(Tick(i * step, tick_text(i * step, step)) for i in range(first, last + 1))
    return Ruler(first * step, last * step, places, axis.scale)


def _log_ruler(axis: Axis, values: Sequence[float]) -> Ruler:
    low, high = min(values, default=1.0), max(values, default=10.0)
    # A little air on both sides, then out to the next 1, 2 or 5: whole decades would waste most of the page.
    places: list[float] = []
    for power in range(math.floor(math.log10(low)) - 1, math.ceil(math.log10(high)) + 2):
        places += [m * 10.0**power for m in (1.0, 2.0, 5.0)]
    start = max((p for p in places if p <= low * 0.95), default=places[0])
    end = min((p for p in places if p >= high * 1.05), default=places[-1])
    inside = [p for p in places if start <= p <= end]
    if len(inside) > 9:
        inside = [p for p in inside if math.isclose(p, 10.0 ** round(math.log10(p)))]
    ticks = axis.ticks or tuple(Tick(p, tick_text(p, min(p, 1.0))) for p in inside)
    return Ruler(start, end, ticks, axis.scale)


def place(measure: Ruler, start: float, end: float) -> Callable[[float], float]:
    """The function from axis units to room between ``start`` and ``end``."""
    low, high = measure.low, measure.high
    if measure.scale is Scale.LOG:
        foot, factor = math.log10(low), (end - start) / (math.log10(high) - math.log10(low))
        return lambda value: start + factor * (math.log10(value) - foot)
    slope = (end - start) / (high - low)
    base = start - slope * low
    return lambda value: base + slope * value


def near(measure: Ruler, values: Sequence[float]) -> list[float]:
    """Numbers of a curve in few digits for the live copy: to a hundred-thousandth of the axis, and to five significant
    digits in any case, one more than it tells when pointed at; on a logarithmic axis to six."""
    if measure.scale is Scale.LOG:
        return [float(f"{value:.6g}") for value in values]
    decimals = 5 - math.floor(math.log10(measure.high - measure.low))
    least = 10.0 ** (4 - decimals)
    return [round(value, decimals) if abs(value) >= least else float(f"{value:.5g}") for value in values]


def rulers(chart: Chart) -> tuple[Ruler, Ruler]:
    """Both axes of a chart, wide enough for every reading, its doubt, every limit and every region."""
    xs, ys = chart.x_numbers(), chart.y_numbers()
    measured, axis = (xs, chart.x) if chart.rows else (ys, chart.y)
    for series in chart.series:
        for point in series.points:
            if point.doubt is not None:
                at = point.x if chart.rows else point.y
                # On a logarithmic axis a bar that reaches zero has no end; it is drawn to the edge instead.
                if axis.scale is not Scale.LOG or at > point.doubt:
                    measured.append(at - point.doubt)
                measured.append(at + point.doubt)
    xs += [v for s in chart.spans for v in (s.low, s.high) if v is not None]
    across = ruler(chart.x, xs, 5)
    if chart.shown is not None and not chart.rows and xs and across.scale is Scale.LINEAR:
        across = _ended(across, max(xs))
    return across, ruler(chart.y, ys, 5)


def _ended(measure: Ruler, last: float) -> Ruler:
    """The axis of a curve ends near its last place: a step that is mostly empty would press the rest together."""
    span = last - measure.low
    if span <= 0 or measure.high - last <= SPARE * span:
        return measure
    high = last + AIR * span
    ticks = tuple(tick for tick in measure.ticks if tick.value <= high)
    return Ruler(measure.low, high, ticks, measure.scale) if len(ticks) > 2 else measure
