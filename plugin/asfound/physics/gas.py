"""Gas volumes under stated conditions, compliance and leak.

The ideal gas law with water vapour taken off. BTPS: body temperature, ambient pressure, saturated; ATPD: ambient
temperature and pressure, dry; ATPS: the same, saturated; STPD: 0 degC, 101.325 kPa, dry (ISO 4135; from memory).
"""

from __future__ import annotations

import math
from enum import StrEnum

from msgspec import Struct

from asfound.physics.energy import positive

KELVIN = 273.15
STANDARD = 760.0
"""Standard pressure in mmHg."""
BODY = 37.0


class GasCondition(StrEnum):
    """Under which conditions a volume of gas is stated."""

    BTPS = "BTPS"
    ATPS = "ATPS"
    ATPD = "ATPD"
    STPD = "STPD"


class Ambient(Struct, frozen=True):
    """Where the gas is: degC and mmHg; `humidity` is what stands in gas that is stated as dry, 0 to 1 of saturation.

    A humidity below 0 is not refused, so that a doubt can be carried through from either side of it.
    """

    temperature: float
    pressure: float = STANDARD
    humidity: float = 0.0


def vapour_pressure(temperature: float) -> float:
    """Pressure of saturated water vapour in mmHg at a temperature in degC, 0 to 60 (Buck 1981; from memory).

    47.1 mmHg at 37 degC; textbooks of physiology take 47.
    """
    if not 0.0 <= temperature <= 60.0:
        raise ValueError("the formula holds from 0 to 60 degC")
    kilopascal = 0.61121 * math.exp((18.678 - temperature / 234.5) * (temperature / (257.14 + temperature)))
    return kilopascal * 7.500617


def factor(from_: GasCondition, to: GasCondition, ambient: Ambient) -> float:
    """By what a volume under one condition is multiplied to state it under another: V2 / V1 = P1 T2 / (P2 T1)."""
    positive(pressure=ambient.pressure)
    first, second = _state(from_, ambient), _state(to, ambient)
    return first[0] * second[1] / (second[0] * first[1])


def _state(condition: GasCondition, ambient: Ambient) -> tuple[float, float]:
    """Pressure of the dry part in mmHg, temperature in K."""
    if condition is GasCondition.STPD:
        return STANDARD, KELVIN
    temperature = BODY if condition is GasCondition.BTPS else ambient.temperature
    wet = ambient.humidity if condition is GasCondition.ATPD else 1.0
    dry = ambient.pressure - (vapour_pressure(temperature) * wet if wet else 0.0)
    if dry <= 0.0:
        raise ValueError("at this pressure there is nothing but water vapour")
    return dry, temperature + KELVIN


def compliance(volume: float, plateau: float, end_expiratory: float) -> float:
    """Static compliance: volume over plateau less end-expiratory pressure; mL and cmH2O give mL/cmH2O."""
    if not plateau > end_expiratory:
        raise ValueError("the plateau pressure must lie above the end-expiratory pressure")
    return volume / (plateau - end_expiratory)


def leak(compliance_: float, first: float, last: float, seconds: float) -> float:
    """Leak in mL/min of a closed circuit whose pressure falls from `first` to `last` cmH2O within `seconds`.

    `compliance_` in mL/cmH2O. The mean over the fall: a leak is larger at the higher pressure.
    """
    positive(compliance=compliance_, seconds=seconds)
    if last > first:
        raise ValueError("the pressure rose: that is no leak")
    return compliance_ * (first - last) * 60.0 / seconds
