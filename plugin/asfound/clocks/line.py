"""The offset of one clock as a straight line in time, from what it was compared with."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct, field, structs

from asfound.clocks.estimate import DAY, Estimate, K, weighted

_LEAST = 1e-3
"""Standard uncertainty, in seconds, below which a comparison gains no more weight: nobody reads a clock better."""


class Sight(Struct, frozen=True):
    """One comparison: at which time, clock minus base, and the standard uncertainty of reading the two off."""

    at: float
    offset: Estimate
    standard: float
    source: str


class Offset(Struct, frozen=True):
    """offset(t) = sum over sights of a_i(t) y_i, with a_i(t) = w_i / W + slope_i (t - middle).

    middle     weighted mean of the times compared, seconds
    slopes     what each sight puts into the drift (per second); all 0 where the drift is an allowance
    allowance  standard uncertainty of a drift taken as nothing, seconds a second; 0 where it is measured
    scatter    how far the sights lie apart beyond their doubts (1: no further); their doubts are widened by it
    """

    name: str
    sights: tuple[Sight, ...]
    middle: float
    shares: tuple[float, ...]
    slopes: tuple[float, ...]
    allowance: float
    scatter: float
    shift: Estimate = field(default_factory=lambda: Estimate(0.0))

    def at(self, t: float) -> Estimate:
        """Clock minus base at a time, with its doubt; beyond the comparisons it widens."""
        away = t - self.middle
        factors = [share + slope * away for share, slope in zip(self.shares, self.slopes, strict=True)]
        found = weighted((factor, sight.offset) for factor, sight in zip(factors, self.sights, strict=True))
        for factor, sight in zip(factors, self.sights, strict=True):
            found = found.with_part(sight.source, factor * sight.standard * self.scatter)
        if self.allowance:
            found = found.with_part(f"{self.name} drift", self.allowance * away)
        return found.plus(self.shift)

    @property
    def drift(self) -> Estimate | None:
        """Seconds a second that it gains, with its doubt; None where the comparisons do not tell."""
        if self.allowance:
            return None
        found = weighted((slope, sight.offset) for slope, sight in zip(self.slopes, self.sights, strict=True))
        for slope, sight in zip(self.slopes, self.sights, strict=True):
            found = found.with_part(sight.source, slope * sight.standard * self.scatter)
        return found


def fit(name: str, sights: Sequence[Sight], allowance: float) -> Offset:
    """A line through comparisons by least squares, weighted with their doubts.

    `allowance` is the drift that may be there either way, in seconds a day, about 95 %. It stands for the drift where
    there is one comparison, or where those there are lie too near each other in time to tell more than it does.
    Raises ValueError without a comparison.
    """
    if not sights:
        raise ValueError("a line needs at least one comparison")
    weights = [1.0 / max(sight.standard, _LEAST) ** 2 for sight in sights]
    whole = math.fsum(weights)
    # Measured from the first, so that seconds since 1970 do not eat the digits.
    first = sights[0].at
    middle = first + math.fsum(w * (one.at - first) for w, one in zip(weights, sights, strict=True)) / whole
    shares = tuple(w / whole for w in weights)
    width = math.fsum(w * (one.at - middle) ** 2 for w, one in zip(weights, sights, strict=True))
    per_second = allowance / DAY
    slopes = tuple(w * (one.at - middle) / width for w, one in zip(weights, sights, strict=True)) if width else ()
    if slopes:
        slope = math.fsum(part * one.offset.value for part, one in zip(slopes, sights, strict=True))
        doubt = K / math.sqrt(width)
        if doubt <= per_second or abs(slope) > per_second + doubt:
            measured = Offset(name, tuple(sights), middle, shares, slopes, 0.0, 1.0)
            return _widened(measured, weights, len(sights) - 2)
    flat = Offset(name, tuple(sights), middle, shares, (0.0,) * len(sights), per_second / K, 1.0)
    return _widened(flat, weights, len(sights) - 1)


def _widened(found: Offset, weights: Sequence[float], free: int) -> Offset:
    """With the doubts of the comparisons widened where they do not agree with each other (the Birge ratio)."""
    if free < 1:
        return found
    apart = [one.offset.value - found.at(one.at).value for one in found.sights]
    ratio = math.sqrt(math.fsum(w * gap * gap for w, gap in zip(weights, apart, strict=True)) / free)
    if ratio <= 1.0:
        return found
    return structs.replace(found, scatter=ratio)
