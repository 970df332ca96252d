"""Infusion: how far flow strays over windows of time, what gravity gives, and what a volume balance says of the log.

IEC 60601-2-24:1998, 50.102 and IEC 60601-2-24:2012, 201.12.1.102 (from memory). Neither sets a limit on accuracy: that
is the maker's.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from msgspec import Struct

from asfound.measure import fits
from asfound.measure.budget import coverage_factor
from asfound.physics.energy import positive

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

WINDOWS = (2, 5, 11, 19, 31)
"""Windows in minutes over which the standard asks for the largest deviations."""
_WATER = 9.80665 * 1000.0
_MMHG = 13595.1 * 9.80665 / 1000.0


class Window(Struct, frozen=True):
    """Largest and smallest mean deviation, in per cent of the set rate, over windows of `minutes`; `count` of them."""

    minutes: int
    highest: float
    lowest: float
    count: int


class Trumpet(Struct, frozen=True):
    """Deviation of the mean flow, in per cent of the set rate, and that of each window."""

    mean: float
    windows: tuple[Window, ...]


def trumpet(
    flows: Sequence[float] | NDArray[np.float64], rate: float, sample: float = 0.5, windows: Iterable[int] = WINDOWS
) -> Trumpet:
    """Windows of each length slid by one sample over the flows (mL/h), each `sample` minutes long, at a set `rate`
    mL/h.

    The flows are those of the analysis period: the standard takes the second hour and leaves the first out. Windows
    longer than the period are left out. Raises ValueError where a window is no whole number of samples, or for no
    flows. The largest deviation of a window can be negative, and the smallest positive: nothing is clipped at 0.
    """
    import numpy as np

    positive(rate=rate, sample=sample)
    found = np.asarray(flows, dtype=np.float64)
    if found.ndim != 1 or found.size == 0 or not np.isfinite(found).all():
        raise ValueError("the flows are a row of finite numbers, at least one")
    sums = np.empty(found.size + 1)
    sums[0] = 0.0
    np.cumsum((found - rate) * (100.0 / rate), out=sums[1:])
    made = []
    for minutes in windows:
        exact = minutes / sample
        length = round(exact)
        if length < 1 or abs(exact - length) > 1e-9:
            raise ValueError(f"a window of {minutes} min is no whole number of samples of {sample:g} min")
        if length > found.size:
            continue
        means = sums[length:] - sums[:-length]
        made.append(Window(minutes, float(means.max()) / length, float(means.min()) / length, means.size))
    return Trumpet(float(sums[-1]) / found.size, tuple(made))


def head(height: float) -> float:
    """Pressure in mmHg of a column of water `height` cm high: 75 cm give 55 mmHg."""
    return height / 100.0 * _WATER / _MMHG


class Siphon(Struct, frozen=True):
    """Flow by gravity against height: flow = `per_cm` x (height - `start`).

    per_cm   mL/h for each cm      start   cm at which flow begins; below 0 where something else drives it too
    worst    the largest departure from the line, mL/h
    fit      the line with its doubts; None where there are too few readings to tell any
    """

    per_cm: float
    start: float
    worst: float
    fit: fits.Line | None = None

    def at(self, height: float) -> float:
        """Flow in mL/h at a height in cm, not below 0."""
        return max(0.0, self.per_cm * (height - self.start))

    def doubt(self, height: float) -> float | None:
        """Half-width in mL/h of the 95.45 % interval for the line at a height in cm, by Student's t with n - 2
        degrees of freedom (JCGM 100:2008, H.3 and G.3).

        It is that of the line, from how its readings scatter; what the balance and the rule have in common at every
        reading does not show in a scatter and comes on top. None where there are fewer than three readings.
        """
        if self.fit is None:
            return None
        return coverage_factor(self.fit.dof) * self.fit.at(height)[1]


def siphon(heights: Sequence[float], flows: Sequence[float]) -> Siphon:
    """Line through flows (mL/h) at heights (cm), at two heights at least (laminar flow: in proportion to the head)."""
    n = len(heights)
    if n != len(flows) or n < 2:
        raise ValueError("each height needs one flow, and a line two heights")
    middle, mean = math.fsum(heights) / n, math.fsum(flows) / n
    spread = math.fsum((one - middle) ** 2 for one in heights)
    if spread == 0.0:
        raise ValueError("a line needs flows at two heights at least")
    slope = math.fsum((a - middle) * (b - mean) for a, b in zip(heights, flows, strict=True)) / spread
    if slope <= 0.0:
        raise ValueError("the flow does not grow with the height: gravity does not drive it")
    start = middle - mean / slope
    worst = max(abs(b - slope * (a - start)) for a, b in zip(heights, flows, strict=True))
    return Siphon(slope, start, worst, fits.line(heights, flows) if n > 2 else None)


class Supposed(Struct, frozen=True):
    """What would have been given under one supposition: `volume` in mL, and its ratio to what was given.

    key   short name of the supposition
    """

    name: str
    volume: Decimal
    ratio: Decimal
    key: str = ""


class Balance(Struct, frozen=True):
    """A balance of volumes: `given` mL over `hours`, the rate that implies in mL/h, and what suppositions would
    give."""

    given: Decimal
    implied: Decimal
    supposed: tuple[Supposed, ...]


class Fields(Struct, frozen=True):
    """Numbers of other fields that might have been keyed where the rate belongs, or the other way round.

    dose     number of the dose in an hour that gives the set rate, in whatever unit the pump was set by
    volume   number of the volume to be given, mL
    gravity  flow in mL/h that was measured with nothing holding the fluid, at the height found
    """

    dose: Decimal | None = None
    volume: Decimal | None = None
    gravity: Decimal | None = None


def balance(
    filled: Decimal,
    left: Decimal,
    elsewhere: Decimal,
    hours: Decimal,
    rate: Decimal,
    logged: Decimal | None = None,
    fields: Fields | None = None,
) -> Balance:
    """What was given: filled less left less what stayed elsewhere (line, spill), all mL, over `hours` at a set rate
    mL/h.

    Held against the set rate, ten and a hundred times it and a tenth, mL/min read for mL/h, numbers of `fields` that
    changed places, and the volume that stands in the log. Keyed by dose, a pump gives rate x (number keyed / number of
    the dose), so the rate keyed as the dose gives rate² / dose. A ratio near 1 says that the volume would fit, not that
    it happened.
    """
    if not (hours > 0 and rate > 0):
        raise ValueError("hours and rate must be above 0")
    given = filled - left - elsewhere
    if given <= 0:
        raise ValueError("less was filled than is left and elsewhere: nothing was given")
    flows: list[tuple[str, str, Decimal]] = [
        (key, name, rate * factor)
        for key, name, factor in (
            ("as-set", "as set", Decimal(1)), ("ten-times", "ten times the rate", Decimal(10)),
            ("hundred-times", "a hundred times the rate", Decimal(100)),
            ("a-tenth", "a tenth of the rate", Decimal("0.1")),
            ("per-minute", "the number taken as mL/min", Decimal(60)),
        )
    ]  # fmt: skip
    other = fields or Fields()
    if other.dose:
        flows.append(("dose-as-rate", "the dose keyed as the rate", other.dose))
        flows.append(("rate-as-dose", "the rate keyed as the dose", rate * rate / other.dose))
    if other.volume:
        flows.append(("volume-as-rate", "the volume keyed as the rate", other.volume))
    if other.gravity:
        flows.append(("gravity", "it ran by gravity as measured", other.gravity))
    volumes = [(key, name, flow * hours) for key, name, flow in flows]
    if logged is not None:
        volumes.append(("log", "as the log says", logged))
    supposed = tuple(Supposed(name, volume, given / volume, key) for key, name, volume in volumes if volume > 0)
    return Balance(given, given / hours, supposed)
