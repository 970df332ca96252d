"""Rooms and their supply: pairs of faults in device and socket, and what the monitor of an isolated supply shows.

Resistances alone, at mains frequency. Real leakage is largely capacitive; sizes then add to less than their sum, so
what is computed here for a current through a person is an upper view.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import product

from msgspec import Struct

from asfound.physics.energy import positive
from asfound.physics.shock import BODY_MODEL


class DeviceState(Struct, frozen=True):
    """A device: ohm from its live conductor to its case, and ohm of the earth conductor of its cord."""

    insulation: float
    cord: float


class Pair(Struct, frozen=True):
    """One state of a device in one socket, and what it brings.

    device, socket  their places among the states handed in; 0 is the sound one
    faults          how many of the two are not the sound one
    grounded        A through a body between case and earth, on a supply with one line earthed
    isolated        the same on the isolated supply
    shown           A of total hazard current that a monitor of the isolated supply forecasts
    With the other line earthed by another fault an isolated supply does what a grounded one does.
    """

    device: int
    socket: int
    faults: int
    grounded: float
    isolated: float
    shown: float


def _body_current(volts: float, source: float, way: float, body: float) -> float:
    """A through a body that lies beside a way to earth of `way` ohm, behind `source` ohm."""
    beside = body * way / (body + way)
    return volts * beside / (source + beside) / body


def pairs(
    voltage: float,
    hazard: float,
    devices: Sequence[DeviceState],
    sockets: Sequence[float],
    body: float = BODY_MODEL,
) -> tuple[Pair, ...]:
    """Every state of a device with every earth of a socket, in the order handed in.

    voltage  V between the lines, or of the grounded supply      hazard  A, total of the room without the device
    sockets  ohm of the earth of each socket; the first of both is the sound one
    On the isolated supply the room's leakage is balanced: half the voltage behind half the voltage over `hazard`.
    ValueError where something is not above 0, or a state is missing.
    """
    positive(voltage=voltage, hazard=hazard, body=body)
    if not devices or not sockets:
        raise ValueError("at least one state of a device and one socket are needed")
    if any(one.insulation <= 0.0 or one.cord < 0.0 for one in devices) or any(ohm < 0.0 for ohm in sockets):
        raise ValueError("an insulation lies above 0, and an earth not below it")
    half, found = voltage / 2.0, []
    for (d, one), (s, socket) in product(enumerate(devices), enumerate(sockets)):
        way = one.cord + socket
        found.append(
            Pair(
                d, s, (d > 0) + (s > 0),
                _body_current(voltage, one.insulation, way, body),
                _body_current(half, one.insulation + half / hazard, way, body),
                hazard + voltage / (one.insulation + way),
            )
        )  # fmt: skip
    return tuple(found)


ALIKE = 1e-3
"""Share within which two currents are taken for one: an open way of 1e9 ohm and one of 2e9 are both open."""


def ranked(found: Sequence[Pair], current: Callable[[Pair], float]) -> tuple[Pair, ...]:
    """Pairs with the largest of a current first; of those within a thousandth the one with fewest faults."""
    left = sorted(found, key=lambda one: -current(one))
    order: list[Pair] = []
    while left:
        most = current(left[0])
        alike = [one for one in left if current(one) >= most * (1.0 - ALIKE)]
        order += sorted(alike, key=lambda one: (one.faults, one.device, one.socket))
        left = left[len(alike) :]
    return tuple(order)


class BuildUp(Struct, frozen=True):
    """Hazard current as devices are added: where each step starts and ends, in the unit of the steps."""

    steps: tuple[tuple[float, float], ...]
    total: float
    largest: int
    crossed: int | None
    """Place of the step that reaches the alarm; None where none does; -1 where what was there before reaches it."""


def build_up(before: float, steps: Sequence[float], alarm: float) -> BuildUp:
    """Add steps to what is there before them. A step may be below 0, where leakages on both lines cancel.

    ValueError without a step, or where the sum falls below 0.
    """
    if not steps:
        raise ValueError("at least one device is needed")
    positive(alarm=alarm)
    if before < 0.0:
        raise ValueError("what is there before the devices is not below 0")
    at, spans, crossed = before, [], -1 if before >= alarm else None
    for n in range(len(steps)):
        end = math.fsum((before, *steps[: n + 1]))
        if end < 0.0:
            raise ValueError("the sum falls below 0")
        spans.append((at, end))
        if crossed is None and end >= alarm:
            crossed = n
        at = end
    return BuildUp(tuple(spans), at, max(range(len(steps)), key=lambda n: steps[n]), crossed)


def second_fault(voltage: float, hazard: float, body: float = BODY_MODEL) -> tuple[float, float]:
    """A through a body between a line and earth, on a supply of total hazard current `hazard` A: (least, most).

    The hazard current is what a dead connection of one line to earth would carry, so behind the voltage that stands
    open from that line to earth lies that voltage over the hazard current. Balanced leakage leaves half the line
    voltage there, leakage all on the other line the whole of it; the truth lies between.
    """
    positive(voltage=voltage, hazard=hazard, body=body)
    least, most = (volts / (volts / hazard + body) for volts in (voltage / 2.0, voltage))
    return least, most


def display_error(voltage: float, resistor: float, shown: float, before: float = 0.0) -> float:
    """What a monitor shows in A less what is there: `before` A and the current of a resistor in ohm from line to earth.

    `before` was read with the same monitor without the resistor, so an error that all its readings share stays hidden.
    """
    positive(voltage=voltage, resistor=resistor)
    if shown < 0.0 or before < 0.0:
        raise ValueError("a current shown is not below 0")
    return shown - before - voltage / resistor
