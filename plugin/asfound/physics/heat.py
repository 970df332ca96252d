"""Heat in skin and against it: closed forms of conduction, contact, and current.

Closed forms after Carslaw and Jaeger, Conduction of Heat in Solids (from memory). They describe a half-space without
blood flow: they are upper views of short exposures, and the checks of the numerical model in `bioheat`.
"""

from __future__ import annotations

import math

from msgspec import Struct


class Material(Struct, frozen=True):
    """k in W/(m K), density in kg/m3, specific heat in J/(kg K)."""

    name: str
    conductivity: float
    density: float
    heat: float

    @property
    def diffusivity(self) -> float:
        """m2/s."""
        return self.conductivity / (self.density * self.heat)

    @property
    def effusivity(self) -> float:
        """J/(m2 K s^0.5): what decides the temperature of a contact."""
        return math.sqrt(self.conductivity * self.density * self.heat)


SKIN = Material("skin", 0.37, 1100.0, 3400.0)
"""Typical values (secondary); published ones differ by a third and more."""
MATERIALS: tuple[Material, ...] = (
    SKIN,
    Material("borosilicate glass", 1.14, 2230.0, 830.0),
    Material("stainless steel", 16.0, 7900.0, 500.0),
    Material("aluminium", 205.0, 2700.0, 900.0),
    Material("wood", 0.15, 600.0, 1600.0),
)


def contact_temperature(first: float, of: Material, second: float, other: Material) -> float:
    """Temperature in degC at which two half-spaces meet, each at its own temperature before.

    What has a source of its own, or is thin, does not keep to it.
    """
    a, b = of.effusivity, other.effusivity
    return (a * first + b * second) / (a + b)


class Tissue(Struct, frozen=True):
    """Conductivity in S/m at 100 kHz, 400 kHz and 1 MHz, density in kg/m3, specific heat in J/(kg K)."""

    name: str
    conductivity: dict[int, float]
    density: float
    heat: float


TISSUES: tuple[Tissue, ...] = (
    Tissue("dry skin", {100: 0.00045, 400: 0.00305, 1000: 0.0132}, 1109.0, 3391.0),
    Tissue("wet skin", {100: 0.0658, 400: 0.1635, 1000: 0.2214}, 1109.0, 3391.0),
    Tissue("fat", {100: 0.0244, 400: 0.0248, 1000: 0.0251}, 911.0, 2348.0),
    Tissue("muscle across its fibres", {100: 0.3619, 400: 0.4278, 1000: 0.5027}, 1090.0, 3421.0),
    Tissue("muscle along its fibres", {100: 1.086, 400: 1.283, 1000: 1.508}, 1090.0, 3421.0),
)
"""Conductivities: BioMedical Engineering OnLine 2018, s12938-018-0473-9, table 3 (confirmed). Densities and heats:
from memory. The value for dry skin is that of its outermost layer: taken for the whole skin it makes every pad a
burn."""


def joule_rate(density: float, tissue: Tissue, kilohertz: int = 400) -> float:
    """Rise in K/s by a current density in A/m2 (r.m.s.), nothing carried away: J2 / (sigma rho c).

    100 mA/cm2 are 1000 A/m2. An upper view, for seconds. Raises ValueError for a frequency that is not in the table.
    """
    if kilohertz not in tissue.conductivity:
        known = ", ".join(str(one) for one in sorted(tissue.conductivity))
        raise ValueError(f"conductivities are given at {known} kHz")
    return density * density / (tissue.conductivity[kilohertz] * tissue.density * tissue.heat)
