"""What a number of trials can say of a fault that comes and goes."""

from __future__ import annotations

import math


def missed(share: float, trials: int) -> float:
    """Chance that a fault which shows in `share` of trials shows in none of them: (1 - share)^trials.

    The trials do not hang on one another. ValueError for a share outside 0 to 1 or fewer than no trials.
    """
    _check(share)
    if trials < 0:
        raise ValueError("a number of trials is not below 0")
    if share == 1.0:
        return 0.0 if trials else 1.0
    return math.exp(trials * math.log1p(-share))


def trials_needed(share: float, miss: float) -> int:
    """Least number of trials after which a fault of `share` is missed with a chance of at most `miss`.

    ValueError for a share of 0, which no number of trials finds, or a chance outside 0 to 1.
    """
    _check(share)
    if share == 0.0 or not 0.0 < miss < 1.0:
        raise ValueError("a share above 0 and a chance between 0 and 1 are needed")
    if share == 1.0:
        return 1
    # One less than the quotient may already do where the logarithms round up.
    count = max(1, math.ceil(math.log(miss) / math.log1p(-share)) - 1)
    while missed(share, count) > miss * (1.0 + 1e-12):
        count += 1
    return count


def _check(share: float) -> None:
    if not 0.0 <= share <= 1.0:
        raise ValueError("a share lies between 0 and 1")
