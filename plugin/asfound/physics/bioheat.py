"""Heat in one dimension below the skin, with blood flow: the equation of Pennes, solved on a grid that grows with
depth.

rho c dT/dt = k d2T/dx2 + w rho_b c_b (T_a - T) + q. Crank-Nicolson in time after four short backward steps that take
out the ringing of a sudden start; conservative differences in space; a banded solver of LAPACK through scipy. (Dense
algebra would do without loading that, but its last digits hang on the machine.)
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from msgspec import Struct, structs

from asfound.physics.energy import positive
from asfound.physics.heat import SKIN, Material

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Column = NDArray[np.float64]


class Blood(Struct, frozen=True):
    """Perfusion in 1/s (volume of blood in a volume of tissue), density, specific heat, temperature in degC.

    Skin: 0.0005 to 0.002 1/s (from memory). One mL in 100 g and a minute is about 1.67e-4 1/s.
    """

    perfusion: float = 0.001
    density: float = 1060.0
    heat: float = 3770.0
    temperature: float = 37.0


class Surface(Struct, frozen=True):
    """What is done to the surface: held at `temperature` degC, or heated by `flux` W/m2, or by a film of `film` W/(m2
    K) from surroundings at `temperature`. Exactly one kind: a film with its temperature, a flux, or a temperature
    alone."""

    temperature: float | None = None
    flux: float | None = None
    film: float | None = None


class Run(Struct, frozen=True, eq=False, dict=True):
    """Temperatures in degC: `at[n][m]` at depth m and time n. Depths in m from the surface, times in s.

    `states` are the same numbers as an array, which nothing writes to.
    """

    depths: tuple[float, ...]
    times: tuple[float, ...]
    states: Column

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Run) and (self.depths, self.times, self.at) == (other.depths, other.times, other.at)

    def __hash__(self) -> int:
        return hash((self.depths, self.times))

    @cached_property
    def at(self) -> tuple[tuple[float, ...], ...]:
        """Every temperature, by time and depth."""
        return tuple(tuple(row) for row in self.states.tolist())

    @property
    def surface(self) -> tuple[float, ...]:
        """Temperature of the surface at each time."""
        return tuple(self.states[:, 0].tolist())

    def history(self, depth: float) -> tuple[tuple[float, float], ...]:
        """(s, degC) at a depth in m, straight between the nodes."""
        if not 0.0 <= depth <= self.depths[-1]:
            raise ValueError("this depth lies outside the grid")
        place = next(n for n, one in enumerate(self.depths) if one >= depth)
        if place == 0:
            return tuple(zip(self.times, self.surface, strict=True))
        low, high = self.depths[place - 1], self.depths[place]
        part = (depth - low) / (high - low)
        above, below = self.states[:, place - 1], self.states[:, place]
        return tuple(zip(self.times, (above + part * (below - above)).tolist(), strict=True))


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
    more = {"start": start, "source": source, "steps": steps, "nodes": nodes, "of": of, "course": course}
    return bioheats(surface, seconds, (blood,), **more)[0]  # type: ignore[arg-type]


def bioheats(
    surface: Surface,
    seconds: float,
    bloods: Sequence[Blood | None],
    *,
    start: float = 33.0,
    source: float = 0.0,
    steps: int = 400,
    nodes: Sequence[float] | None = None,
    of: Material = SKIN,
    course: Sequence[tuple[float, float]] = (),
) -> tuple[Run, ...]:
    """The same for several flows of blood at once, one run each, as if each were asked for alone; raises as it does."""
    positive(seconds=seconds, steps=steps)
    kind = (surface.temperature is not None, surface.flux is not None, surface.film is not None)
    if kind not in {(True, False, False), (False, True, False), (True, False, True)}:
        raise ValueError("a surface is held at a temperature, or heated by a flux, or by a film from a temperature")
    if course:
        moments = [when for when, _ in course]
        if surface.temperature is None or any(not b > a for a, b in pairwise(moments)):
            raise ValueError("a course is one of the surface's temperature, with times that ascend")
        surface = structs.replace(surface, temperature=course[0][1])
    x = tuple(nodes) if nodes is not None else grid(max(0.01, 6.0 * math.sqrt(of.diffusivity * seconds)))
    return _solved(surface, seconds, tuple(bloods), start, source, steps, x, of, tuple(course))


@lru_cache(maxsize=16)
def _solved(
    surface: Surface,
    seconds: float,
    bloods: tuple[Blood | None, ...],
    start: float,
    source: float,
    steps: int,
    nodes: tuple[float, ...],
    of: Material,
    course: tuple[tuple[float, float], ...],
) -> tuple[Run, ...]:
    """One run a flow. Their equations stand side by side in one system that nothing couples. Kept, since what is drawn
    of a calculation asks for what its answers asked for already."""
    import numpy as np

    x = np.asarray(nodes)
    n, gaps = x.size, np.diff(x)
    volume = np.empty(n)
    volume[0], volume[-1], volume[1:-1] = gaps[0] / 2.0, gaps[-1] / 2.0, (gaps[1:] + gaps[:-1]) / 2.0
    between = of.conductivity / gaps
    cooling = np.array([[0.0 if one is None else one.perfusion * one.density * one.heat] for one in bloods])
    arterial = np.array([[0.0 if one is None else one.temperature] for one in bloods])
    loss = np.zeros((len(bloods), n))
    loss[:, :-1] += between
    loss[:, 1:] += between
    loss += cooling * volume
    gain = (cooling * arterial + source) * volume
    if surface.flux is not None:
        gain[:, 0] += surface.flux
    if surface.film is not None and surface.temperature is not None:
        loss[:, 0] += surface.film
        gain[:, 0] += surface.film * surface.temperature
    state = np.full((len(bloods), n), float(start))
    held = surface.temperature is not None and surface.film is None
    if held:
        state[:, 0] = surface.temperature
    flows = _Flows(of.density * of.heat * volume, between, loss, gain, -cooling * volume, surface.film, held)
    step = seconds / steps
    states = np.empty((steps + 1, len(bloods), n))
    states[0] = state
    short = _driven(course, [number * step / 4.0 for number in range(4)], step / 4.0)
    *_, states[1] = flows.through(state, step / 4.0, 1.0, short)
    long = _driven(course, [number * step for number in range(1, steps)], step)
    for number, state in enumerate(flows.through(states[1], step, 0.5, long), 2):
        states[number] = state
    states.flags.writeable = False
    times = tuple(step * number for number in range(steps + 1))
    return tuple(Run(nodes, times, states[:, number]) for number in range(len(bloods)))


def _driven(
    course: Sequence[tuple[float, float]], starts: Sequence[float], step: float
) -> list[tuple[float, float, float] | None]:
    """What a course is at the beginning and at the end of each step, and what it began with; None where none is."""
    if not course:
        return [None] * len(starts)
    import numpy as np

    moments, given = zip(*course, strict=True)
    begin = np.interp(starts, moments, given).tolist()
    end = np.interp([at + step for at in starts], moments, given).tolist()
    return [(one, two, given[0]) for one, two in zip(begin, end, strict=True)]


class _Flows(Struct, frozen=True):
    """The equations of several flows of blood: a row each of `loss`, `gain` and `blood`, what they share in one."""

    capacity: Column
    between: Column
    loss: Column
    gain: Column
    blood: Column
    film: float | None
    held: bool

    def through(
        self, state: Column, step: float, share: float, driven: Sequence[tuple[float, float, float] | None]
    ) -> Iterator[Column]:
        """The states after each of several equal steps; `share` of each is taken backward."""
        import numpy as np
        from scipy.linalg.lapack import dgttrf, dgttrs

        rate = self.capacity / step
        main = rate + share * self.loss
        beside = np.zeros((2, *main.shape))
        beside[:, :, :-1] = -share * self.between
        lower, upper = beside
        main[:, -1], lower[:, -2] = 1.0, 0.0
        if self.held:
            main[:, 0], upper[:, 0] = 1.0, 0.0
        # Between the last node of one flow and the first of the next nothing stands, so that neither knows the other.
        made = dgttrf(lower.ravel()[:-1], main.ravel(), upper.ravel()[:-1])[:5]
        for drive in driven:
            known = rate * state + self.gain
            if share < 1.0:
                flow = self.between * (state[:, 1:] - state[:, :-1])
                spread = self.blood * state
                spread[:, :-1] += flow
                spread[:, 1:] -= flow
                if self.film is not None:
                    spread[:, 0] -= self.film * state[:, 0]
                known += (1.0 - share) * spread
            known[:, -1] = state[:, -1]
            if self.held:
                known[:, 0] = state[:, 0]
            if drive is not None:
                begin, end, first = drive
                if self.film is not None:
                    known[:, 0] += self.film * (share * end + (1.0 - share) * begin - first)
                else:
                    known[:, 0] = end
            state = dgttrs(*made, known.ravel(), overwrite_b=1)[0].reshape(known.shape)
            yield state
