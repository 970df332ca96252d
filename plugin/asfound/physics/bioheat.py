"""Heat in one dimension below the skin, with blood flow: the equation of Pennes, solved on a grid that grows with
depth.

rho c dT/dt = k d2T/dx2 + w rho_b c_b (T_a - T) + q. Crank-Nicolson in time after four short backward steps that take
out the ringing of a sudden start; conservative differences in space; a banded solver of LAPACK through scipy.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from asfound.physics.energy import positive
from asfound.physics.heat import SKIN, Material

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Column = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Blood:
    """Perfusion in 1/s (volume of blood in a volume of tissue), density, specific heat, temperature in degC.

    Skin: 0.0005 to 0.002 1/s (from memory). One mL in 100 g and a minute is about 1.67e-4 1/s.
    """

    perfusion: float = 0.001
    density: float = 1060.0
    heat: float = 3770.0
    temperature: float = 37.0


@dataclass(frozen=True, slots=True)
class Surface:
    """What is done to the surface: held at `temperature` degC, or heated by `flux` W/m2, or by a film of `film` W/(m2
    K) from surroundings at `temperature`. Exactly one kind: a film with its temperature, a flux, or a temperature
    alone."""

    temperature: float | None = None
    flux: float | None = None
    film: float | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """Temperatures in degC: `at[n][m]` at depth m and time n. Depths in m from the surface, times in s."""

    depths: tuple[float, ...]
    times: tuple[float, ...]
    at: tuple[tuple[float, ...], ...]

    def history(self, depth: float) -> tuple[tuple[float, float], ...]:
        """(s, degC) at a depth in m, straight between the nodes."""
        if not 0.0 <= depth <= self.depths[-1]:
            raise ValueError("this depth lies outside the grid")
        place = next(n for n, one in enumerate(self.depths) if one >= depth)
        if place == 0:
            return tuple((t, row[0]) for t, row in zip(self.times, self.at, strict=True))
        low, high = self.depths[place - 1], self.depths[place]
        part = (depth - low) / (high - low)
        return tuple(
            (t, row[place - 1] + part * (row[place] - row[place - 1]))
            for t, row in zip(self.times, self.at, strict=True)
        )


BASAL = 80e-6
"""Depth of the basal layer in m on thin skin (from memory); it lies deeper where skin is thick."""


def grid(depth: float, first: float = 20e-6, growth: float = 1.04) -> tuple[float, ...]:
    """Nodes from the surface to a depth in m; cells begin with `first` m and grow."""
    positive(depth=depth, first=first)
    nodes, cell = [0.0], first
    while nodes[-1] < depth:
        nodes.append(min(depth, nodes[-1] + cell))
        if depth - nodes[-1] < cell / 2.0:
            nodes[-1] = depth
        cell *= growth
    return tuple(nodes)


def bioheat(
    surface: Surface,
    seconds: float,
    *,
    start: float = 33.0,
    source: float = 0.0,
    steps: int = 400,
    nodes: Sequence[float] | None = None,
    of: Material = SKIN,
    blood: Blood | None = None,
    course: Sequence[tuple[float, float]] = (),
) -> Run:
    """Temperature below the surface over some seconds. The far end is kept at its starting temperature.

    start   degC throughout at the beginning      source   W/m3, the same at every depth
    steps   equal steps of time that are given back, besides the beginning      blood   None leaves blood flow out
    course  (s, degC) that `surface.temperature` takes over time instead of standing still, straight between
    Raises ValueError for what is not above 0 and for a surface that is not one of the three kinds.
    """
    import numpy as np
    from scipy.linalg.lapack import dgttrf, dgttrs

    positive(seconds=seconds, steps=steps)
    x = np.asarray(nodes if nodes is not None else grid(max(0.01, 6.0 * math.sqrt(of.diffusivity * seconds))))
    kind = (surface.temperature is not None, surface.flux is not None, surface.film is not None)
    if kind not in {(True, False, False), (False, True, False), (True, False, True)}:
        raise ValueError("a surface is held at a temperature, or heated by a flux, or by a film from a temperature")
    moments, given = [when for when, _ in course], [warm for _, warm in course]
    if course:
        if surface.temperature is None or any(not b > a for a, b in pairwise(moments)):
            raise ValueError("a course is one of the surface's temperature, with times that ascend")
        surface = replace(surface, temperature=given[0])
    n, gaps = x.size, np.diff(x)
    volume = np.empty(n)
    volume[0], volume[-1], volume[1:-1] = gaps[0] / 2.0, gaps[-1] / 2.0, (gaps[1:] + gaps[:-1]) / 2.0
    between = of.conductivity / gaps
    capacity = of.density * of.heat * volume
    cooling = 0.0 if blood is None else blood.perfusion * blood.density * blood.heat
    arterial = 0.0 if blood is None else blood.temperature
    loss = np.zeros(n)
    loss[:-1] += between
    loss[1:] += between
    loss += cooling * volume
    gain = (cooling * arterial + source) * volume
    if surface.flux is not None:
        gain[0] += surface.flux
    if surface.film is not None and surface.temperature is not None:
        loss[0] += surface.film
        gain[0] += surface.film * surface.temperature
    fixed = [n - 1]
    state = np.full(n, float(start))
    if kind == (True, False, False) and surface.temperature is not None:
        fixed.append(0)
        state[0] = surface.temperature

    def factors(step: float, share: float) -> tuple[Column, Column, Column, Column, Column]:
        main = capacity / step + share * loss
        lower, upper = -share * between.copy(), -share * between.copy()
        for node in fixed:
            main[node] = 1.0
            if node == 0:
                upper[0] = 0.0
            else:
                lower[-1] = 0.0
        made = dgttrf(lower, main, upper)
        return made[0], made[1], made[2], made[3], made[4]

    def advance(now: Column, at: float, step: float, share: float, made: tuple[Column, ...]) -> Column:
        known = capacity / step * now + gain
        if share < 1.0:
            flow = between * np.diff(now)
            spread = -cooling * volume * now
            spread[:-1] += flow
            spread[1:] -= flow
            if surface.film is not None:
                spread[0] -= surface.film * now[0]
            known += (1.0 - share) * spread
        known[fixed] = now[fixed]
        if course:
            begin, end = (float(np.interp(when, moments, given)) for when in (at, at + step))
            if surface.film is not None:
                known[0] += surface.film * (share * end + (1.0 - share) * begin - given[0])
            else:
                known[0] = end
        return np.asarray(dgttrs(made[0], made[1], made[2], made[3], made[4], known)[0])

    step = seconds / steps
    kept = [state]
    short = factors(step / 4.0, 1.0)
    for n in range(4):
        state = advance(state, n * step / 4.0, step / 4.0, 1.0, short)
    kept.append(state)
    long = factors(step, 0.5)
    for number in range(1, steps):
        state = advance(state, number * step, step, 0.5, long)
        kept.append(state)
    times = tuple(step * number for number in range(steps + 1))
    return Run(tuple(x.tolist()), times, tuple(tuple(row.tolist()) for row in kept))


def decay_length(of: Material = SKIN, blood: Blood | None = None) -> float:
    """Depth in m over which a steady warmth falls to 1/e under blood flow: sqrt(k / (w rho_b c_b))."""
    flow = blood or Blood()
    positive(perfusion=flow.perfusion)
    return math.sqrt(of.conductivity / (flow.perfusion * flow.density * flow.heat))
