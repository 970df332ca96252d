"""The doubt of a reading: components, how they combine, and the expanded doubt with its coverage factor.

Throughout, *doubt* is the measurement uncertainty of JCGM 100:2008; `u` is a standard uncertainty and `U`
an expanded one. All in the unit of the reading unless a sensitivity says otherwise.

The general case is a `Budget` of `Component`s. For the many rows of one instrument range there is
`expanded_fast`, which gives the very same number without building the components.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal
from enum import StrEnum
from functools import lru_cache
from statistics import NormalDist

from msgspec import Struct

from asfound.measure.student import quantile

INFINITE = math.inf
LEVEL_95_45 = 0.9545
_SQRT3 = math.sqrt(3.0)


class Kind(StrEnum):
    """How a component was found: A by statistics of repeated readings, B otherwise (JCGM 100:2008, 4.2 and 4.3)."""

    A = "A"
    B = "B"


class Distribution(StrEnum):
    """What the number given stands for, and so what it is divided by."""

    STANDARD = "standard uncertainty"
    RECTANGULAR = "half-width, rectangular"
    TRIANGULAR = "half-width, triangular"
    U_SHAPED = "half-width, u-shaped"
    EXPANDED = "expanded, divided by its coverage factor"


_DIVISOR = {
    Distribution.STANDARD: 1.0,
    Distribution.RECTANGULAR: _SQRT3,
    Distribution.TRIANGULAR: math.sqrt(6.0),
    Distribution.U_SHAPED: math.sqrt(2.0),
}


class Component(Struct, frozen=True):
    """One source of doubt (JCGM 100:2008, 4.2 to 4.4).

    value         what was given: a standard deviation, a half-width, or an expanded uncertainty; not negative
    k             coverage factor, used only where the distribution is `EXPANDED`
    dof           degrees of freedom, at least 1; infinite where the component is held to be known
    sensitivity   by how much the result moves when this input moves by one unit
    source        where the value comes from, in words
    """

    name: str
    kind: Kind
    value: float
    distribution: Distribution
    k: float = 2.0
    dof: float = INFINITE
    sensitivity: float = 1.0
    source: str = ""

    def __post_init__(self) -> None:
        if not (self.value >= 0.0 and math.isfinite(self.value)):
            raise ValueError(f"{self.name}: a component of doubt is a finite number, not below 0")
        if not self.dof >= 1.0:
            raise ValueError(f"{self.name}: degrees of freedom are 1 or more")
        if not (self.k > 0.0 and math.isfinite(self.sensitivity)):
            raise ValueError(f"{self.name}: the coverage factor is above 0 and the sensitivity finite")

    @property
    def divisor(self) -> float:
        """What `value` is divided by to give a standard uncertainty."""
        return self.k if self.distribution is Distribution.EXPANDED else _DIVISOR[self.distribution]

    @property
    def u(self) -> float:
        """Standard uncertainty of the input, in the input's unit."""
        return self.value / self.divisor

    @property
    def contribution(self) -> float:
        """Standard uncertainty it brings to the result, in the result's unit."""
        return abs(self.sensitivity) * self.u


class Correlation(Struct, frozen=True):
    """Two components, by their place in the budget from 0, and the coefficient between them (-1 to 1)."""

    first: int
    second: int
    r: float


class Budget(Struct, frozen=True):
    """Components combined by the law of propagation (JCGM 100:2008, 5.1.2 and 5.2.2)."""

    components: tuple[Component, ...]
    correlations: tuple[Correlation, ...] = ()

    def __post_init__(self) -> None:
        count = len(self.components)
        for pair in self.correlations:
            places = (pair.first, pair.second)
            if pair.first == pair.second or not all(0 <= at < count for at in places):
                raise ValueError("a correlation names two different components of the budget")
            if not -1.0 <= pair.r <= 1.0:
                raise ValueError("a correlation coefficient lies between -1 and 1")

    @property
    def variance(self) -> float:
        """Square of the combined standard uncertainty."""
        terms = [one.contribution * one.contribution for one in self.components]
        for pair in self.correlations:
            one, two = self.components[pair.first], self.components[pair.second]
            terms.append(2.0 * pair.r * one.sensitivity * one.u * two.sensitivity * two.u)
        return max(0.0, math.fsum(terms))

    @property
    def combined(self) -> float:
        """Combined standard uncertainty."""
        return math.sqrt(self.variance)

    @property
    def dof_exact(self) -> float:
        """Effective degrees of freedom before truncation, by Welch and Satterthwaite (JCGM 100:2008, G.4.1).

        The formula holds for independent inputs. Where a correlated input has finite degrees of freedom the
        smallest of those is taken instead: a cautious choice of ours, never above what the formula would
        allow.
        """
        plain = welch_satterthwaite([one.contribution for one in self.components], [one.dof for one in self.components])
        tied = [
            self.components[at].dof for pair in self.correlations if pair.r != 0.0 for at in (pair.first, pair.second)
        ]
        return min([plain, *tied])

    @property
    def dof(self) -> float:
        """Effective degrees of freedom, truncated to the next lower whole number; infinite stays infinite."""
        return truncate_dof(self.dof_exact)

    def coverage(self, level: float = LEVEL_95_45) -> float:
        """Coverage factor k for the level."""
        return coverage_factor(self.dof, level)

    def expanded(self, level: float = LEVEL_95_45) -> float:
        """Expanded uncertainty U = k u."""
        return self.coverage(level) * self.combined

    @property
    def shares(self) -> tuple[float, ...]:
        """Each component's part of the variance, 0 to 1, in order; with correlations they need not sum to 1."""
        total = self.variance
        if total == 0.0:
            return tuple(0.0 for _ in self.components)
        return tuple(one.contribution * one.contribution / total for one in self.components)


