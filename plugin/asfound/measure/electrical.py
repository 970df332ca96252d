"""Arithmetic of electrical safety and of electrosurgical current: small, exact, each with its source.

Every argument names its unit. None of these functions holds a limit of its own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from decimal import ROUND_HALF_EVEN, Context, Decimal

_KEPT = Context(prec=34, rounding=ROUND_HALF_EVEN)


def scale_to_nominal(current: Decimal, measured_voltage: Decimal, nominal_voltage: Decimal) -> Decimal:
    """Leakage current as it would be at nominal mains: in proportion to the voltage.

    IEC 62353:2014, 5.3.4 (from memory). Both voltages are in one unit and above 0; the result has the unit of the
    current. To be applied once: a current that an instrument has already scaled is not scaled again.
    """
    if not (measured_voltage > 0 and nominal_voltage > 0):
        raise ValueError("mains voltages are above 0")
    return _KEPT.divide(_KEPT.multiply(current, nominal_voltage), measured_voltage)


def worst_of_polarity(forward: Decimal | None, reverse: Decimal | None) -> Decimal | None:
    """The larger in size of the readings with the source one way round and the other, without sign.

    IEC 62353:2014, 5.3.2.2: with direct current the test is repeated reversed and the higher value
    recorded. None where either is missing, since half a test has no worst value.
    """
    if forward is None or reverse is None:
        return None
    return max(abs(forward), abs(reverse))


def worst_of(readings: Sequence[Decimal]) -> int | None:
    """Place of the reading that is largest in size, the first of equals; None of none."""
    if not readings:
        return None
    return max(range(len(readings)), key=lambda at: (abs(readings[at]), -at))


def bipolar_leakage_limit(rated_power: Decimal) -> Decimal:
    """Limit of high-frequency leakage of a bipolar output, in mA, from its maximum rated power in W.

    The power in 200 ohm is at most 1 % of the rated one: I = sqrt(0.01 P / 200) (IEC 60601-2-2, 201.8.7.3.101 a) 3);
    from memory).
    """
    if not rated_power > 0:
        raise ValueError("a rated power is above 0")
    share = _KEPT.divide(_KEPT.multiply(rated_power, Decimal("0.01")), Decimal(200))
    return _KEPT.multiply(_KEPT.sqrt(share), Decimal(1000))


def power_in(current: Decimal, resistance: Decimal) -> Decimal:
    """Power in W of a current in A through a resistance in ohm."""
    return _KEPT.multiply(_KEPT.multiply(current, current), resistance)


def heating_factor(activations: Iterable[tuple[Decimal, Decimal]]) -> Decimal:
    """Heating factor in A2s: the sum of I2 t over activations (current in A, time in s).

    It leaves out what cools between activations, so it is an upper view of a row of them.
    """
    total = Decimal(0)
    for current, seconds in activations:
        if seconds < 0:
            raise ValueError("an activation does not last less than no time")
        total = _KEPT.add(total, _KEPT.multiply(_KEPT.multiply(current, current), seconds))
    return total


def time_to_heating_factor(factor: Decimal, current: Decimal) -> Decimal:
    """Seconds at a current in A until a heating factor in A2s is reached."""
    if current == 0:
        raise ValueError("without current it is never reached")
    return _KEPT.divide(factor, _KEPT.multiply(current, current))


def current_density(current: Decimal, area: Decimal) -> Decimal:
    """Mean current density: current over area, for instance mA and cm2 give mA/cm2.

    The mean over the whole area: under an edge it is higher.
    """
    if not area > 0:
        raise ValueError("an area is above 0")
    return _KEPT.divide(current, area)


def corner_frequency(resistance: float, capacitance: float) -> float:
    """Corner frequency in Hz of a resistance in ohm and a capacitance in F: 1 / (2 pi R C).

    The measuring network of IEC 60601-1, figure 12 (from memory: 10 kohm, 0.015 uF) has its corner near 1
    kHz.
    """
    if not (resistance > 0.0 and capacitance > 0.0):
        raise ValueError("resistance and capacitance are above 0")
    return 1.0 / (2.0 * math.pi * resistance * capacitance)
