"""The models of physics: heat against scipy's own integrator, a long pulse and a trumpet against numpy."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from scipy import integrate

from asfound.physics import bioheat, energy, heat, infusion

from .method import Line, inside, process, spoken

SAMPLES = 10_000_000
DAY = 24 * 120
TIMES = 7
HEAT_BOUND, PULSE_BOUND, TRUMPET_BOUND, MEMORY_BOUND = 3.0, 3.0, 20.0, 1.0
MEMORY = 200
"""MiB that a pulse of ten million samples may need at most, the samples themselves included."""


def _oracle(nodes: np.ndarray, seconds: float) -> object:
    """The same equation on the same grid, by scipy's banded LSODA at its own default tolerances."""
    gaps = np.diff(nodes)
    volume = np.r_[gaps[0] / 2, (gaps[1:] + gaps[:-1]) / 2, gaps[-1] / 2]
    blood, skin = bioheat.Blood(), heat.SKIN
    cooling = blood.perfusion * blood.density * blood.heat
    per = skin.density * skin.heat * volume

    def slope(_: float, temperature: np.ndarray) -> np.ndarray:
        flow = skin.conductivity / gaps * np.diff(temperature)
        net = cooling * (blood.temperature - temperature) * volume
        net[:-1] += flow
        net[1:] -= flow
        net /= per
        net[0] = net[-1] = 0.0
        return net

    start = np.full(nodes.size, 33.0)
    start[0] = 55.0
    return integrate.solve_ivp(slope, (0.0, seconds), start, method="LSODA", lband=1, uband=1)


def _peak(work: str) -> float:
    """Peak memory in MiB of a process that makes the samples and does `work` with them."""
    script = (
        "import numpy as np\n"
        "from tests.bench.readings import peak\n"
        f"t = np.arange({SAMPLES}, dtype=float)\n"
        "t *= 1e-9\n"
        "v = np.divide(t, -5e-3)\n"
        "np.exp(v, out=v)\n"
        f"{work}\n"
        "print(peak())"
    )
    return float(process([sys.executable, "-c", script], Path.cwd()))


def measure() -> list[Line]:
    """Four lines; samples and grids stand ready before the clock runs."""
    nodes = np.asarray(bioheat.grid(0.01))
    surface = bioheat.Surface(temperature=55.0)
    blood = bioheat.Blood()

    def flow() -> object:
        # The same question asked again is answered from memory; here it is worked out each time.
        bioheat._solved.cache_clear()
        return bioheat.bioheat(surface, 60.0, nodes=tuple(nodes), blood=blood)

    ours, theirs = inside([flow, lambda: _oracle(nodes, 60.0)], TIMES)
    lines = [
        Line("a minute of heat in skin, 400 steps", "scipy's banded LSODA, same grid", ours / theirs, HEAT_BOUND,
             spoken(ours), spoken(theirs), f"{nodes.size} nodes"),
    ]  # fmt: skip
    t = np.arange(SAMPLES) * 1e-9
    v = np.exp(-t / 5e-3)
    ours, theirs = inside([lambda: energy.pulse(t, v, 50.0), lambda: np.trapezoid(v * v, t)], TIMES)
    lines.append(
        Line("energy, peak and phases of ten million samples", "numpy's trapezoid of their squares", ours / theirs,
             PULSE_BOUND, spoken(ours), spoken(theirs))
    )  # fmt: skip
    bare = _peak("")
    peak = _peak("from asfound.physics import energy\nenergy.pulse(t, v, 50.0)")
    lines.append(
        Line("peak memory of that", f"{MEMORY} MiB", peak / MEMORY, MEMORY_BOUND, f"{peak:.0f} MiB", f"{bare:.0f} MiB",
             "theirs: the samples alone")
    )  # fmt: skip
    flows = np.random.default_rng(1).normal(5.0, 0.2, DAY)
    repeat = range(200)
    ours, theirs = inside(
        [lambda: [infusion.trumpet(flows, 5.0) for _ in repeat], lambda: [np.cumsum(flows) for _ in repeat]], TIMES
    )
    lines.append(
        Line("trumpet of a day at half minutes", "one cumulative sum of numpy", ours / theirs, TRUMPET_BOUND,
             spoken(ours / len(repeat)), spoken(theirs / len(repeat)))
    )  # fmt: skip
    return lines
