"""Shock at mains frequency: what a contact would carry, from measured voltages, sources and published body impedances.

Figures of people's bodies are percentiles of small populations under stated contacts. They say what is plausible;
nothing here says that somebody felt or suffered anything.
"""

from __future__ import annotations

import bisect
import math
from collections.abc import Sequence
from itertools import product

from msgspec import Struct

from asfound.physics.energy import positive

BODY_MODEL = 1000.0
"""Ohm: the body of measuring networks (IEC 60601-1, figure 12; from memory)."""

BODY_IMPEDANCE: tuple[tuple[float, float, float, float], ...] = (
    (25, 1750, 3250, 6100), (50, 1375, 2500, 4600), (75, 1125, 2000, 3600), (100, 990, 1725, 3125),
    (125, 900, 1550, 2675), (150, 850, 1400, 2350), (175, 825, 1325, 2175), (200, 800, 1275, 2050),
    (225, 775, 1225, 1900), (400, 700, 950, 1275), (500, 625, 850, 1150), (1000, 575, 775, 1050),
)  # fmt: skip
"""V, then ohm that 5, 50 and 95 % of people do not exceed: hand to hand, large dry contact (IEC TS 60479-1:2005, table
1; from memory). The edition of 1994 differs by up to 40 %. A low percentage is a low impedance, and so the worse
case."""


BODY_IMPEDANCE_1994: tuple[tuple[float, float, float, float], ...] = (
    (100, 1200, 1875, 3200), (220, 1000, 1350, 2125), (1000, 700, 1050, 1500),
)  # fmt: skip
"""The same in the edition of 1994, the three rows at hand (from memory)."""

LEVELS: tuple[tuple[str, float, float, str], ...] = (
    ("felt", 0.5, 1.0, "IEC 60479-1, line a: 0.5 mA (from memory); a safety agency: tingle at 1 mA (confirmed)"),
    ("muscles act, one may still let go", 5.0, 10.0, "IEC 60479-1, line b: 10 mA, 5 mA in later texts (from memory)"),
    ("99.5 % can let go", 6.0, 9.0, "A let-go study: women 6 mA, men 9 mA (confirmed in its abstract)"),
    ("half can let go", 10.5, 16.0, "A let-go study: women 10.5 mA, men 16 mA (secondary)"),
    ("breathing stops, current across the chest", 20.0, 40.0, "The abstract of that study (confirmed)"),
)  # fmt: skip
"""What people feel or suffer at mains frequency, r.m.s. through the body: name, from mA, to mA, source."""


class Percentiles(Struct, frozen=True):
    """A figure for 5, 50 and 95 % of people, in the order of the impedance they belong to."""

    p5: float
    p50: float
    p95: float


def body_impedance(voltage: float, rows: tuple[tuple[float, float, float, float], ...] = BODY_IMPEDANCE) -> Percentiles:
    """Body impedance in ohm at a touch voltage in V, 25 to 1000, straight lines between the printed rows.

    rows  of another edition, where it is asked for
    Raises ValueError outside: below 25 V the skin decides, and the table has nothing to say.
    """
    if not rows[0][0] <= voltage <= rows[-1][0]:
        raise ValueError(f"the table goes from {rows[0][0]:g} V to {rows[-1][0]:g} V")
    at = min(max(1, bisect.bisect_left([row[0] for row in rows], voltage)), len(rows) - 1)
    low, high = rows[at - 1], rows[at]
    part = (voltage - low[0]) / (high[0] - low[0])
    return Percentiles(*(low[n] + part * (high[n] - low[n]) for n in (1, 2, 3)))


def body_by_table(
    open_circuit: float, source: float, rows: tuple[tuple[float, float, float, float], ...] = BODY_IMPEDANCE
) -> Percentiles:
    """Current in A through 5, 50 and 95 % of bodies, each at the voltage that stands across it behind `source` ohm.

    The impedance of a body falls with the voltage across it, and that voltage is what the source leaves: both are found
    together. Raises ValueError where the voltage across a body lies outside the table.
    """
    if source < 0.0:
        raise ValueError("a source impedance is not below 0")
    low, high = float(rows[0][0]), float(rows[-1][0])

    def through(place: int) -> float:
        def ohms(volts: float) -> float:
            found = body_impedance(volts, rows)
            return (found.p5, found.p50, found.p95)[place]

        def left(volts: float) -> float:
            return open_circuit * ohms(volts) / (source + ohms(volts))

        below, above = low, high
        if left(below) < below or left(above) > above:
            raise ValueError(f"the voltage across the body lies outside {low:g} V to {high:g} V")
        for _ in range(80):
            middle = (below + above) / 2.0
            below, above = (middle, above) if left(middle) >= middle else (below, middle)
        return below / ohms(below)

    return Percentiles(through(0), through(1), through(2))


