"""Quantiles of chi-square for whole degrees of freedom, by closed forms for few; a library's for many.

The library that has them takes a good part of the time in which a whole case is checked only to load. Source:
Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.4 and 26.4.5 (closed forms), 26.4.17 (Wilson and
Hilferty, as a start); from memory, held against the library and a printed table in the tests.
"""

from __future__ import annotations

import math
from statistics import NormalDist

MOST_DOF = 400
"""Degrees of freedom up to which the closed forms are used: they have half as many terms."""
_STEPS = 200


def beyond(chi_square: float, dof: int) -> float:
    """The chance of a value above `chi_square`. dof: 1 to `MOST_DOF`; chi_square: 0 or more.

    >>> round(beyond(18.307038, 10), 6)
    0.05
    """
    if not 1 <= dof <= MOST_DOF or chi_square < 0.0:
        raise ValueError(f"degrees of freedom are 1 to {MOST_DOF} here, and chi-square is not below zero")
    half = chi_square / 2.0
    odd = dof % 2 == 1
    # The terms h^j / gamma(j + 1), over whole j from 0, or over j from 1/2 behind a first part of its own.
    place = 0.5 if odd else 0.0
    term = 2.0 * math.sqrt(half / math.pi) * math.exp(-half) if odd else math.exp(-half)
    parts = [math.erfc(math.sqrt(half))] if odd else []
    while place < dof / 2.0 - 0.5:
        parts.append(term)
        place += 1.0
        term *= half / place
    return math.fsum(parts)


def quantile(tail: float, dof: int) -> float:
    """The value of chi-square that a share `tail` lies above; 0 < tail < 1, dof 1 or more.

    For few degrees of freedom: Newton's steps on the closed form, each kept within bounds that hold the answer.

    >>> round(quantile(0.05, 10), 6)
    18.307038
    """
    if not 0.0 < tail < 1.0:
        raise ValueError("a share lies between 0 and 1")
    if dof > MOST_DOF:
        from scipy.special import chdtri

        return float(chdtri(dof, tail))
    low, high = 0.0, float(dof)
    while beyond(high, dof) > tail:
        low, high = high, high * 2.0
    start = dof * (1.0 - 2.0 / (9 * dof) + NormalDist().inv_cdf(1.0 - tail) * math.sqrt(2.0 / (9 * dof))) ** 3
    x = start if low < start < high else (low + high) / 2.0
    for _ in range(_STEPS):
        off = beyond(x, dof) - tail
        low, high = (x, high) if off > 0.0 else (low, x)
        slope = math.exp((dof / 2.0 - 1.0) * math.log(x / 2.0) - x / 2.0 - math.lgamma(dof / 2.0)) / 2.0
        step = x + off / slope if slope > 0.0 else low
        # Near 0 the halving goes by factors, since an answer may be any power of ten below 1.
        step = step if low < step < high else (math.sqrt(low * high) if low > 0.0 else high / 16.0)
        if abs(step - x) <= 1e-15 * step:
            return step
        x = step
    return x
