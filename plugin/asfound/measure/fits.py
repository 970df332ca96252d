"""Means, spreads and straight lines, and the checks of an output against its settings.

Sums are taken with `math.fsum` about the mean, so that readings with many common leading digits keep their
spread.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Context, Decimal
from itertools import pairwise

from msgspec import Struct

_KEPT = Context(prec=34, rounding=ROUND_HALF_EVEN)


class Spread(Struct, frozen=True):
    """n readings: their mean, standard deviation s (n - 1), and correlation of each with the next.

    s is None for a single reading; lag1 is None where there is no spread at all.
    """

    n: int
    mean: float
    s: float | None
    lag1: float | None


def spread(values: Sequence[float]) -> Spread:
    """Mean, s and lag-1 autocorrelation, as NIST's Statistical Reference Datasets define them."""
    n = len(values)
    if n == 0:
        raise ValueError("a mean needs at least one reading")
    mean = math.fsum(values) / n
    # The mean of nearly equal numbers is off by a rounding; the second term takes that out again.
    gaps = [value - mean for value in values]
    squares = math.fsum(gap * gap for gap in gaps)
    if n == 1:
        return Spread(1, mean, None, None)
    s = math.sqrt(max(0.0, squares - math.fsum(gaps) ** 2 / n) / (n - 1))
    lag1 = None if squares == 0.0 else math.fsum(a * b for a, b in pairwise(gaps)) / squares
    return Spread(n, mean, s, lag1)


class Line(Struct, frozen=True):
    """A fitted straight line y = intercept + slope x (JCGM 100:2008, H.3).

    u_intercept, u_slope   standard uncertainties         covariance, r   between intercept and slope
    s                      residual standard deviation    dof             n - 2
    r_squared              part of the variance explained; None where y does not vary
    """

    n: int
    intercept: float
    slope: float
    u_intercept: float
    u_slope: float
    covariance: float
    r: float
    s: float
    r_squared: float | None

    @property
    def dof(self) -> int:
        """Degrees of freedom."""
        return self.n - 2

    def at(self, x: float) -> tuple[float, float]:
        """(y, its standard uncertainty) on the line, with the covariance of intercept and slope."""
        variance = self.u_intercept**2 + (x * self.u_slope) ** 2 + 2.0 * x * self.covariance
        return self.intercept + self.slope * x, math.sqrt(max(0.0, variance))


def line(x: Sequence[float], y: Sequence[float]) -> Line:
    """Least squares with equal weights; three points at least, at two places at least. ValueError otherwise."""
    n = len(x)
    if n != len(y):
        raise ValueError("each x needs one y")
    if n < 3:
        raise ValueError("a line with its doubt needs at least three points")
    x_mean, y_mean = math.fsum(x) / n, math.fsum(y) / n
    dx = [value - x_mean for value in x]
    dy = [value - y_mean for value in y]
    sxx = math.fsum(a * a for a in dx)
    if sxx == 0.0:
        raise ValueError("a line needs points at two places at least")
    slope = math.fsum(a * b for a, b in zip(dx, dy, strict=True)) / sxx
    intercept = y_mean - slope * x_mean
    residuals = [b - slope * a for a, b in zip(dx, dy, strict=True)]
    rss = math.fsum(e * e for e in residuals)
    variance = rss / (n - 2)
    syy = math.fsum(b * b for b in dy)
    root = math.sqrt(1.0 / n + x_mean * x_mean / sxx)
    s = math.sqrt(variance)
    return Line(
        n=n,
        intercept=intercept,
        slope=slope,
        u_intercept=s * root,
        u_slope=s / math.sqrt(sxx),
        covariance=-variance * x_mean / sxx,
        r=-x_mean / (math.sqrt(sxx) * root),
        s=s,
        r_squared=None if syy == 0.0 else 1.0 - rss / syy,
    )


def percent_deviation(y: Decimal, reference: Decimal) -> Decimal | None:
    """How far y lies from the reference, in per cent of the reference; None where the reference is 0."""
    if reference == 0:
        return None
    return _KEPT.divide(_KEPT.multiply(Decimal(100), _KEPT.subtract(y, reference)), abs(reference))


class Linearity(Struct, frozen=True):
    """A line through the origin, reading = slope * setting, and how far readings stray from it.

    deviations  per reading, in per cent of the line's value there; None at setting 0
    worst       place of the largest deviation, from 0; None where none can be given
    """

    slope: float
    deviations: tuple[float | None, ...]
    worst: int | None


def linearity(settings: Sequence[float], readings: Sequence[float]) -> Linearity:
    """Least squares through the origin, for a control whose zero means zero output.

    A control with an offset is better described by `line`.
    """
    if len(settings) != len(readings):
        raise ValueError("each setting needs one reading")
    squares = math.fsum(value * value for value in settings)
    if squares == 0.0:
        raise ValueError("a line through the origin needs a setting other than 0")
    slope = math.fsum(a * b for a, b in zip(settings, readings, strict=True)) / squares
    deviations = tuple(
        None if setting * slope == 0.0 else 100.0 * (reading - slope * setting) / abs(slope * setting)
        for setting, reading in zip(settings, readings, strict=True)
    )
    sizes = [(abs(value), -at) for at, value in enumerate(deviations) if value is not None]
    return Linearity(slope, deviations, -max(sizes)[1] if sizes else None)


class Halving(Struct, frozen=True):
    """A setting and its half, and how far the reading at the half lies from half the reading, in per cent of that."""

    full: int
    half: int
    deviation: Decimal


def halvings(settings: Sequence[Decimal], readings: Sequence[Decimal]) -> tuple[Halving, ...]:
    """Every pair of settings of which one is half the other (common practice, no source: the output about halves)."""
    if len(settings) != len(readings):
        raise ValueError("each setting needs one reading")
    found = []
    for full, top in enumerate(settings):
        for half, bottom in enumerate(settings):
            if top > 0 and bottom * 2 == top:
                deviation = percent_deviation(readings[half], readings[full] / 2)
                if deviation is not None:
                    found.append(Halving(full, half, deviation))
    return tuple(found)
