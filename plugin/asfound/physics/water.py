"""Volume of water from its mass: density by named formulas, and the buoyancy of air."""

from __future__ import annotations

from asfound.physics.energy import positive

AIR = 1.2
"""Density of air in kg/m3 that a weighing is corrected for (ISO 8655-6 takes about 1.2; from memory)."""
WEIGHTS = 8000.0
"""Density of the weights a balance is adjusted with, in kg/m3 (OIML convention; from memory)."""


def density_tanaka(temperature: float) -> float:
    """Density of air-free water in kg/m3 at `temperature` degC, 0 to 40, and 101.325 kPa.

    Tanaka, Girard, Davis, Peuto, Bignell, Metrologia 2001, 38, 301-309 (secondary: coefficients from several public
    implementations). For ordinary water the leading coefficient is nearer to 999.972; 3 parts in a million.
    """
    if not 0.0 <= temperature <= 40.0:
        raise ValueError("the formula holds from 0 to 40 degC")
    shifted = temperature - 3.983035
    return 999.974950 * (1.0 - shifted * shifted * (temperature + 301.797) / (522528.9 * (temperature + 69.34881)))


def volume_of(mass: float, temperature: float, *, buoyancy: bool = True) -> float:
    """Volume in mL of a mass of water in g, as a balance showed it, at `temperature` degC.

    With `buoyancy`, the air that water and weights displace is put right (about 0.105 %); without, mass over density.
    """
    water = density_tanaka(temperature)
    factor = (1.0 - AIR / WEIGHTS) / (1.0 - AIR / water) if buoyancy else 1.0
    return mass * 1000.0 / water * factor


def flow_of(mass: float, hours: float, temperature: float, *, blank: float = 0.0, buoyancy: bool = True) -> float:
    """Mean flow in mL/h from a mass in g collected over `hours`; `blank` g/h evaporates with no flow, and is added."""
    positive(hours=hours)
    return volume_of(mass + blank * hours, temperature, buoyancy=buoyancy) / hours
