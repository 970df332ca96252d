"""The exact upper bound of a chance from a count of trials, by the sum of the binomial distribution for few trials.

The library that has its inverse takes a good part of the time in which a whole case is checked only to load. Source:
Clopper and Pearson 1934 (from memory); held against the library and closed cases in the tests.
"""

from __future__ import annotations

import math
from functools import lru_cache

MOST_TRIALS = 400
"""Trials up to which the terms are added: every one of them, and each power in it, is a number a float can hold."""
_STEPS = 200


def at_most(events: int, trials: int, chance: float) -> float:
    """The chance of no more than `events` in `trials`, each with `chance`. trials: 1 to `MOST_TRIALS`.

    >>> round(at_most(1, 10, 0.1), 6)
    0.736099
    """
    if not 0 <= events <= trials or not 1 <= trials <= MOST_TRIALS or not 0.0 <= chance <= 1.0:
        raise ValueError(f"events lie between 0 and the trials, of which there are 1 to {MOST_TRIALS} here")
    other = 1.0 - chance
    return math.fsum(
        ways * chance**one * other ** (trials - one) for one, ways in enumerate(_ways(trials)[: events + 1])
    )


@lru_cache(maxsize=8)
def _ways(trials: int) -> tuple[int, ...]:
    """In how many ways none, one, two, ... of the trials can be chosen."""
    return tuple(math.comb(trials, one) for one in range(trials + 1))


def highest_chance(events: int, trials: int, tail: float) -> float:
    """The chance with which no more than `events` in `trials` come with the probability `tail`; 0 < tail < 1.

    `events` are 0 or more and fewer than `trials`. For few trials Newton's steps on the sum, each kept within bounds
    that hold the answer; else by a library.

    >>> round(highest_chance(0, 59, 0.05), 6)
    0.049508
    """
    if not 0 <= events < trials or not 0.0 < tail < 1.0:
        raise ValueError("events are fewer than the trials, and a share lies between 0 and 1")
    if trials > MOST_TRIALS:
        from scipy.special import betaincinv

        return float(betaincinv(events + 1, trials - events, 1.0 - tail))
    low, high = 0.0, 1.0
    chance = (events + 1) / (trials + 1)
    ways = trials * math.comb(trials - 1, events)
    for _ in range(_STEPS):
        off = at_most(events, trials, chance) - tail
        low, high = (chance, high) if off > 0.0 else (low, chance)
        slope = ways * chance**events * (1.0 - chance) ** (trials - 1 - events)
        step = chance + off / slope if slope > 0.0 else low
        step = step if low < step < high else (low + high) / 2.0
        if abs(step - chance) <= 1e-14 * step:
            return step
        chance = step
    return chance
