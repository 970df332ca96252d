"""Figures of agreement of patient monitors with a reference.

They belong to studies on people: a bench reading cannot test them, and no protocol uses them as a limit in service.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from asfound.measure.fits import spread


class Agreement(Struct, frozen=True):
    """Errors against a reference: bias (their mean), s (n - 1; None for one error), and their root mean square."""

    n: int
    bias: float
    s: float | None
    rms: float


def agreement(errors: Sequence[float]) -> Agreement:
    """Bias, spread and root mean square (A_rms, ISO 80601-2-61; from memory) of errors, device less reference."""
    found = spread(errors)
    return Agreement(found.n, found.mean, found.s, math.sqrt(math.fsum(one * one for one in errors) / found.n))


TABLE_2 = ((0.0, 6.95), (1.0, 6.87), (2.0, 6.65), (3.0, 6.25), (4.0, 5.64), (5.0, 4.79))
"""Mean error and largest standard deviation in mmHg, criterion 2 as printed (from memory). The last row lies 0.016
below what its own definition gives: it was rounded otherwise."""


def pressure_table_2(mean_error: float) -> float | None:
    """What the printed table allows at a mean error in mmHg; between rows, the row above it in error, which is the
    stricter. None beyond 5 mmHg."""
    mean = abs(mean_error)
    return next((deviation for at, deviation in TABLE_2 if mean <= at), None)


def pressure_criterion_1(mean_error: float, deviation: float) -> bool:
    """Whether a mean error of at most 5 mmHg and a standard deviation of at most 8 mmHg are kept.

    ISO 81060-2:2018, criterion 1, at least 85 persons (confirmed in an open review's table).
    """
    return abs(mean_error) <= 5.0 and deviation <= 8.0


def pressure_criterion_2(mean_error: float) -> float:
    """Largest standard deviation, in mmHg, of the persons' mean errors at a mean error in mmHg.

    ISO 81060-2, criterion 2 (from memory): so that an error of a person lies within 10 mmHg with a chance of 85 %,
    errors being normal. Raises ValueError where no spread can do it: a mean error of 10 mmHg or more.
    """
    from scipy.optimize import brentq
    from scipy.special import ndtr

    mean = abs(mean_error)
    if mean >= 10.0:
        raise ValueError("no standard deviation keeps 85 % of errors within 10 mmHg at this mean error")

    def lacking(deviation: float) -> float:
        return float(ndtr((10.0 - mean) / deviation) - ndtr((-10.0 - mean) / deviation)) - 0.85

    return float(brentq(lacking, 1e-6, 20.0, xtol=1e-10))
