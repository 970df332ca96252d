"""Risk over many items of one kind: what share is wrongly accepted, what share wrongly rejected.

JCGM 106:2012, clause 9 (from memory). The spread of the items is taken as normal, and so is the measurement.
This says nothing of one item; for that there is the chance beside each decision.
"""

from __future__ import annotations

import math
import warnings
from decimal import ROUND_HALF_EVEN, Context, Decimal
from itertools import pairwise

from msgspec import Struct

from asfound.measure.decide import conformance, phi

_EXACT = Context(prec=120, rounding=ROUND_HALF_EVEN)


class GlobalRisk(Struct, frozen=True):
    """Shares of all items measured, each 0 to 1.

    conforming  within the tolerance
    consumer    outside the tolerance and yet accepted
    producer    within the tolerance and yet rejected
    """

    conforming: float
    consumer: float
    producer: float


def global_risk(
    mean: float,
    sd: float,
    u: float,
    *,
    lower: float | None = None,
    upper: float | None = None,
    accept_lower: float | None = None,
    accept_upper: float | None = None,
) -> GlobalRisk:
    """Consumer's and producer's risk (JCGM 106:2012, 9.5).

    mean, sd      the items' distribution      u  standard uncertainty of the measurement
    lower, upper  the tolerance                accept_lower, accept_upper  where a reading is accepted

    One integral over the true value remains, since the inner one is the normal distribution function.
    """
    if not (sd > 0.0 and u > 0.0):
        raise ValueError("the spread of the items and the doubt of the measurement are above 0")
    from scipy.integrate import quad

    low = -math.inf if lower is None else lower
    high = math.inf if upper is None else upper
    # Ten standard deviations hold all but 1.6e-23 of the items.
    start, end = mean - 10.0 * sd, mean + 10.0 * sd

    def accepted(true: float) -> float:
        return conformance(true, u, accept_lower, accept_upper)

    def density(true: float) -> float:
        return math.exp(-0.5 * ((true - mean) / sd) ** 2) / (sd * math.sqrt(2.0 * math.pi))

    # The integrand is smooth, but may be narrow: cut where it turns, so that no piece hides a step.
    edges = [value for value in (lower, upper, accept_lower, accept_upper) if value is not None]
    cuts = {start, end, mean, *(mean + n * sd for n in (-6, -4, -2, 2, 4, 6))}
    for edge in edges:
        cuts.update(edge + n * u for n in (-8, -4, -2, 0, 2, 4, 8))
    ordered = sorted(cut for cut in cuts if start <= cut <= end)

    def total(wrong: bool) -> float:
        pieces = []
        for left, right in pairwise(ordered):
            within = low <= (left + right) / 2.0 <= high
            if within is wrong:
                continue
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # pieces far out are zero to the last digit, which it remarks on
                pieces.append(
                    quad(
                        lambda true: density(true) * (accepted(true) if wrong else 1.0 - accepted(true)),
                        left,
                        right,
                        epsabs=1e-13,
                        epsrel=1e-10,
                    )[0]
                )
        return float(math.fsum(pieces))

    conforming = phi((high - mean) / sd) - phi((low - mean) / sd)
    return GlobalRisk(conforming, total(True), total(False))


def tur(lower: Decimal, upper: Decimal, expanded: Decimal) -> Decimal:
    """Test uncertainty ratio: span of the tolerance over twice the expanded doubt at 95 %.

    ANSI/NCSL Z540.3, 3.11 (from memory). It compares a tolerance with a doubt; the ratio of two accuracies is
    another thing and is not given here.
    """
    if not expanded > 0:
        raise ValueError("the ratio needs a doubt above 0")
    if lower > upper:
        raise ValueError("the lower limit lies above the upper one")
    return _EXACT.divide(_EXACT.subtract(upper, lower), _EXACT.multiply(Decimal(2), expanded))


def meets_four_to_one(lower: Decimal, upper: Decimal, expanded: Decimal) -> bool:
    """True where the ratio is 4 or more, the fallback of ANSI/NCSL Z540.3, 5.3 (from memory)."""
    return _EXACT.subtract(upper, lower) >= _EXACT.multiply(Decimal(8), expanded)