def welch_satterthwaite(contributions: Sequence[float], dofs: Sequence[float]) -> float:
    """Effective degrees of freedom, not truncated (JCGM 100:2008, G.4.1, formula G.2b)."""
    variance = math.fsum(u * u for u in contributions)
    if variance == 0.0:
        return INFINITE
    # In parts of the variance, so that very small doubts do not underflow when raised to the fourth power.
    total = math.fsum(
        (u * u / variance) ** 2 / dof for u, dof in zip(contributions, dofs, strict=True) if dof != INFINITE
    )
    return 1.0 / total if total > 0.0 else INFINITE


class Expanded(Struct, frozen=True):
    """An expanded doubt with what it was expanded by.

    dof  effective degrees of freedom before truncation, infinite where nothing limits them
    """

    U: float
    k: float
    dof: float


def expanded_of(
    contributions: Sequence[float], dofs: Sequence[float], level: float = LEVEL_95_45, twice: float | None = None
) -> Expanded:
    """Contributions that do not depend on one another, combined and expanded at the k of their own degrees of freedom.

    JCGM 100:2008, 5.1.2, G.4 and G.6.4. They are given as twice the standard uncertainty, the k = 2 of a doubt that
    nothing limits, and so is `twice`, their root of squares where it is known already.
    """
    total = math.hypot(*contributions) if twice is None else twice
    dof = welch_satterthwaite(contributions, dofs)
    k = coverage_factor(truncate_dof(dof), level)
    return Expanded(total * (k / 2.0), k, dof)


def truncate_dof(dof: float) -> float:
    """The next lower whole number (JCGM 100:2008, G.6.4).

    A value that misses a whole number only by rounding of the computer counts as that number.
    """
    return dof if math.isinf(dof) else float(math.floor(dof * (1.0 + 1e-12)))


@lru_cache(maxsize=1024)
def coverage_factor(dof: float, level: float = LEVEL_95_45) -> float:
    """Coverage factor from Student's t for a two-sided level (JCGM 100:2008, G.3.2 and table G.2).

    dof    whole, 1 or more, or infinite
    level  for instance 0.95, 0.9545, 0.99

    With infinite degrees of freedom and 95.45 %, k is 2 by convention.
    """
    if not 0.0 < level < 1.0:
        raise ValueError("a level of confidence lies between 0 and 1")
    if not dof >= 1.0:
        raise ValueError("degrees of freedom are 1 or more")
    if math.isinf(dof) and level == LEVEL_95_45:
        return 2.0
    if math.isinf(dof):
        return NormalDist().inv_cdf(0.5 + level / 2.0)
    if dof == int(dof):
        return quantile(level, int(dof))
    # Imported only here: loading it takes longer than everything else in a small run.
    from scipy.special import stdtrit

    return float(stdtrit(dof, 0.5 + level / 2.0))


# --- builders
# -----------------------------------------------------------------------------------------------------


def accuracy_half_width(
    reading: float, percent: float = 0.0, absolute: float = 0.0, digits: float = 0.0, resolution: float = 0.0
) -> float:
    """Half-width of an accuracy statement: percent of reading, plus an absolute part, plus a number of digits."""
    return abs(reading) * percent / 100.0 + absolute + digits * resolution


def from_accuracy(
    reading: float,
    *,
    percent: float = 0.0,
    absolute: float = 0.0,
    digits: float = 0.0,
    resolution: float = 0.0,
    name: str = "accuracy of the instrument",
    source: str = "",
) -> Component:
    """Accuracy as makers state it, taken as rectangular (JCGM 100:2008, 4.3.7)."""
    half_width = accuracy_half_width(reading, percent, absolute, digits, resolution)
    return Component(name, Kind.B, half_width, Distribution.RECTANGULAR, source=source)


