"""A device against its own history and against its sisters."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from asfound.measure.budget import coverage_factor
from asfound.measure.fits import Line, line

YEAR = 365.25
"""Days of a year (Julian)."""
SPREAD = 1.482602218505602
"""What the median absolute deviation is multiplied by to stand for a standard deviation, where the values are
normally spread: 1 over the quantile of 0.75."""
FAR = 3.5
"""Robust z beyond which a value is called far from its sisters (Iglewicz and Hoaglin 1993, from memory)."""


class Trend(Struct, frozen=True):
    """A line through values over time, and the last value against a line through those before it.

    slope, slope_doubt   unit of the values in a year; the doubt expanded to 95.45 %, from the scatter about the line
    chance               how often scatter alone gives a slope at least as steep, from 0 to 1
    expected, room       what the line through the others tells for the last time, and half the width of the interval
                         that a further value falls in with 95 %; None where fewer than four values are there
    """

    fit: Line
    slope: float
    slope_doubt: float
    chance: float
    expected: float | None
    room: float | None


def trend(days: Sequence[float], values: Sequence[float], level: float = 0.95) -> Trend:
    """Least squares over days since any day, with Student's t for the residual scatter.

    ValueError for fewer than three values, for times that are all one, or where the last is not the latest.
    """
    if len(days) != len(values):
        raise ValueError("as many times as values are needed")
    if any(b < a for a, b in pairwise(days)):
        raise ValueError("the values stand in the order of their times")
    fit = line(days, values)
    from scipy.special import stdtr, stdtrit

    def factor(dof: int) -> float:
        return float(stdtrit(dof, (1.0 + level) / 2.0))

    # A line that every value lies on has no scatter to judge by: any slope is then beyond it, and none is nothing.
    if fit.u_slope > 0.0:
        chance = 2.0 * float(stdtr(fit.dof, -abs(fit.slope) / fit.u_slope))
    else:
        chance = 1.0 if fit.slope == 0.0 else 0.0
    expected = room = None
    if len(days) >= 4 and len(set(days[:-1])) >= 2:
        rest = line(days[:-1], values[:-1])
        expected, doubt = rest.at(days[-1])
        room = factor(rest.dof) * math.hypot(doubt, rest.s)
    wide = coverage_factor(fit.dof) * fit.u_slope * YEAR
    return Trend(fit, fit.slope * YEAR, wide, chance, expected, room)


def median(values: Sequence[float]) -> float:
    """The middle value, or the mean of the middle two. ValueError without values."""
    n = len(values)
    if n == 0:
        raise ValueError("a median needs at least one value")
    ranked = sorted(values)
    return ranked[n // 2] if n % 2 else math.fsum(ranked[n // 2 - 1 : n // 2 + 1]) / 2.0


class Sisters(Struct, frozen=True):
    """One value against others of its kind.

    middle, spread   median and scaled median absolute deviation of the others
    z                the value less the median, over the spread; None where the spread is 0
    beyond           how many of the others lie at least as far from the median
    """

    middle: float
    spread: float
    z: float | None
    beyond: int


def sisters(value: float, others: Sequence[float]) -> Sisters:
    """Robust z of a value against at least three others.

    It is not among them itself, so that an outlier does not widen its own yardstick.
    ValueError for fewer than three.
    """
    if len(others) < 3:
        raise ValueError("at least three sisters are needed")
    middle = median(others)
    gaps = [abs(one - middle) for one in others]
    wide = SPREAD * median(gaps)
    z = (value - middle) / wide if wide > 0.0 else None
    return Sisters(middle, wide, z, sum(1 for gap in gaps if gap >= abs(value - middle)))
