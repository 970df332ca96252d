"""What an open tube holds back, how a closed circuit leaks, how far an alarm stands above noise, how long a cylinder
lasts.

Resistance of a tube as Rohrer wrote it in 1915: p = K1 q + K2 q², the first part of laminar flow, the second of
turbulence, bends and ends (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from asfound.measure import fits
from asfound.measure.budget import coverage_factor
from asfound.physics.energy import positive


class TubeFit(Struct, frozen=True):
    """Pressure before an open tube against steady flow: p = `linear` q + `quadratic` q², through the origin.

    linear     cmH2O for each L/min          quadratic  cmH2O for each (L/min)²
    variances  of both, and their covariance  s         scatter of the readings about the curve, cmH2O
    n          readings                       worst     the largest departure, cmH2O
    """

    linear: float
    quadratic: float
    variances: tuple[float, float, float]
    s: float
    n: int
    worst: float

    @property
    def dof(self) -> float:
        """Degrees of freedom."""
        return self.n - 2.0

    def at(self, flow: float) -> float:
        """Pressure in cmH2O at a flow in L/min."""
        return self.linear * flow + self.quadratic * flow * flow

    def doubt(self, flow: float) -> float:
        """Half-width in cmH2O of the 95.45 % interval for the curve at a flow in L/min, by Student's t with n − 2
        degrees of freedom (JCGM 100:2008, H.3 and G.3).

        From the scatter of the readings alone: what the gauge has wrong at every reading does not show in a scatter.
        """
        first, second, both = self.variances
        squared = flow * flow
        variance = squared * first + squared * squared * second + 2.0 * flow * squared * both
        return coverage_factor(self.dof) * math.sqrt(max(0.0, variance))

    def flow_at(self, pressure: float) -> float:
        """The flow in L/min at which the pressure in cmH2O stands. ValueError where none does."""
        positive(pressure=pressure)
        under = self.linear * self.linear + 4.0 * self.quadratic * pressure
        # The form that does not lose its digits where the quadratic part is small.
        below = self.linear + math.sqrt(under) if under >= 0.0 else 0.0
        if not below > 0.0:
            raise ValueError("no flow gives this pressure on the curve that was fitted")
        return 2.0 * pressure / below


def tube_fit(flows: Sequence[float], pressures: Sequence[float]) -> TubeFit:
    """Least squares with equal weights through pressures (cmH2O) at steady flows (L/min).

    At least four readings at two different flows above 0; ValueError otherwise, and for a curve on which the pressure
    does not rise up to the highest flow.
    """
    n = len(flows)
    if n != len(pressures) or n < 4:
        raise ValueError("each flow needs one pressure, and the curve at least four")
    if min(flows) < 0.0 or len({flow for flow in flows if flow > 0.0}) < 2:
        raise ValueError("flows are not below 0, and two different ones above 0 are needed")
    two, three, four = (math.fsum(flow**power for flow in flows) for power in (2, 3, 4))
    one = math.fsum(flow * pressure for flow, pressure in zip(flows, pressures, strict=True))
    other = math.fsum(flow * flow * pressure for flow, pressure in zip(flows, pressures, strict=True))
    determinant = two * four - three * three
    linear = (four * one - three * other) / determinant
    quadratic = (two * other - three * one) / determinant
    top = max(flows)
    if not linear + 2.0 * quadratic * top > 0.0 or not linear + quadratic * top > 0.0:
        raise ValueError("on the curve the pressure does not rise with the flow; look at the readings")
    rest = [p - linear * q - quadratic * q * q for q, p in zip(flows, pressures, strict=True)]
    variance = math.fsum(e * e for e in rest) / (n - 2)
    spread = (variance * four / determinant, variance * two / determinant, -variance * three / determinant)
    return TubeFit(linear, quadratic, spread, math.sqrt(variance), n, max(abs(e) for e in rest))


class Decay(Struct, frozen=True):
    """Leak in mL/min at one pressure, from the fall of pressure in a closed circuit, under two models.

    laminar   a leak in proportion to the pressure, as through a long narrow way: the pressure falls as an exponential
    orifice   a leak in proportion to its root, as through a hole: the root of the pressure falls along a line
    rms       how far the readings lie from each, cmH2O
    """

    laminar: float
    orifice: float
    rms: tuple[float, float]

    @property
    def low(self) -> float:
        """The lower of the two."""
        return min(self.laminar, self.orifice)

    @property
    def high(self) -> float:
        """The higher of the two."""
        return max(self.laminar, self.orifice)


def pressure_decay(times: Sequence[float], pressures: Sequence[float], compliance: float, pressure: float) -> Decay:
    """Leak at `pressure` cmH2O of a circuit of `compliance` mL/cmH2O from its pressures (cmH2O) over times (s).

    Leak = compliance × −dp/dt; the slope comes from a line through ln p, and from one through √p. The gas is taken as
    one of constant temperature, and the compliance as the same at every pressure. ValueError for fewer than five
    samples, for a pressure that is not above 0 and for one that does not fall.
    """
    positive(compliance=compliance, pressure=pressure)
    if len(times) != len(pressures) or len(times) < 5:
        raise ValueError("each time needs one pressure, and a fall at least five")
    if min(pressures) <= 0.0:
        raise ValueError("a pressure is not above 0: take only the part of the fall that is above the gauge's zero")
    exponential = fits.line(times, [math.log(p) for p in pressures])
    root = fits.line(times, [math.sqrt(p) for p in pressures])
    if exponential.slope >= 0.0 or root.slope >= 0.0:
        raise ValueError("the pressure does not fall: that is no leak")
    far = [p - math.exp(exponential.at(t)[0]) for t, p in zip(times, pressures, strict=True)]
    near = [p - root.at(t)[0] ** 2 for t, p in zip(times, pressures, strict=True)]
    return Decay(
        compliance * pressure * -exponential.slope * 60.0,
        compliance * 2.0 * math.sqrt(pressure) * -root.slope * 60.0,
        (_rms(far), _rms(near)),
    )


def _rms(values: Sequence[float]) -> float:
    return math.sqrt(math.fsum(value * value for value in values) / len(values))


def together(*levels: float) -> float:
    """Level of several sounds together, all in dB(A): energies add (10 lg Σ 10^(L/10); acoustics, computed)."""
    return 10.0 * math.log10(math.fsum(10.0 ** (level / 10.0) for level in levels))


def at_distance(level: float, measured: float, distance: float) -> float:
    """Level at a distance of a small source out of doors, from that measured at another: 20 lg of their ratio less.

    Both in one unit of length, above 0. In a room walls give back a part, and it falls less: this is the lower end.
    """
    positive(distance_measured=measured, distance=distance)
    return level - 20.0 * math.log10(distance / measured)


def cylinder_content(size: float, pressure: float) -> float:
    """Litres of gas at the pressure of the air in a cylinder of `size` litres of water at `pressure` bar on its gauge.

    Size times pressure (common practice, no source): the ideal gas, with one bar taken for the air. Real oxygen at
    100 to 200 bar holds some 5 to 8 % more than the product (computed from its compressibility, from memory).
    """
    positive(size=size)
    if pressure < 0.0:
        raise ValueError("the pressure on the gauge is not below 0")
    return size * pressure


def cylinder_minutes(size: float, pressure: float, flow: float, reserve: float = 0.0) -> float:
    """How many minutes it lasts at `flow` L/min until `reserve` bar are left; 0 where it holds no more than that."""
    positive(flow=flow)
    return max(0.0, cylinder_content(size, pressure) - cylinder_content(size, reserve)) / flow
