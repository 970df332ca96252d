"""Whether one of several values stands apart from the rest: told, and nothing is left out for it.

Grubbs' test for one value at either end (F. E. Grubbs, Technometrics 11 (1969) 1; ISO 5725-2:1994, 7.3.4, where what is
beyond 5 % is a straggler and what is beyond 1 % an outlier; both from memory). It takes the values for normally
distributed. A value that fails it is still a reading: the standard asks for its cause, and so does a report.

Of three values of which two are alike, the third is always at the greatest distance there can be, 2/√3, whatever it is:
with a display that steps by 0.1, 4.0, 4.0 and 4.1 would be an outlier at 1 %. So values within one step are alike.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from msgspec import Struct

from asfound.measure.student import quantile

LEAST = 3
"""Values below which nothing can be told."""


class Apart(Struct, frozen=True):
    """The value farthest from the mean.

    at      its place among the values
    g       its distance from the mean in standard deviations (n - 1)
    five, one  the distance that only 5 % and 1 % of samples of this size reach
    """

    at: int
    g: float
    five: float
    one: float

    @property
    def level(self) -> int:
        """The percentage of samples that reach so far: 1, 5, or 100 where nothing stands apart."""
        return 1 if self.g > self.one else 5 if self.g > self.five else 100


def farthest(values: Sequence[float], step: float = 0.0) -> Apart | None:
    """Grubbs' test of the value farthest from the mean; None for fewer than three values, or where all agree.

    `step` is what the display steps by, in the unit of the values: what lies within one of it agrees.

    >>> found = farthest([199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57])
    >>> found.at, round(found.g, 4), found.level
    (7, 2.4688, 1)
    """
    count = len(values)
    # A step of a display is a decimal and a difference of floats misses it by a rounding.
    if count < LEAST or max(values) - min(values) <= step * (1.0 + 1e-9):
        return None
    mean = math.fsum(values) / count
    s = math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (count - 1))
    if not s:
        return None
    at = max(range(count), key=lambda number: abs(values[number] - mean))
    return Apart(at, abs(values[at] - mean) / s, _beyond(count, 0.05), _beyond(count, 0.01))


def off_the_rest(values: Sequence[float], at: int) -> float:
    """How far one of two or more values lies from the mean of the others, in their unit.

    >>> off_the_rest([1.0, 2.0, 9.0], 2)
    7.5
    """
    return abs(values[at] - (math.fsum(values) - values[at]) / (len(values) - 1))


@lru_cache(maxsize=1024)
def _beyond(count: int, share: float) -> float:
    """The critical distance, from Student's t at share/(2n) with n - 2 degrees of freedom."""
    t = quantile(1.0 - share / count, count - 2)
    return (count - 1) / math.sqrt(count) * math.sqrt(t * t / (count - 2 + t * t))