def touch_current(open_circuit: float, source: float, body: float = BODY_MODEL) -> float:
    """Current in A through a body (ohm) from a source of `open_circuit` V behind `source` ohm."""
    positive(body=body)
    if source < 0.0:
        raise ValueError("a source impedance is not below 0")
    return open_circuit / (source + body)


def source_impedance(open_circuit: float, loaded: float, load: float) -> float:
    """Ohm behind a source that shows `open_circuit` V unloaded and `loaded` V across `load` ohm, both r.m.s.

    The meter's own impedance belongs into `load` where it is not far above it. Magnitudes only: with a capacitive
    source the true one lies higher.
    """
    positive(load=load, loaded=loaded)
    if loaded > open_circuit:
        raise ValueError("the loaded voltage lies above the open one")
    return (open_circuit - loaded) * load / loaded


def fibrillation_current(seconds: float) -> tuple[float, float]:
    """Current in A that makes the heart of 1 in 200 people fibrillate: 0.116 / sqrt(t) at 50 kg, 0.157 / sqrt(t) at
    70 kg.

    IEEE Std 80 (from memory), 0.03 s to 3 s, at mains frequency between hand and foot or hands.
    """
    if not 0.03 <= seconds <= 3.0:
        raise ValueError("the formula holds from 0.03 s to 3 s")
    return 0.116 / math.sqrt(seconds), 0.157 / math.sqrt(seconds)


# --- isolated power


def monitor_check_resistance(line_voltage: float, alarm: float = 5e-3) -> float:
    """Resistance in ohm from one line to earth at which a line-isolation monitor must alarm: V over the alarm current.

    200 ohm for each volt at 5 mA (NFPA 99; secondary): 120 V give 24 kohm.
    """
    positive(line_voltage=line_voltage, alarm=alarm)
    return line_voltage / alarm


def isolated_touch(line_voltage: float, hazard: float, insulation: float, body: float = BODY_MODEL) -> float:
    """Current in A through a body that touches a case whose earth is open, in an isolated-power room.

    `hazard` A is the total hazard current of the room with leakage balanced on both lines: its source is half the line
    voltage behind that half over the hazard current. `insulation` ohm lies from one line to the case.
    """
    positive(line_voltage=line_voltage, hazard=hazard, body=body)
    if insulation < 0.0:
        raise ValueError("an insulation resistance is not below 0")
    half = line_voltage / 2.0
    return half / (insulation + half / hazard + body)


class Combination(Struct, frozen=True):
    """One state of a device with one of a socket, and the current a body between case and earth would carry, in A."""

    device: str
    socket: str
    faults: int
    current: float


def combinations(
    line_voltage: float,
    device: Sequence[tuple[str, float, float]],
    socket: Sequence[tuple[str, float]],
    body: float = BODY_MODEL,
) -> tuple[Combination, ...]:
    """Every state of a device with every state of a socket, on earthed mains, largest current first.

    device   (name, ohm from the live conductor to the case, ohm of the earth conductor of its cord; infinite
    when open);
             the first is the sound one
    socket   (name, ohm of the socket's earth; infinite when open); the first is the sound one
    A body lies parallel to the earth. Two faults are shown as two: the usual criterion is one.
    """
    positive(line_voltage=line_voltage, body=body)
    found = []
    for (n, (name, insulation, cord)), (m, (outlet, earth)) in product(enumerate(device), enumerate(socket)):
        way = cord + earth
        parallel = body if math.isinf(way) else body * way / (body + way)
        voltage = line_voltage * parallel / (insulation + parallel)
        found.append(Combination(name, outlet, (n > 0) + (m > 0), voltage / body))
    return tuple(sorted(found, key=lambda one: (-one.current, one.faults, one.device, one.socket)))
