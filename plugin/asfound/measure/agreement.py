"""Do two measurements agree, does one repeat, and what can a number of trials say."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations

from msgspec import Struct

from asfound.measure.binomial import highest_chance
from asfound.measure.chi_square import quantile
from asfound.measure.fits import spread


def en_number(x: float, expanded: float, reference: float, reference_expanded: float) -> float:
    """The En number: difference over the root of the squares of both expanded doubts (ISO 13528; from memory).

    Both doubts are expanded and neither measurement may share its errors with the other. ValueError where
    both are 0.
    """
    size = math.hypot(expanded, reference_expanded)
    if size == 0.0:
        raise ValueError("an En number needs a doubt on at least one side")
    return (x - reference) / size


def en_agrees(en: float) -> bool:
    """True where the size of En is 1 or less (ISO/IEC 17043, annex B; from memory)."""
    return abs(en) <= 1.0


class PairAgreement(Struct, frozen=True):
    """Two ports of one function, compared.

    difference  second minus first, in the unit of the readings
    percent     the difference in per cent of their mean; None where the mean is 0
    en          the En number; None where neither reading has a doubt
    agree       |En| is 1 or less; None where it cannot be said
    """

    first: str
    second: str
    difference: float
    percent: float | None
    en: float | None
    agree: bool | None


def ports_agree(readings: Mapping[str, tuple[float, float | None]]) -> tuple[PairAgreement, ...]:
    """Each port against each other port: name -> (reading, expanded doubt or None), pairs in the order of names.

    Ports of one function are in parallel inside, so they should agree (common practice, no source). Where one
    instrument measured both, give only the doubt that differs from reading to reading: what they share
    drops out of the difference, and counting it would hide a difference that is there.
    """
    pairs = []
    for first, second in combinations(sorted(readings), 2):
        (one, u_one), (two, u_two) = readings[first], readings[second]
        mean = (one + two) / 2.0
        en = None
        if u_one is not None and u_two is not None and (u_one > 0.0 or u_two > 0.0):
            en = en_number(two, u_two, one, u_one)
        pairs.append(
            PairAgreement(
                first,
                second,
                two - one,
                None if mean == 0.0 else 100.0 * (two - one) / abs(mean),
                en,
                None if en is None else en_agrees(en),
            )
        )
    return tuple(pairs)


class Repeatability(Struct, frozen=True):
    """Repeats under the same conditions: n, mean, s, and the interval of the true s at the level."""

    n: int
    mean: float
    s: float
    s_low: float
    s_high: float
    level: float


def repeatability(values: Sequence[float], level: float = 0.95) -> Repeatability:
    """s of two or more repeats with its two-sided chi-square interval. ValueError for fewer than two.

    With few repeats the interval is wide, which is the point of giving it.
    """
    if len(values) < 2:
        raise ValueError("repeatability needs at least two readings")
    if not 0.0 < level < 1.0:
        raise ValueError("a level of confidence lies between 0 and 1")
    found = spread(values)
    assert found.s is not None
    dof = found.n - 1
    tail = (1.0 - level) / 2.0
    return Repeatability(
        found.n,
        found.mean,
        found.s,
        found.s * math.sqrt(dof / quantile(tail, dof)),
        found.s * math.sqrt(dof / quantile(1.0 - tail, dof)),
        level,
    )


def _check_count(events: int, trials: int, level: float) -> None:
    if not 0 <= events <= trials or trials < 1:
        raise ValueError("events lie between 0 and the number of trials, of which there is at least one")
    if not 0.0 < level < 1.0:
        raise ValueError("a level of confidence lies between 0 and 1")


def upper_bound(events: int, trials: int, level: float = 0.95) -> float:
    """One-sided exact (Clopper-Pearson) upper bound of the chance of the event in one trial.

    For none seen in n trials it is 1 - (1 - level)^(1/n): 59 trials without the event leave room for 5 in
    100. It speaks of trials like these, on this item, at the bench, and not of rates in use.
    """
    _check_count(events, trials, level)
    if events == trials:
        return 1.0
    if events == 0:
        return -math.expm1(math.log1p(-level) / trials)
    return highest_chance(events, trials, 1.0 - level)


def lower_bound(events: int, trials: int, level: float = 0.95) -> float:
    """One-sided exact (Clopper-Pearson) lower bound of the chance of the event in one trial."""
    return 1.0 - upper_bound(trials - events, trials, level)


def interval(events: int, trials: int, level: float = 0.95) -> tuple[float, float]:
    """Two-sided exact (Clopper-Pearson) interval: half of what the level leaves out lies on each side."""
    _check_count(events, trials, level)
    one_sided = (1.0 + level) / 2.0
    return lower_bound(events, trials, one_sided), upper_bound(events, trials, one_sided)
