"""Student's t for whole degrees of freedom: closed forms for few, an expansion about the normal distribution for many.

A library that has it takes a good part of the time in which a whole case is checked only to load. Source: Abramowitz
and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4 (closed forms), 26.7.5 (expansion); from memory, held
against the library in the tests.
"""

from __future__ import annotations

import math
from statistics import NormalDist

MOST_DOF = 400
"""Degrees of freedom up to which the closed forms are used: they have half as many terms. Beyond, what the expansion
leaves out is below 1e-10 of t up to a level of 99.99 %."""
_STEPS = 80


def two_sided(t: float, dof: int) -> float:
    """The share of Student's t that lies within ±t. dof: 1 to `MOST_DOF`; t: 0 or more.

    >>> round(two_sided(12.706204736, 1), 9)
    0.95
    """
    if not 1 <= dof <= MOST_DOF or t < 0.0:
        raise ValueError(f"degrees of freedom are 1 to {MOST_DOF} here, and t is not below zero")
    angle = math.atan2(t, math.sqrt(dof))
    sine, cosine = math.sin(angle), math.cos(angle)
    odd = dof % 2 == 1
    if dof == 1:
        return 2.0 * angle / math.pi
    term, total = (cosine, cosine) if odd else (1.0, 1.0)
    for number in range(3 if odd else 2, dof - 1, 2):
        term *= cosine * cosine * (number - 1) / number
        total += term
    return 2.0 / math.pi * (angle + sine * total) if odd else sine * total


def quantile(level: float, dof: int) -> float:
    """The t within which a share `level` of Student's t lies on both sides together; 0 < level < 1, dof 1 or more.

    For few degrees of freedom: Newton's steps on the closed form, from the normal distribution's value, each kept
    within bounds that hold the answer.

    >>> round(quantile(0.95, 10), 6)
    2.228139
    """
    if not 0.0 < level < 1.0:
        raise ValueError("a level of confidence lies between 0 and 1")
    if dof > MOST_DOF:
        return _expanded(NormalDist().inv_cdf(0.5 + level / 2.0), dof)
    low, high = 0.0, 1.0
    while two_sided(high, dof) < level:
        low, high = high, high * 2.0
    t = min(max(NormalDist().inv_cdf(0.5 + level / 2.0), low), high)
    scale = 2.0 * math.exp(math.lgamma((dof + 1) / 2) - math.lgamma(dof / 2)) / math.sqrt(dof * math.pi)
    for _ in range(_STEPS):
        off = two_sided(t, dof) - level
        low, high = (low, t) if off > 0.0 else (t, high)
        step = t - off / (scale * (1.0 + t * t / dof) ** (-(dof + 1) / 2))
        step = step if low < step < high else (low + high) / 2.0
        if abs(step - t) <= 1e-15 * step:
            return step
        t = step
    return t


def _expanded(x: float, dof: int) -> float:
    square = x * x
    parts = (
        x * (square + 1.0) / 4.0,
        x * ((5.0 * square + 16.0) * square + 3.0) / 96.0,
        x * (((3.0 * square + 19.0) * square + 17.0) * square - 15.0) / 384.0,
        x * ((((79.0 * square + 776.0) * square + 1482.0) * square - 1920.0) * square - 945.0) / 92160.0,
    )
    # The first part is below 1e-15 of t from here on; a count of any size is taken, also one no float can hold.
    size = float(min(dof, 10**18))
    return x + math.fsum(part / size**power for power, part in enumerate(parts, 1))
