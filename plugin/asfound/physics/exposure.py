"""What skin was exposed to: a temperature that changes, held against every published measure of how long skin bears it.

A measure says after how many seconds at a steady temperature harm begins, and for which place its temperature holds:
the surface, or the basal layer below it. Where the temperature changes, the parts of the bearable time that are used up
are added: exact for a damage integral and for equivalent minutes, an assumption for the rest. The measures disagree, so
what comes out is a range, and no diagnosis: they come from small experiments on healthy adult skin and on pigs.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from enum import StrEnum
from typing import TYPE_CHECKING

from msgspec import Struct

from asfound.physics import dose
from asfound.physics.ascending import must_ascend
from asfound.physics.energy import positive
from asfound.physics.sampled import CHUNK

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Column = NDArray[np.float64]

HEALTHY = "healthy adult skin, in small experiments of 1947 and models laid through them"
"""What every measure here is a model of."""


class Place(StrEnum):
    """Where the temperature of a measure holds."""

    SURFACE = "surface"
    BASAL = "basal layer"


class Measure(Struct, frozen=True):
    """One published measure.

    low, high  degC between which it was published; below it says nothing and uses nothing up, above it is refused
    bearable   shortest and longest time in s at each of an array of temperatures in degC
    """

    name: str
    place: Place
    low: float
    high: float
    bearable: Callable[[Column], tuple[Column, Column]]
    source: str
    status: str

    def time(self, temperature: float) -> tuple[float, float]:
        """Shortest and longest time in s at a steady temperature in degC; infinite below where it begins.

        Raises ValueError above where it ends.
        """
        import numpy as np

        if temperature > self.high:
            raise ValueError(f"{self.name} ends at {self.high:g} °C")
        if temperature < self.low:
            return math.inf, math.inf
        short, long = self.bearable(np.array([temperature]))
        return float(short[0]), float(long[0])

    def temperature(self, seconds: float, longest: bool = False) -> float | None:
        """The lowest temperature in degC that harms within some seconds, by halving; None where it says nothing."""
        return self.temperatures((seconds,), longest)[0]

    def temperatures(self, seconds: Sequence[float], longest: bool = False) -> tuple[float | None, ...]:
        """The same for each of several times at once."""
        import numpy as np

        for one in seconds:
            positive(seconds=one)
        at = 1 if longest else 0
        wanted = np.asarray(seconds, dtype=np.float64)
        spoken = (self.time(self.high)[at] <= wanted) & (wanted <= self.time(self.low)[at])
        low, high = np.full(wanted.shape, self.low), np.full(wanted.shape, self.high)
        for _ in range(60):
            middle = (low + high) / 2.0
            longer = self.bearable(middle)[at] > wanted
            low, high = np.where(longer, middle, low), np.where(longer, high, middle)
        return tuple(float(one) if says else None for one, says in zip(high, spoken, strict=True))


def _fit(constant: float) -> Callable[[Column], tuple[Column, Column]]:
    def bearable(t: Column) -> tuple[Column, Column]:
        import numpy as np

        seconds = np.exp(constant - 28.3 * np.log(t))
        return seconds, seconds

    return bearable


def _rows(table: Sequence[tuple[float, float, float]]) -> Callable[[Column], tuple[Column, Column]]:
    """Between rows straight on a log scale of time."""

    def bearable(t: Column) -> tuple[Column, Column]:
        import numpy as np

        at = [row[0] for row in table]
        return (
            np.exp(np.interp(t, at, [math.log(row[1]) for row in table])),
            np.exp(np.interp(t, at, [math.log(row[2]) for row in table])),
        )

    return bearable


def _c1055(t: Column) -> tuple[Column, Column]:
    """The curves of ASTM C1055 turned round: each is a quadratic in L = ln(1000 t)."""
    import numpy as np

    a = t - 15.005
    irreversible = (a - np.sqrt(np.maximum(a * a - 4.0 * 0.51907 * 352.97, 0.0))) / (2.0 * 0.51907)
    b = t - 39.468
    reversible = (np.sqrt(b * b + 4.0 * 0.41352 * 190.60) - b) / (2.0 * 0.41352)
    return np.exp(reversible) / 1000.0, np.exp(irreversible) / 1000.0


def _integral(by: dose.Coefficients) -> Callable[[Column], tuple[Column, Column]]:
    def bearable(t: Column) -> tuple[Column, Column]:
        import numpy as np

        log_rate = np.full(t.shape, -np.inf)
        for branch in reversed(by.branches):
            inside = t <= branch.upto
            log_rate[inside] = branch.log_a - branch.e_over_r / (t[inside] + dose.KELVIN)
        seconds = np.exp(-log_rate)
        return seconds, seconds

    return bearable


NECROSIS = 240.0
"""Equivalent minutes at 43 degC often taken as necrosis (secondary); skin changes at fewer."""


def _cem(t: Column) -> tuple[Column, Column]:
    import numpy as np

    seconds = 60.0 * NECROSIS * np.power(np.where(t >= 43.0, 0.5, 0.25), t - 43.0)
    return seconds, seconds


POINTS_1947: tuple[tuple[float, float, float], ...] = (
    (44.0, 21600.0, 21600.0), (45.0, 10800.0, 10800.0), (47.0, 2700.0, 2700.0), (49.0, 570.0, 570.0),
    (51.0, 240.0, 360.0), (53.0, 60.0, 90.0), (55.0, 30.0, 30.0),
)  # fmt: skip
"""degC of the surface, shortest and longest time in s, as the experiments of 1947 are remembered (from memory; 44 degC
secondary)."""

FIT = Measure(
    "fit of 1947", Place.SURFACE, 43.0, 70.0, _fit(116.4),
    "PLoS ONE 2021, review of contact burns, figure 2: ln t = -28.3 ln T + 116.4", "confirmed",
)  # fmt: skip
MARGIN = Measure(
    "the same fit with its margin of safety", Place.SURFACE, 43.0, 70.0, _fit(113.4),
    "PLoS ONE 2021, review of contact burns, figure 2: constant 113.4", "confirmed",
)  # fmt: skip
TABLES = Measure(
    "public tables", Place.SURFACE, dose.TABLE[0][0], dose.TABLE[-1][0], _rows(dose.TABLE),
    "public time-temperature tables for adults in flowing water", "secondary",
)  # fmt: skip
POINTS = Measure(
    "points of 1947", Place.SURFACE, POINTS_1947[0][0], POINTS_1947[-1][0], _rows(POINTS_1947),
    "Moritz and Henriques 1947", "from memory",
)  # fmt: skip
CURVES = Measure(
    "curves of ASTM C1055, reversible to irreversible", Place.SURFACE, 44.4, 64.0, _c1055, "ASTM C1055", "from memory"
)
SURFACE: tuple[Measure, ...] = (FIT, TABLES, POINTS, CURVES)
"""Measures of the temperature of the surface. The margin of safety is apart: it is meant to be too strict."""
INTEGRALS: tuple[Measure, ...] = tuple(
    Measure(f"damage integral of 1, {one.name}", Place.BASAL, dose.ONSET, 80.0, _integral(one), one.source, one.status)
    for one in dose.SETS
)
CEM = Measure(
    "240 equivalent minutes at 43 °C", Place.BASAL, 39.0, 60.0, _cem, "Sapareto and Dewey 1984; cut off below 39 °C",
    "secondary",
)  # fmt: skip
BASAL: tuple[Measure, ...] = (*INTEGRALS, CEM)
"""Measures of the temperature of the basal layer, or of tissue."""


def spread(measures: Sequence[Measure], temperature: float) -> tuple[float, float] | None:
    """Shortest and longest bearable time in s over those measures that speak at a temperature in degC; None if none."""
    times = [one.time(temperature) for one in measures if one.low <= temperature <= one.high]
    return (min(t[0] for t in times), max(t[1] for t in times)) if times else None


def used(seconds: Sequence[float] | Column, degrees: Sequence[float] | Column, by: Measure) -> tuple[float, float]:
    """Parts of the bearable time that a changing temperature has used up: by the longest and by the shortest time.

    seconds, degrees  arrays of one length, s and degC; the temperature runs straight between samples. 1 is where the
    measure puts harm. The sum over time of 1 / bearable(T), by Simpson's rule, with steps over a twentieth of a kelvin
    cut; in pieces, so that a long series needs no second copy. Raises ValueError where times do not ascend, for lengths
    that differ, and where the temperature lies above where the measure ends.
    """
    import numpy as np

    t, c = np.asarray(seconds, dtype=np.float64), np.asarray(degrees, dtype=np.float64)
    if t.ndim != 1 or t.shape != c.shape or t.size < 2:
        raise ValueError("a trace needs two samples at least, and one temperature for each time")
    total = np.zeros(2)
    for at in range(0, t.size - 1, CHUNK):
        when, warm = t[at : at + CHUNK + 1], c[at : at + CHUNK + 1]
        steps = np.diff(when)
        if not np.isfinite(warm).all():
            raise ValueError("a sample is not a finite number")
        must_ascend(when, "s", at)
        if float(warm.max()) > by.high:
            raise ValueError(f"{by.name} ends at {by.high:g} °C, and the trace reaches {float(warm.max()):.1f} °C")
        rise = np.abs(np.diff(warm))
        parts = np.minimum(np.ceil(rise * 20.0), 2000.0).astype(np.int64).clip(1)
        first = np.repeat(np.arange(parts.size), parts)
        place = np.arange(first.size) - np.repeat(np.cumsum(parts) - parts, parts)
        low, high = place / parts[first], (place + 1) / parts[first]
        ends = np.diff(warm)[first]
        base = warm[:-1][first]
        width = steps[first] / parts[first]
        total += sum(
            weight * np.array(_rates(base + share * ends, width, by))
            for weight, share in ((1 / 6, low), (4 / 6, (low + high) / 2.0), (1 / 6, high))
        )
    return float(total[0]), float(total[1])


def _rates(t: Column, width: Column, by: Measure) -> tuple[float, float]:
    """Sum of width / bearable time where the measure speaks: by the longest, by the shortest."""
    inside = t >= by.low
    if not inside.any():
        return 0.0, 0.0
    short, long = by.bearable(t[inside])
    return float((width[inside] / long).sum()), float((width[inside] / short).sum())


def used_range(
    seconds: Sequence[float] | Column,
    degrees: Sequence[float] | Column,
    measures: Sequence[Measure],
    doubt: float = 0.0,
) -> tuple[float, float]:
    """Smallest and largest part used up over several measures, the whole trace moved by its doubt in K both ways."""
    import numpy as np

    c = np.asarray(degrees, dtype=np.float64)
    ends = [used(seconds, c + shift, one) for one in measures for shift in ({-doubt, doubt} if doubt else {0.0})]
    return min(one[0] for one in ends), max(one[1] for one in ends)


class Course(Struct, frozen=True):
    """What a trace of temperature shows by itself: s, degC; `settled` is the mean of its last tenth of the time."""

    duration: float
    mean: float
    highest: float
    settled: float
    above: float


def course(seconds: Sequence[float] | Column, degrees: Sequence[float] | Column, over: float = dose.ONSET) -> Course:
    """Time, mean over time, highest, level at the end, and time above a temperature in degC, straight between samples.

    Raises ValueError as `used` does.
    """
    import numpy as np

    t, c = np.asarray(seconds, dtype=np.float64), np.asarray(degrees, dtype=np.float64)
    if t.ndim != 1 or t.shape != c.shape or t.size < 2 or not (np.diff(t) > 0.0).all():
        raise ValueError("a trace needs two samples at least, with times that ascend and one temperature for each")
    whole = float(t[-1] - t[0])
    mean = float(np.trapezoid(c, t)) / whole
    last = float(t[-1]) - whole / 10.0
    tail = t > last
    end_t = np.concatenate(([last], t[tail]))
    end_c = np.concatenate(([np.interp(last, t, c)], c[tail]))
    settled = float(np.trapezoid(end_c, end_t)) / (whole / 10.0)
    a, b = c[:-1] - over, c[1:] - over
    step = np.diff(t)
    part = np.where((a >= 0) & (b >= 0), 1.0, 0.0)
    crossing = (a >= 0) != (b >= 0)
    part[crossing] = np.maximum(a[crossing], b[crossing]) / np.abs(b[crossing] - a[crossing])
    return Course(whole, mean, float(c.max()), settled, float((part * step).sum()))
