"""Temperature probes: a thermistor with a resistance that does not belong to it, and whether a probe lay on skin or in
air."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from asfound.physics.energy import positive

KELVIN = 273.15


class Thermistor(Struct, frozen=True):
    """A negative-coefficient thermistor by one point and its B value.

    resistance   ohm at `temperature` degC      b   K, from the maker's curve or from two points of an exemplar
    """

    resistance: float
    temperature: float
    b: float

    def ohms(self, temperature: float) -> float:
        """Resistance in ohm at a temperature in degC: R0 exp(B (1/T - 1/T0))."""
        return self.resistance * math.exp(self.b * (1.0 / (temperature + KELVIN) - 1.0 / (self.temperature + KELVIN)))

    def degrees(self, ohms: float) -> float:
        """Temperature in degC that a resistance in ohm is taken for."""
        positive(ohms=ohms)
        return 1.0 / (1.0 / (self.temperature + KELVIN) + math.log(ohms / self.resistance) / self.b) - KELVIN


def b_value(first: tuple[float, float], second: tuple[float, float]) -> float:
    """B in K from two points (degC, ohm) of one thermistor."""
    (t1, r1), (t2, r2) = first, second
    positive(first_resistance=r1, second_resistance=r2)
    if t1 == t2:
        raise ValueError("two temperatures are needed")
    return math.log(r1 / r2) / (1.0 / (t1 + KELVIN) - 1.0 / (t2 + KELVIN))


def shift_by_series(thermistor: Thermistor, temperature: float, series: float) -> float:
    """By how many kelvin a display is off with `series` ohm in the way (below 0 for a shunt is not meant), at degC."""
    if series < 0.0:
        raise ValueError("a series resistance is not below 0")
    return thermistor.degrees(thermistor.ohms(temperature) + series) - temperature


class DoorAnswer(Struct, frozen=True):
    """How a logged temperature answered to door openings.

    fall     K, mean over the openings of the lowest value within the window after less the value at the opening
    chance   how often openings placed elsewhere in the log give a fall at least as deep, from 0 to 1
    openings how many lay far enough from the ends of the log to be used
    """

    fall: float
    chance: float
    openings: int


def door_answer(values: Sequence[float], openings: Sequence[int], window: int) -> DoorAnswer:
    """Whether a logged temperature falls when the door opens, as one that lies in air does and one on skin does not.

    values     evenly spaced, degC      openings   places in it at which the door opened      window   samples after
    The chance comes from every shift of the openings along the log (a circular shift test), so it needs no
    random number. Raises ValueError where no opening can be used.
    """
    n = len(values)
    if window < 1 or n < 3 * window:
        raise ValueError("the log is too short for this window")
    usable = sorted({at for at in openings if 0 <= at < n - window})
    if not usable:
        raise ValueError("no opening lies far enough from the end of the log")
    change = [min(values[at + 1 : at + 1 + window]) - values[at] for at in range(n - window)]

    def mean(places: Sequence[int]) -> float:
        return math.fsum(change[at] for at in places) / len(places)

    fall = mean(usable)
    size = len(change)
    shifts = [mean([(at + by) % size for at in usable]) for by in range(size)]
    return DoorAnswer(fall, sum(1 for one in shifts if one <= fall + 1e-12) / size, len(usable))
