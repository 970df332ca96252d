"""Records of shocks against closed forms, scipy and numpy; each check names what it rests on.

Circuit theory and numerical libraries need no authority. What IEC 60601-2-4 counts (loads, R peak to pulse peak) is
from memory.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import scipy.integrate
import scipy.signal
from hypothesis import given
from hypothesis import strategies as st

from asfound.model.plots import PlotKind
from asfound.physics import energy, shocks
from asfound.physics.calc import Answer, calculations, evaluate
from asfound.physics.sampled import held

C, RI, V0 = 150e-6, 5.0, 1795.0
PHASES = (6e-3, 4e-3)
GAP = 0.4e-3


def biphasic(t: np.ndarray, load: float = 50.0, more: float = 0.0, volts: float = V0, at: float = 2e-3) -> np.ndarray:
    """Voltage across a load of one capacitor turned round after the first phase; `more` ohm stands in the path."""
    whole = load + RI + more
    tau = whole * C
    first, second = t - at, t - at - PHASES[0] - GAP
    left = volts * math.exp(-PHASES[0] / tau)
    one = np.where((first >= 0) & (first < PHASES[0]), volts * load / whole * np.exp(-first / tau), 0.0)
    two = np.where((second >= 0) & (second < PHASES[1]), -left * load / whole * np.exp(-second / tau), 0.0)
    return one + two


def times(step: float = 1e-5, length: float = 20e-3) -> np.ndarray:
    return np.arange(round(length / step)) * step


def answers(name: str, values: dict[str, Any], rows: dict[str, Any], doubts: Any = None) -> dict[str, Answer]:
    return {one.slug: one for one in evaluate(calculations()[name], values, rows, doubts)}


# --- closed forms


def test_one_phase_without_inner_resistance_is_the_closed_form_of_a_truncated_exponential() -> None:
    """150 uF, 1600 V, 50 ohm, 12 ms: 184.1737 J; 100 uF, 2000 V, 50 ohm, 8 ms: 191.8476 J (computed elsewhere)."""
    assert shocks.truncated_at(150e-6, 1600.0, 0.0, 50.0, [12e-3])[0] == pytest.approx(184.1737, abs=5e-5)
    assert shocks.truncated_at(100e-6, 2000.0, 0.0, 50.0, [8e-3])[0] == pytest.approx(191.8476, abs=5e-5)


@given(st.floats(20.0, 200.0), st.floats(0.0, 20.0), st.floats(1e-3, 1e-2), st.floats(1e-3, 1e-2))
def test_two_phases_against_scipy(load: float, inside: float, one: float, two: float) -> None:
    """scipy.integrate.solve_ivp on dv/dt = -v / (R + Ri) C as oracle; turning round costs no energy."""

    def slope(_: float, state: np.ndarray) -> list[float]:
        current = state[0] / (load + inside)
        return [-current / C, current * current * load]

    made = scipy.integrate.solve_ivp(slope, (0.0, one + two), [V0, 0.0], rtol=1e-10, atol=1e-10)
    joules, tilts = shocks.truncated_at(C, V0, inside, load, [one, two])
    assert joules == pytest.approx(made.y[1, -1], rel=1e-7)
    left = V0 * (1 - tilts[0]) * (1 - tilts[1])
    assert left == pytest.approx(made.y[0, -1], rel=1e-7)


@pytest.mark.parametrize("load", shocks.LOADS)
def test_a_sampled_pulse_at_every_load_against_its_closed_form(load: float) -> None:
    """Loads of IEC 60601-2-4 (from memory); the closed form is circuit theory. 10 us leave less than 0.3 %."""
    t = times()
    found = energy.pulse(t, biphasic(t, load), load)
    joules, tilts = shocks.truncated_at(C, V0, RI, load, PHASES)
    assert found.energy == pytest.approx(joules, rel=3e-3)
    assert [one.tilt for one in found.phases] == pytest.approx(tilts, abs=2e-3)
    assert [one.duration for one in found.phases] == pytest.approx(PHASES, abs=2.1e-5)
    assert found.peak_current == pytest.approx(V0 / (load + RI), rel=1e-3)


def test_loads_are_those_of_the_standard() -> None:
    """25, 50, 75, 100, 125, 150 and 175 ohm: IEC 60601-2-4, 201.12.1 (from memory)."""
    assert shocks.LOADS == (25, 50, 75, 100, 125, 150, 175)
    found = answers("energy-over-loads", {"capacitance": 150.0, "voltage": V0, "inside": RI, "first": 6.0,
                                          "second": 4.0}, {})  # fmt: skip
    for load in shocks.LOADS:
        wanted = shocks.truncated_at(C, V0, RI, load, PHASES)[0]
        assert found[f"into-{load:g}"].value == pytest.approx(wanted, rel=1e-12)
    assert found["stored"].value == pytest.approx(0.5 * C * V0 * V0)


# --- what is wrong with a record


def record(volts: np.ndarray, t: np.ndarray, load: float = 50.0) -> tuple[energy.Pulse, str]:
    found = energy.pulse(t, volts, load)
    return found, " ".join(shocks.faults(held(t, volts), found))


def test_a_good_record_has_no_fault() -> None:
    t = times()
    assert record(biphasic(t), t)[1] == ""


def test_an_offset_is_told_with_the_energy_it_makes() -> None:
    """Taking 40 V off every sample and integrating anew with numpy as oracle."""
    t = times()
    clean = biphasic(t)
    found, said = record(clean + 40.0, t)
    true = float(np.trapezoid(clean * clean, t)) / 50.0
    assert "rests at 40 V" in said and f"{true:.4g} J" in said
    assert abs(found.energy - true) > 0.5
    off = answers("pulse-energy", {"load": 50.0, "rest": "taken off"}, {"time": t, "voltage": clean + 40.0})
    assert off["energy"].value == pytest.approx(true, rel=1e-9)


def test_no_rest_before_the_pulse_is_told() -> None:
    t = times()
    _, said = record(biphasic(t, at=1e-4), t)
    assert "Only 10 samples lie before the pulse" in said


@pytest.mark.parametrize(("low", "high"), [(-2000.0, 1200.0), (-500.0, 2000.0), (-500.0, 1200.0)])
def test_a_recorder_at_its_end_is_told_whichever_sign(low: float, high: float) -> None:
    t = times()
    _, said = record(np.clip(biphasic(t), low, high), t)
    assert said.count("may have been at its end") == (high < 1600) + (low > -800)


def test_uneven_steps_and_too_few_samples_are_told() -> None:
    t = np.sort(np.random.default_rng(7).uniform(0.0, 20e-3, 100))
    _, said = record(biphasic(t), t)
    assert "not evenly spaced" in said
    t = times(5e-4)
    assert "Only 2" in record(biphasic(t), t)[1]


def test_a_record_cut_within_the_pulse_is_told() -> None:
    t = times()
    assert "ends within the pulse" in record(biphasic(t)[:600], t[:600])[1]


# --- doubt


def test_doubt_of_the_recorder_and_of_the_load_against_monte_carlo() -> None:
    """20 000 draws (k = 2: half of each doubt as standard deviation), numpy; energy goes with V squared over R."""
    t = times(4e-5)
    v = biphasic(t)
    found = answers("pulse-energy", {"load": 50.0}, {"time": t, "voltage": v}, {"load": 0.25, "scale": 0.6})["energy"]
    rng = np.random.default_rng(11)
    scale, load = rng.normal(1.0, 0.003, 20_000), rng.normal(50.0, 0.125, 20_000)
    drawn = float(np.trapezoid(v * v, t)) * scale**2 / load
    assert found.doubt == pytest.approx(2.0 * float(drawn.std()), rel=0.03)


# --- two paths


@given(st.floats(0.0, 5.0), st.floats(25.0, 175.0))
def test_resistance_in_a_path_is_found_again(more: float, load: float) -> None:
    """The closed form of circuit theory, with so many ohm put into the first path."""
    t = times()
    found = shocks.pair(t, biphasic(t, load, more), biphasic(t, load), load, RI)
    assert found.series == pytest.approx(more, abs=1e-6 * load)
    assert found.share <= 1.0 + 1e-12 and found.peaks <= 1.0 + 1e-12


def test_two_paths_are_compared_from_their_rise() -> None:
    """The same pulse half a millisecond later, moved by numpy, is the same pulse."""
    t = times()
    found = shocks.pair(t, biphasic(t), np.roll(biphasic(t), 50), 50.0)
    assert found.share == pytest.approx(1.0, abs=1e-9) and found.apart < 1e-6 * V0


def test_an_open_path_is_no_pulse() -> None:
    """Through an open cable nothing arrives: it is said, and no ratio is made up."""
    t = times()
    with pytest.raises(ValueError, match="no pulse"):
        shocks.pair(t, np.zeros_like(t), biphasic(t), 50.0)


# --- time to ready


def switches(key: float, ready: float, step: float = 0.01) -> dict[str, np.ndarray]:
    t = np.arange(0.0, 20.0, step)
    lit = np.where(t >= ready, 4.8, 0.2)
    return {"time": t, "key": np.where((t >= key) & (t < key + 0.3), 5.0, 0.0), "ready": lit}


@given(st.floats(0.1, 4.0), st.floats(1.0, 15.0))
def test_time_to_ready_within_a_step(key: float, took: float) -> None:
    rows = switches(key, key + took)
    found = answers("charge-time", {}, rows)["charge"]
    assert found.value == pytest.approx(took, abs=0.0101)
    # Two rectangles of one step (JCGM 100:2008, 4.3.7 and F.2.2.1, confirmed): k = 2.
    assert found.doubt == pytest.approx(2.0 * math.sqrt(2 * 0.01**2 / 12), rel=1e-6)


def test_a_ready_that_was_on_before_the_key_does_not_count() -> None:
    rows = switches(5.0, 9.0)
    rows["ready"][(rows["time"] > 1.0) & (rows["time"] < 2.0)] = 4.8
    assert shocks.charge(rows["time"], rows["key"], rows["ready"]).took == pytest.approx(4.0)


def test_what_is_no_charge() -> None:
    rows = switches(5.0, 9.0)
    with pytest.raises(ValueError, match="does not come on"):
        shocks.charge(rows["time"], rows["key"], rows["ready"][::-1])
    with pytest.raises(ValueError, match="channel of the key does not move"):
        shocks.charge(rows["time"], rows["ready"] * 0, rows["ready"])
    with pytest.raises(ValueError, match="from the first sample on"):
        shocks.charge(rows["time"], 5.0 - rows["key"], rows["ready"])
    with pytest.raises(ValueError, match="do not ascend"):
        shocks.charge(rows["time"][::-1], rows["key"], rows["ready"])


# --- synchroniser


def beats(delay: float, step: float = 2e-4, noise: float = 0.02) -> dict[str, np.ndarray]:
    """A trace of beats 0.8 s apart with a T wave, a shock after the third, and what the shock leaves on the trace."""
    t = np.arange(round(3.0 / step)) * step
    rng = np.random.default_rng(5)
    ecg = rng.normal(0.0, noise, t.size) + 0.1
    for beat in (0.5, 1.3, 2.1):
        ecg += 1.2 * np.exp(-(((t - beat) / 0.012) ** 2)) + 0.3 * np.exp(-(((t - beat - 0.25) / 0.05) ** 2))
    at = 2.1 + delay
    ecg[t >= at] = 5.0
    return {"time": t, "ecg": ecg, "voltage": biphasic(t, at=at)}


@pytest.mark.parametrize("delay", [5e-3, 24.6e-3, 38.0e-3, 60.0e-3])
def test_delay_of_the_synchroniser_against_scipy(delay: float) -> None:
    """scipy.signal.find_peaks for the R waves, numpy for the pulse, as oracles; counted peak to peak (from memory)."""
    rows = beats(delay)
    before = rows["time"] < 2.1 + delay
    peaks, _ = scipy.signal.find_peaks(rows["ecg"][before], height=0.9, distance=1000)
    wanted = rows["time"][rows["voltage"].argmax()] - rows["time"][peaks[-1]]
    found = answers("synchroniser-delay", {}, rows)
    assert found["delay"].value == pytest.approx(wanted * 1e3, abs=1e-6)
    assert found["delay"].value == pytest.approx(delay * 1e3, abs=3.0)
    assert found["before"].value == len(peaks) - 1 == 2


def test_no_beat_before_the_shock() -> None:
    rows = beats(38e-3)
    with pytest.raises(ValueError, match="does not move"):
        shocks.synchronised(rows["time"], np.ones_like(rows["ecg"]), rows["voltage"])
    with pytest.raises(ValueError, match="between 0 and 1"):
        shocks.synchronised(rows["time"], rows["ecg"], rows["voltage"], least=1.0)


# --- what is drawn


def test_energy_gathered_ends_at_the_energy_and_never_falls() -> None:
    """numpy's trapezium rule over the whole as oracle, whatever the number of places."""
    t = times()
    v = biphasic(t)
    for places in (2, 7, 400, 5000):
        grown = shocks.gathered(held(t, v), 50.0, places)
        assert grown[-1][1] == pytest.approx(float(np.trapezoid(v * v, t)) / 50.0, rel=1e-12)
        assert all(b[1] >= a[1] for a, b in pairwise(grown))


