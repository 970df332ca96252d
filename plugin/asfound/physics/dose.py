"""Dose of heat: how long at which temperature, by several published measures that do not agree.

They come from small experiments on healthy adult skin and on pigs. Some hold for the temperature of the surface, some
for that of the basal layer below it, and they differ in what they call an injury. So a dose is a range with its
measures named, and no diagnosis: poor blood flow, pressure, age and wet skin shorten every time here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from msgspec import Struct

from asfound.physics.ascending import must_ascend

GAS = 8.314462618
"""J/(mol K)."""
KELVIN = 273.15
ONSET = 44.0
"""degC below which damage integrals are not run."""


class Branch(Struct, frozen=True):
    """A temperature range in degC (from, not including; to, including), ln of A in 1/s, and E/R in K."""

    above: float
    upto: float
    log_a: float
    e_over_r: float


class Coefficients(Struct, frozen=True):
    """One published set for the damage integral, with where its temperature applies."""

    name: str
    branches: tuple[Branch, ...]
    source: str
    status: str

    def rate(self, temperature: float) -> float:
        """Damage per second at a temperature in degC; 0 below 44 degC."""
        if temperature < ONSET:
            return 0.0
        for branch in self.branches:
            if temperature <= branch.upto:
                return math.exp(branch.log_a - branch.e_over_r / (temperature + KELVIN))
        return math.inf


def _one(log_a: float, e_over_r: float) -> tuple[Branch, ...]:
    return (Branch(ONSET, math.inf, log_a, e_over_r),)


_LN_A = math.log(3.1) + 98.0 * math.log(10.0)
SETS: tuple[Coefficients, ...] = (
    Coefficients(
        "first set", _one(_LN_A, 6.27e5 / GAS), "Henriques 1947, A = 3.1e98 1/s, E = 6.27e5 J/mol", "from memory"
    ),
    Coefficients(
        "rounded set", _one(_LN_A, 6.28e5 / 8.314), "A = 3.1e98 1/s, E = 6.28e5 J/mol, in many codes", "secondary"
    ),
    Coefficients("set in kelvin", _one(_LN_A, 75000.0), "A = 3.1e98 1/s, E/R = 75 000 K", "secondary"),
    Coefficients(
        "two ranges",
        (
            Branch(ONSET, 50.0, math.log(2.185) + 124.0 * math.log(10.0), 93534.9),
            Branch(50.0, math.inf, math.log(1.823) + 51.0 * math.log(10.0), 39109.8),
        ),
        "tests of protective textiles: 44 to 50 degC and above",
        "secondary",
    ),
)
"""All are for the basal layer. They differ by up to fifty times near 50 degC, which is why a range is given."""


def damage(history: Sequence[tuple[float, float]], by: Coefficients) -> float:
    """Damage integral over (s, degC) points, the temperature straight between them and its rate by Simpson's rule.

    Raises ValueError where times do not ascend.
    """
    total = 0.0
    for (t0, c0), (t1, c1) in pairwise(history):
        if not t1 > t0:
            must_ascend([one[0] for one in history], "s")
        # Rates grow by half within a degree, so a step is cut until it spans a twentieth of one at most.
        parts = max(1, min(4096, math.ceil(abs(c1 - c0) * 20.0)))
        for n in range(parts):
            low, high = c0 + (c1 - c0) * n / parts, c0 + (c1 - c0) * (n + 1) / parts
            mean = (by.rate(low) + 4.0 * by.rate((low + high) / 2.0) + by.rate(high)) / 6.0
            total += mean * (t1 - t0) / parts
    return total


def cem43(history: Iterable[tuple[float, float]]) -> float:
    """Cumulative equivalent minutes at 43 degC of (minutes, degC) stretches.

    Sapareto and Dewey 1984 (secondary): R = 0.5 from 43 degC, 0.25 below. Far above 50 degC it is an extrapolation
    without ground.
    """
    return math.fsum(
        minutes * (0.5 if temperature >= 43.0 else 0.25) ** (43.0 - temperature) for minutes, temperature in history
    )


def fitted_time(temperature: float) -> float:
    """Seconds at a surface temperature in degC by a fit of the 1947 experiments: ln t = -28.3 ln T + 116.4.

    PLoS ONE 2021, review of contact burns, figure 2 (confirmed; that the logarithms are natural was found by trying).
    """
    if temperature <= 0.0:
        raise ValueError("the fit holds for temperatures at which skin is harmed")
    return math.exp(-28.3 * math.log(temperature) + 116.4)


TABLE: tuple[tuple[float, float, float], ...] = (
    (44.0, 21600.0, 21600.0), (48.9, 300.0, 600.0), (51.7, 90.0, 120.0), (54.4, 30.0, 30.0), (57.2, 10.0, 10.0),
    (60.0, 3.0, 5.0), (62.8, 2.0, 3.0), (65.6, 1.5, 1.5), (68.3, 1.0, 1.0),
)  # fmt: skip
"""degC of the surface, shortest and longest time in s in public tables for adults in flowing water. They differ in
what they call a burn; where a table says "less than", its figure is the longer one."""


def surface_limits(seconds: float) -> tuple[float, float]:
    """Surface temperatures in degC (irreversible, reversible) for a contact of some seconds.

    Curves of ASTM C1055 (from memory): 15.005 + 0.51907 L + 352.97 / L and 39.468 - 0.41352 L + 190.60 / L with L =
    ln(1000 t).
    """
    if not 1.0 <= seconds <= 36_000.0:
        raise ValueError("the curves are used from 1 s to 10 h")
    log = math.log(1000.0 * seconds)
    return 15.005 + 0.51907 * log + 352.97 / log, 39.468 - 0.41352 * log + 190.60 / log
