"""Curves of thermistors, and what ohms in series or in parallel make of the temperature that is shown."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Protocol

from msgspec import Struct

from asfound.physics.energy import positive
from asfound.physics.probe import KELVIN


class Curve(Protocol):
    """A sensor whose resistance falls as it warms: ohm at degC, and degC for ohm."""

    def ohms(self, temperature: float) -> float:
        """Resistance in ohm at a temperature in degC."""
        ...

    def degrees(self, ohms: float) -> float:
        """Temperature in degC that a resistance in ohm is taken for."""
        ...


class SteinhartHart(Struct, frozen=True):
    """A thermistor by three coefficients: 1/T = a + b ln R + c (ln R)^3, T in K, R in ohm.

    Steinhart and Hart, Deep-Sea Research 1968;15:497-503 (from memory). It follows a real thermistor over tens of
    kelvin, where one B value does so over a few.
    """

    a: float
    b: float
    c: float

    @classmethod
    def through(cls, points: Sequence[tuple[float, float]]) -> SteinhartHart:
        """The curve through three points (degC, ohm). Raises ValueError where they do not fix one."""
        if len({t for t, _ in points}) != 3 or len({r for _, r in points}) != 3:
            raise ValueError("three points at three temperatures and of three resistances are needed")
        for _, r in points:
            positive(resistance=r)
        (x1, y1), (x2, y2), (x3, y3) = ((math.log(r), 1.0 / (t + KELVIN)) for t, r in points)
        g2, g3 = (y2 - y1) / (x2 - x1), (y3 - y1) / (x3 - x1)
        c = (g3 - g2) / (x3 - x2) / (x1 + x2 + x3)
        b = g2 - c * (x1 * x1 + x1 * x2 + x2 * x2)
        return cls(y1 - (b + x1 * x1 * c) * x1, b, c)

    def degrees(self, ohms: float) -> float:
        """Temperature in degC that a resistance in ohm is taken for."""
        positive(ohms=ohms)
        x = math.log(ohms)
        return 1.0 / (self.a + self.b * x + self.c * x**3) - KELVIN

    def ohms(self, temperature: float) -> float:
        """Resistance in ohm at a temperature in degC: the real root of the cubic."""
        inverse = 1.0 / (temperature + KELVIN)
        if self.c == 0.0:
            return math.exp((inverse - self.a) / self.b)
        half = (self.a - inverse) / self.c / 2.0
        third = self.b / self.c / 3.0
        inside = third**3 + half * half
        if inside < 0.0:
            raise ValueError("at this temperature the three coefficients give no single resistance")
        root = math.sqrt(inside)
        return math.exp(math.cbrt(root - half) - math.cbrt(root + half))


def held_by_control(curve: Curve, setting: float, series: float) -> float:
    """Temperature of the bead in degC while a control keeps the display at `setting`, with ohms in series.

    R(T) = R(setting) - series. Raises ValueError where the resistance in the way is as large as the whole.
    """
    if series < 0.0:
        raise ValueError("a series resistance is not below 0")
    left = curve.ohms(setting) - series
    if left <= 0.0:
        raise ValueError("no temperature makes a probe with this resistance in the way stand at the setting")
    return curve.degrees(left)


class Cause(Struct, frozen=True):
    """One way in which a display may go wrong, fitted to errors at several temperatures.

    amount   K for an offset, ohm in series, siemens across the bead: the value that fits best (least squares)
    worst    K, largest departure of a reading from what that value gives
    """

    amount: float
    worst: float


class Causes(Struct, frozen=True):
    """The same errors, laid to three causes of one value each. Which fits is seen by `worst`."""

    offset: Cause
    series: Cause
    shunt: Cause


def causes(curve: Curve, true: Sequence[float], shown: Sequence[float]) -> Causes:
    """Which single cause the errors of a display go along with: an offset, ohms in series, a shunt.

    `true` by the reference and `shown`, degC, pairwise. An offset errs alike at all temperatures; ohms in series err
    more the warmer it is, since the bead's own ohms become fewer; a shunt errs the other way, and less when warmer.
    Raises ValueError for fewer than two temperatures.
    """
    if len(true) != len(shown):
        raise ValueError("each temperature needs one reading")
    if len(set(true)) < 2:
        raise ValueError("at least two temperatures are needed to tell one cause from another")
    mean = math.fsum(b - a for a, b in zip(true, shown, strict=True)) / len(true)
    flat = max(abs(b - a - mean) for a, b in zip(true, shown, strict=True))
    beads = [curve.ohms(one) for one in true]
    least = min(beads)

    def in_series(ohms: float) -> list[float]:
        return [curve.degrees(bead + ohms) for bead in beads]

    def across(siemens: float) -> list[float]:
        return [curve.degrees(bead / (1.0 + siemens * bead)) for bead in beads]

    return Causes(
        Cause(mean, flat),
        _fit(in_series, shown, -0.9 * least, 50.0 * max(beads)),
        _fit(across, shown, -0.9 / max(beads), 50.0 / least),
    )


def _fit(model: Callable[[float], Sequence[float]], shown: Sequence[float], low: float, high: float) -> Cause:
    """The value between low and high with the least squares. The models are monotonic in it, and so is the slope of the
    sum near its one minimum: Gauss-Newton from 0, kept inside the ends."""
    at = 0.0
    step = 1e-6 * max(abs(low), abs(high))
    for _ in range(60):
        here, above, below = model(at), model(at + step), model(at - step)
        slopes = [(a - b) / (2.0 * step) for a, b in zip(above, below, strict=True)]
        gaps = [seen - one for seen, one in zip(shown, here, strict=True)]
        move = math.fsum(s * g for s, g in zip(slopes, gaps, strict=True)) / math.fsum(s * s for s in slopes)
        moved = min(max(at + move, low + 2.0 * step), high - 2.0 * step)
        done = abs(moved - at) <= 1e-12 * max(abs(low), abs(high))
        at = moved
        if done:
            break
    return Cause(at, max(abs(seen - one) for seen, one in zip(shown, model(at), strict=True)))