def test_the_plots_keep_the_peaks_of_a_long_record() -> None:
    t = times(1e-7)
    v = biphasic(t)
    v[120_000] = -1700.0
    of = calculations()["pulse-energy"]
    rows = {"time": t, "voltage": v}
    values = {"load": 50.0, "scale": 0.0, "rest": "left"}
    assert of.plots is not None
    shape, total = of.plots(values, rows, evaluate(of, values, rows))
    drawn = [y for _, y in shape.curves[0].points]
    assert (min(drawn), max(drawn)) == (-1700.0, v.max()) and len(drawn) <= 1200
    assert shape.kind is PlotKind.WAVEFORM and "no extreme is lost" in shape.note
    assert total.curves[0].points[-1][1] == pytest.approx(energy.pulse(t, v, 50.0).energy, rel=1e-9)


@pytest.mark.parametrize("name", ["pulse-pair", "charge-time", "synchroniser-delay", "energy-over-loads"])
def test_every_plot_is_drawn_from_left_to_right(name: str) -> None:
    t = times()
    rows: dict[str, dict[str, Any]] = {
        "pulse-pair": {"time": t, "voltage": biphasic(t, more=0.08), "other": biphasic(t)},
        "charge-time": switches(1.0, 6.2),
        "synchroniser-delay": beats(38e-3),
        "energy-over-loads": {},
    }
    of = calculations()[name]
    values: dict[str, Any] = {one.name: one.default for one in of.inputs if one.default is not None}
    if name == "energy-over-loads":
        values |= {"capacitance": 150.0, "voltage": V0, "first": 6.0}
    assert of.plots is not None
    (plot,) = of.plots(values, rows[name], evaluate(of, values, rows[name]))
    assert plot.result.endswith(".") and plot.curves
    for curve in plot.curves:
        assert all(b[0] >= a[0] for a, b in pairwise(curve.points))