def from_resolution(resolution: float, *, name: str = "resolution", source: str = "") -> Component:
    """Half a step of the last digit, rectangular (JCGM 100:2008, F.2.2.1)."""
    return Component(name, Kind.B, resolution / 2.0, Distribution.RECTANGULAR, source=source)


def from_certificate(
    expanded: float,
    k: float = 2.0,
    *,
    dof: float = INFINITE,
    name: str = "calibration certificate",
    source: str = "",
) -> Component:
    """Expanded uncertainty and coverage factor of a certificate (JCGM 100:2008, 4.3.3)."""
    return Component(name, Kind.B, expanded, Distribution.EXPANDED, k=k, dof=dof, source=source)


def from_repeats(values: Sequence[float], *, name: str = "repeated readings", source: str = "") -> Component:
    """Standard deviation of the mean of n readings, n - 1 degrees of freedom (JCGM 100:2008, 4.2.2 and 4.2.3)."""
    count = len(values)
    if count < 2:
        raise ValueError("the spread of repeats needs at least two readings")
    mean = math.fsum(values) / count
    s = math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (count - 1))
    return Component(name, Kind.A, s / math.sqrt(count), Distribution.STANDARD, dof=count - 1.0, source=source)


# --- many rows of one instrument range
# ---------------------------------------------------------------------------


class RangeDoubt(Struct, frozen=True):
    """What is known of one instrument range; the reading alone is missing.

    percent, absolute, digits   the accuracy statement: of reading, in the unit, in counts of the last digit
    resolution                  one step of the last digit, in the unit
    certificate, k, dof         expanded uncertainty of the calibration, its coverage factor, degrees of freedom
    zero                        the reading that is nothing in the range's own unit, from where a per cent counts: -17.8
                                for a range in degrees Fahrenheit and a reading in degrees Celsius
    """

    percent: float = 0.0
    absolute: float = 0.0
    digits: float = 0.0
    resolution: float = 0.0
    certificate: float = 0.0
    k: float = 2.0
    dof: float = INFINITE
    source: str = ""
    zero: float = 0.0


def range_budget(reading: float, known: RangeDoubt, *, repeats: Sequence[float] = ()) -> Budget:
    """The budget of one reading in a range: accuracy, resolution, certificate, and repeats where there are two."""
    parts = [
        from_accuracy(
            reading - known.zero,
            percent=known.percent,
            absolute=known.absolute,
            digits=known.digits,
            resolution=known.resolution,
            source=known.source,
        ),
        from_resolution(known.resolution, source=known.source),
        from_certificate(known.certificate, known.k, dof=known.dof, source=known.source),
    ]
    if len(repeats) > 1:
        parts.append(from_repeats(repeats))
    return Budget(tuple(parts))


def expanded_fast(reading: float, known: RangeDoubt, level: float = LEVEL_95_45) -> float:
    """The same number as `range_budget(reading, known).expanded(level)`, without building anything."""
    return repeated_fast(reading, known, 0.0, INFINITE, level).U


def repeated_fast(reading: float, known: RangeDoubt, s: float, dof: float, level: float = LEVEL_95_45) -> Expanded:
    """Expanded uncertainty and coverage factor, where a spread `s` with `dof` degrees of freedom comes on top.

    The same numbers as a `Budget` of the range's components and that of the spread, without building anything.
    """
    accuracy = (
        abs(reading - known.zero) * known.percent / 100.0 + known.absolute + known.digits * known.resolution
    ) / _SQRT3
    step = known.resolution / 2.0 / _SQRT3
    certificate = known.certificate / known.k
    third = certificate * certificate
    fourth = s * s
    variance = math.fsum((accuracy * accuracy, step * step, third, fourth))
    effective = INFINITE
    if variance > 0.0 and not (known.dof == INFINITE and dof == INFINITE):
        part = math.fsum(((third / variance) ** 2 / known.dof, (fourth / variance) ** 2 / dof))
        effective = 1.0 / part if part > 0.0 else INFINITE
    k = coverage_factor(truncate_dof(effective), level)
    return Expanded(k * math.sqrt(variance), k, effective)


def doubt(u: float) -> Decimal:
    """A doubt as a decimal of six significant digits: the form in which it is kept, shown and decided with.

    Deciding with the printed number lets any reader repeat the decision by hand.
    """
    if not math.isfinite(u):
        raise ValueError("a doubt is a finite number")
    return Decimal(f"{u:.6g}")
