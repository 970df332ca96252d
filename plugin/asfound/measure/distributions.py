"""Student's t and chi-square for whole degrees of freedom, from their finite series.

A sheet with repeats asks for a handful of these numbers, and loading a numerical library for them takes longer than
reading and judging the whole case. For whole degrees of freedom both distributions are finite sums (Abramowitz and
Stegun, *Handbook of Mathematical Functions*, 26.7.3, 26.7.4, 26.4.4, 26.4.5; from memory, and held against scipy in the
tests).
"""

from __future__ import annotations

import math

_MANY = 2_000.0
"""From here on the expansion in powers of 1/dof is exact to the last digit."""


def student_within(t: float, dof: int) -> float:
    """The chance that |T| stays below t, for t >= 0 and dof >= 1."""
    angle = math.atan2(t, math.sqrt(dof))
    square = dof / (dof + t * t)
    odd = dof % 2
    # Terms of the series: cos, 2/3 cos^3, ... for odd degrees of freedom, 1, 1/2 cos^2, ... for even ones.
    term = math.sqrt(square) if odd else 1.0
    terms = [] if dof == 1 else [term]
    for step in range(3 if odd else 2, dof - 1, 2):
        term *= (step - 1) / step * square
        terms.append(term)
        if term < 1e-18:
            break
    series = math.sin(angle) * math.fsum(terms)
    return 2.0 / math.pi * (angle + series) if odd else series


def student(dof: float, level: float) -> float:
    """The t that |T| stays below with the chance `level`, for whole dof >= 1 and 0 < level < 1."""
    if dof == 1.0:
        return math.tan(math.pi * level / 2.0)
    if dof == 2.0:
        return level * math.sqrt(2.0 / (1.0 - level * level))
    t = _expanded(dof, normal(level))
    if dof >= _MANY:
        return t
    whole = int(dof)
    scale = 2.0 * math.exp(math.lgamma((dof + 1.0) / 2.0) - math.lgamma(dof / 2.0)) / math.sqrt(dof * math.pi)
    for _ in range(60):
        # The distribution bends downwards, so that these steps close in from the left and never leave.
        slope = scale * (1.0 + t * t / dof) ** (-(dof + 1.0) / 2.0)
        step = (student_within(t, whole) - level) / slope
        t = t - step if step < t else t / 2.0
        if abs(step) <= 1e-13 * t:
            break
    return t


def normal(level: float) -> float:
    """The same for infinite degrees of freedom: the normal distribution."""
    # Imported here: most runs meet no repeats.
    from statistics import NormalDist

    return NormalDist().inv_cdf(0.5 + level / 2.0)


def _expanded(dof: float, x: float) -> float:
    """Student's quantile from the normal one in powers of 1/dof (Abramowitz and Stegun, 26.7.5; from memory)."""
    square = x * x
    first = x * (square + 1.0) / 4.0
    second = x * ((5.0 * square + 16.0) * square + 3.0) / 96.0
    third = x * (((3.0 * square + 19.0) * square + 17.0) * square - 15.0) / 384.0
    fourth = x * ((((79.0 * square + 776.0) * square + 1482.0) * square - 1920.0) * square - 945.0) / 92160.0
    return x + (first + (second + (third + fourth / dof) / dof) / dof) / dof


def chi_square_beyond(x: float, dof: int) -> float:
    """The chance that chi-square exceeds x, for x > 0 and dof >= 1."""
    half = x / 2.0
    log = math.log(half)
    # Half-integer powers for odd degrees of freedom, whole ones for even; each term from its logarithm, since the
    # exponential alone would vanish for many degrees of freedom.
    first = 0.5 if dof % 2 else 0.0
    powers = (first + step for step in range((dof - dof % 2) // 2))
    series = math.fsum(math.exp(power * log - half - math.lgamma(power + 1.0)) for power in powers)
    return math.erfc(math.sqrt(half)) + series if dof % 2 else series


def chi_square(dof: int, tail: float) -> float:
    """The x that chi-square exceeds with the chance `tail`, for dof >= 1 and 0 < tail < 1."""
    # The start is Wilson and Hilferty's (Abramowitz and Stegun, 26.4.17; from memory); what follows mends it.
    part = 2.0 / (9.0 * dof)
    z = math.copysign(normal(abs(1.0 - 2.0 * tail)), 0.5 - tail) if tail != 0.5 else 0.0
    x = max(dof * (1.0 - part + z * math.sqrt(part)) ** 3, 1e-3 * dof)
    low, high = 0.0, math.inf
    for _ in range(200):
        miss = chi_square_beyond(x, dof) - tail
        low, high = (x, high) if miss > 0.0 else (low, x)
        half = dof / 2.0
        slope = math.exp((half - 1.0) * math.log(x / 2.0) - x / 2.0 - math.lgamma(half)) / 2.0
        after = x + miss / slope if slope > 0.0 else math.inf
        if not low <= after <= high:
            after = (low + high) / 2.0 if high < math.inf else 2.0 * x
        done = abs(after - x) <= 1e-12 * x
        x = after
        if done:
            break
    return x
