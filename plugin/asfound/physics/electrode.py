"""Current at a small contact: its share, its density, what it heats, what a direct one does, and how it got there.

Formulas from circuit theory and electrochemistry. None of them says what skin did: that is for a clinician.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from asfound.measure.fits import line
from asfound.physics.energy import positive

REFERENCE_DENSITY, REFERENCE_TIME = 100.0, 10.0
"""mA/cm2 and s at which high-frequency current can harm skin, by one study (Anesthesiology 1973, confirmed)."""
REFERENCE_FACTOR = 30.0
"""A2s that usual return pads are designed for (evaluation guidance, 2016, preview)."""
FARADAY = 96485.33212
"""C/mol, exact since 2019 by its two constants (SI Brochure, 9th edition; from memory)."""
LIGHT = 299_792_458.0
"""m/s, exact."""


def share(through: float, total: float) -> float:
    """Part of a generator's current that leaves by a lead. Raises ValueError for a part above the whole."""
    positive(total=total)
    if not 0.0 <= through <= total:
        raise ValueError("the current in the lead must lie between 0 and the whole")
    return through / total


def density(current: float, area: float) -> float:
    """Mean current density, in units of current over units of area, with the sign of the current.

    Under an edge it is higher. Raises ValueError for an area that is not above 0.
    """
    positive(area=area)
    return current / area


def heating_multiple(milliampere_per_cm2: float, seconds: float) -> float:
    """Heat per volume, J2 t, as a multiple of that of the study's figure: 100 mA/cm2 for 10 s are 1.

    Where nothing flows away a rise goes with J2 t, whatever the tissue: dT = J2 t / (sigma rho c). Within tens of
    seconds that is an upper view; the longer the time, the more flows away.
    """
    if seconds < 0.0:
        raise ValueError("the time must not be below 0")
    return (milliampere_per_cm2 / REFERENCE_DENSITY) ** 2 * seconds / REFERENCE_TIME


def equal_heat_time(milliampere_per_cm2: float) -> float:
    """Seconds at a density in mA/cm2 that give the heat per volume of 100 mA/cm2 for 10 s."""
    positive(density=milliampere_per_cm2)
    return REFERENCE_TIME * (REFERENCE_DENSITY / milliampere_per_cm2) ** 2


def capacitive_current(frequency: float, capacitance: float, voltage: float) -> float:
    """Current in A r.m.s. that a voltage in V r.m.s. drives through a capacitance in F at Hz: 2 pi f C V.

    For a sine and with nothing else in the way: an upper view. A wave with crests has harmonics, which pass more
    easily.
    """
    positive(frequency=frequency, capacitance=capacitance)
    if voltage < 0.0:
        raise ValueError("the voltage must not be below 0")
    return 2.0 * math.pi * frequency * capacitance * voltage


def charge(current: float, seconds: float) -> float:
    """C that a direct current in A has moved, with its sign."""
    if seconds < 0.0:
        raise ValueError("the time must not be below 0")
    return current * seconds


def alkali(coulombs: float) -> float:
    """mol of hydroxide set free at the negative electrode, at most, by Faraday's law: one for each electron."""
    return abs(coulombs) / FARADAY


def half_wavelength(frequency: float, permittivity: float) -> float:
    """Half a wavelength in m at Hz in a medium of relative permittivity: c / (2 f sqrt(er)).

    A lead of about this length takes up a field of radio frequency best. Insulated leads beside a body lie between
    the two media. Raises ValueError for a frequency that is not above 0 or a permittivity below 1.
    """
    positive(frequency=frequency)
    if permittivity < 1.0:
        raise ValueError("a relative permittivity is not below 1")
    return LIGHT / (2.0 * frequency * math.sqrt(permittivity))


class Squared(Struct, frozen=True):
    """A rise against the square of a current.

    per_square  K/A2, least squares through zero        power, power_u  slope of log rise over log current, and its
    worst       K, largest departure from the square    standard doubt (None for two readings), with `dof` degrees of
                                                        freedom
    """

    per_square: float
    worst: float
    power: float
    power_u: float | None
    dof: float = math.inf


def squared(current: Sequence[float], rise: Sequence[float]) -> Squared:
    """Whether a rise in K goes with the square of a current in A. Raises ValueError for fewer than two currents, or
    values that are not above 0."""
    if len(set(current)) < 2:
        raise ValueError("at least two different currents are needed")
    if not all(one > 0.0 for one in (*current, *rise)):
        raise ValueError("currents and rises must be above 0")
    squares = [float(one) ** 2 for one in current]
    per = math.fsum(q * float(r) for q, r in zip(squares, rise, strict=True)) / math.fsum(q * q for q in squares)
    worst = max(abs(float(r) - per * q) for q, r in zip(squares, rise, strict=True))
    logs = [math.log(float(one)) for one in current], [math.log(float(one)) for one in rise]
    if len(current) == 2:
        return Squared(per, worst, (logs[1][1] - logs[1][0]) / (logs[0][1] - logs[0][0]), None)
    fit = line(*logs)
    return Squared(per, worst, fit.slope, fit.u_slope, fit.dof)
