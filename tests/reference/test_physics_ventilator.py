"""Gas, tubes, breaths, alarms and logs against what stands outside: closed forms, scipy, Monte Carlo, textbook factors.

Each check names its source and how well that was read. *Computed* says that a figure was worked out by hand from a
formula whose source is named.
"""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from scipy import integrate, optimize, stats

from asfound.physics import breaths, gas, log_gaps, ventilation
from asfound.physics.calc import Answer, calculations, evaluate


def answers(name: str, values: dict, rows: dict | None = None, **doubts: float) -> dict[str, Answer]:
    return {one.slug: one for one in evaluate(calculations()[name], values, rows, doubts)}


# --- gas conditions. ISO 4135 for the names (from memory); ideal gas law.


def test_a_tenth_that_is_only_the_gas_condition() -> None:
    """402 mL dry at 22 degC and 760 mmHg are 450 mL BTPS; unconverted they look 10.7 % low (computed: 402/450 - 1)."""
    found = answers("gas-volume", {"volume": 402.0, "from": "ATPD", "to": "BTPS", "set": 450.0})
    assert found["volume"].value == pytest.approx(450.2, abs=0.3)
    assert found["factor"].value == pytest.approx(1.120, abs=5e-4)
    assert found["error"].value == pytest.approx(0.0, abs=0.1)
    assert found["unconverted"].value == pytest.approx(-10.667, abs=1e-3)


def test_dry_gas_is_dry_by_measure_and_not_by_name() -> None:
    """Gas that is wholly saturated is ATPS, whatever it was called: 1.091 at 22 degC (textbooks of physiology, from
    memory)."""
    dry, wet = (
        gas.factor(gas.GasCondition.ATPD, gas.GasCondition.BTPS, gas.Ambient(22.0, humidity=humidity))
        for humidity in (0.0, 1.0)
    )
    assert wet == pytest.approx(gas.factor(gas.GasCondition.ATPS, gas.GasCondition.BTPS, gas.Ambient(22.0)), rel=1e-12)
    assert (dry, wet) == (pytest.approx(1.120, abs=5e-4), pytest.approx(1.091, abs=1.5e-3))


def test_doubts_of_temperature_pressure_and_humidity_against_monte_carlo() -> None:
    """JCGM 101:2008 by a seeded draw over the plain law p V / T, written out here again."""
    found = answers(
        "gas-volume",
        {"volume": 402.0, "from": "ATPD", "to": "BTPS", "temperature": 22.0, "pressure": 760.0, "humidity": 10.0},
        volume=6.0, temperature=1.0, pressure=3.0, humidity=10.0,
    )  # fmt: skip
    draw = np.random.default_rng(20260424)
    n = 200_000
    volume, t = draw.normal(402.0, 3.0, n), draw.normal(22.0, 0.5, n)
    p, h = draw.normal(760.0, 1.5, n), draw.normal(0.10, 0.05, n)
    vapour = 7.500617 * 0.61121 * np.exp((18.678 - t / 234.5) * (t / (257.14 + t)))
    body = gas.vapour_pressure(37.0)
    btps = volume * (p - h * vapour) / (p - body) * 310.15 / (t + 273.15)
    assert found["volume"].value == pytest.approx(btps.mean(), rel=1e-4)
    assert found["volume"].doubt == pytest.approx(2.0 * btps.std(), rel=0.01)


# --- an open tube. Rohrer's form (from memory); least squares against scipy.

FLOWS = [2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 15.0, 12.0, 8.0, 4.0]
PRESSURES = [0.77, 2.28, 4.66, 7.72, 11.70, 16.33, 24.95, 16.41, 7.80, 2.31]


def test_curve_of_a_tube_against_scipy() -> None:
    found = ventilation.tube_fit(FLOWS, PRESSURES)
    theirs, covariance = optimize.curve_fit(lambda q, a, b: a * q + b * q * q, FLOWS, PRESSURES, p0=(0.1, 0.1))
    assert (found.linear, found.quadratic) == pytest.approx(tuple(theirs), rel=1e-6)
    assert found.variances == pytest.approx((covariance[0, 0], covariance[1, 1], covariance[0, 1]), rel=1e-5)
    for flow in (3.0, 8.04, 14.0):
        slope = np.array([flow, flow * flow])
        half = stats.t.ppf(0.97725, len(FLOWS) - 2) * math.sqrt(slope @ covariance @ slope)
        assert found.doubt(flow) == pytest.approx(half, rel=2e-4)
        assert found.at(flow) == pytest.approx(theirs @ slope, rel=1e-7)


def test_flow_at_which_the_limit_is_passed_against_a_root_finder() -> None:
    found = ventilation.tube_fit(FLOWS, PRESSURES)
    root = optimize.brentq(lambda q: found.at(q) - 5.0, 0.1, 20.0)
    assert found.flow_at(5.0) == pytest.approx(root, rel=1e-9)
    straight = ventilation.tube_fit([1.0, 2.0, 3.0, 4.0], [0.5, 1.0, 1.5, 2.0])
    assert straight.flow_at(5.0) == pytest.approx(10.0, rel=1e-9), "Poiseuille alone: no square to divide by"


def test_a_tube_whose_band_meets_the_limit_is_not_settled() -> None:
    """The side is told only beyond the doubt (JCGM 106:2012, for the idea; from memory)."""
    rows = {"flow": FLOWS, "pressure": PRESSURES}
    above = answers("tube-back-pressure", {"flow": 8.04, "limit": 5.0}, rows, limit=0.2)
    assert above["margin"].value == pytest.approx(2.8, abs=0.1)
    assert "stays above" in above["margin"].said
    below = answers("tube-back-pressure", {"flow": 4.0, "limit": 5.0}, rows, limit=0.2)
    assert "falls below" in below["margin"].said
    near = answers("tube-back-pressure", {"flow": 6.25, "limit": 5.0}, rows, limit=0.5)
    assert "either side" in near["margin"].said


def test_back_pressure_of_the_narrative() -> None:
    """7.8 +/- 0.2 cmH2O over an alarm that acts at 4.9 +/- 0.2: 2.9 cmH2O, root of squares 0.283 (computed)."""
    found = answers("alarm-margin", {"limit": 4.9, "open": 7.8}, limit=0.2, open=0.2)
    assert found["margin"].value == pytest.approx(2.9)
    assert found["margin"].doubt == pytest.approx(math.hypot(0.2, 0.2))
    assert "stays above" in found["margin"].said
    assert found["share"].value == pytest.approx(100.0 * 2.9 / 4.9)


# --- leaks. Closed forms of the two models, computed.


def test_a_leak_in_proportion_is_an_exponential() -> None:
    """p = 40 exp(-t/20 s), 2 mL/cmH2O: at 30 cmH2O C p / tau = 3 mL/s = 180 mL/min."""
    t = [0.5 * n for n in range(41)]
    found = ventilation.pressure_decay(t, [40.0 * math.exp(-one / 20.0) for one in t], 2.0, 30.0)
    assert found.laminar == pytest.approx(180.0, rel=1e-9)
    assert found.rms[0] < 1e-9 < found.rms[1], "the other model does not lie on it"
    assert found.low <= found.laminar <= found.high


def test_a_leak_by_the_root_is_a_parabola() -> None:
    """Root of p falls by 0.05 a second from root 40: at 30 cmH2O C 2 root(30) 0.05 = 1.0954 mL/s = 65.73 mL/min."""
    t = [0.5 * n for n in range(41)]
    found = ventilation.pressure_decay(t, [(math.sqrt(40.0) - 0.05 * one) ** 2 for one in t], 2.0, 30.0)
    assert found.orifice == pytest.approx(2.0 * 2.0 * math.sqrt(30.0) * 0.05 * 60.0, rel=1e-9)
    assert found.rms[1] < 1e-9 < found.rms[0]


def test_a_fall_integrated_by_scipy_gives_back_its_leak() -> None:
    """dp/dt = -(G p)/C solved by scipy: the leak at 25 cmH2O is G p."""
    conductance, capacity = 0.08, 1.6
    made = integrate.solve_ivp(
        lambda _, p: -conductance * p / capacity, (0.0, 20.0), [35.0], t_eval=np.linspace(0.0, 20.0, 81), rtol=1e-10
    )
    found = ventilation.pressure_decay(list(made.t), list(made.y[0]), capacity, 25.0)
    assert found.laminar == pytest.approx(conductance * 25.0 * 60.0, rel=1e-6)


def test_compliance_is_the_slope_of_volume_on_pressure() -> None:
    pressures, volumes = [0.0, 10.2, 19.9, 30.1, 40.0], [0.0, 10.0, 20.0, 30.0, 40.0]
    found = answers("circuit-compliance", {}, {"pressure": pressures, "volume": volumes})
    theirs = stats.linregress(pressures, volumes)
    assert found["compliance"].value == pytest.approx(theirs.slope, rel=1e-9)
    half = stats.t.ppf(0.97725, 3) * theirs.stderr
    assert found["compliance"].doubt == pytest.approx(half, rel=2e-4)


# --- breaths. Made traces, whose figures are known before; sums against scipy.


def trace(rate: float, inspiration: float, flow: float, seconds: float, step: float = 0.01) -> dict[str, np.ndarray]:
    """Square breaths of constant flow, pressure 3 cmH2O between and rising to 18 at the end of each."""
    t = np.arange(0.0, seconds, step)
    within = (t + 0.5) % (60.0 / rate)
    on = within < inspiration
    return {
        "time": t,
        "pressure": np.where(on, 3.0 + 15.0 * within / inspiration, 3.0),
        "flow": np.where(on, flow, 0.0),
    }


def test_rate_volume_and_pressures_of_a_made_trace() -> None:
    """8.04 L/min for 3 s ten times a minute: 402 mL a breath (computed)."""
    rows = trace(10.0, 3.0, 8.04, 63.0)
    found = answers("breath-traces", {"limit": 5.0, "delay": 14.0}, rows)
    assert found["rate"].value == pytest.approx(10.0, rel=1e-3)
    assert found["volume"].value == pytest.approx(402.0, rel=2e-3)
    assert found["peak"].value == pytest.approx(18.0, abs=0.06)
    assert found["end"].value == pytest.approx(3.0, abs=0.06)
    assert found["inspiration"].value == pytest.approx(3.0, abs=0.011)
    assert found["breaths"].value == 9.0
    one = rows["time"] >= found_start(rows)
    until = rows["time"] < found_start(rows) + 6.0
    summed = integrate.trapezoid(rows["flow"][one & until] / 0.06, rows["time"][one & until])
    assert found["volume"].value == pytest.approx(summed, rel=3e-3)


def found_start(rows: dict[str, np.ndarray]) -> float:
    return float(breaths.breaths(rows["time"], rows["pressure"], rows["flow"]).starts[0])


def test_sensor_noise_at_rest_makes_no_breath() -> None:
    rows = trace(12.0, 1.5, 20.0, 60.0)
    draw = np.random.default_rng(7)
    noisy = rows["flow"] + draw.normal(0.0, 0.3, rows["flow"].size)
    found = breaths.breaths(rows["time"], rows["pressure"], noisy)
    clean = breaths.breaths(rows["time"], rows["pressure"], rows["flow"])
    assert found.count == clean.count
    assert found.volumes.mean() == pytest.approx(clean.volumes.mean(), rel=0.02)


def test_longest_time_below_a_limit_against_counting() -> None:
    draw = random.Random(11)
    for _ in range(40):
        n = draw.randint(2, 60)
        t = [0.1 * k for k in range(n)]
        p = [draw.choice((2.0, 8.0, 5.0)) for _ in range(n)]
        best = 0.0
        for a in range(n):
            for b in range(a + 2, n):
                if all(one < 5.0 for one in p[a + 1 : b]):
                    best = max(best, t[b] - t[a])
        assert breaths.longest_below(t, p, 5.0) == pytest.approx(best)


def test_an_alarm_that_waits_is_met_by_a_pressure_that_stays_below() -> None:
    low = trace(10.0, 3.0, 8.04, 60.0)
    low["pressure"] = np.minimum(low["pressure"], 4.0)
    assert "it would act" in answers("breath-traces", {"limit": 5.0, "delay": 14.0}, low)["below"].said
    high = trace(10.0, 3.0, 8.04, 60.0)
    assert "it would not act" in answers("breath-traces", {"limit": 5.0, "delay": 14.0}, high)["below"].said


# --- sound. Acoustics, exact; the 15 dB of ISO 7731 from memory.


def test_levels_add_as_energies_and_fall_with_distance() -> None:
    """Two equal sounds are 3.0103 dB more than one, ten of them 10; twice the distance is 6.0206 dB less (computed)."""
    assert ventilation.together(66.0, 66.0) == pytest.approx(66.0 + 10.0 * math.log10(2.0))
    assert ventilation.together(*[50.0] * 10) == pytest.approx(60.0)
    assert ventilation.at_distance(58.0, 1.0, 2.0) == pytest.approx(58.0 - 20.0 * math.log10(2.0))


def test_an_alarm_of_58_in_66() -> None:
    """58 in 66 dB(A): 8 below; together 66.64, so the alarm adds 0.64 dB (computed)."""
    found = answers("alarm-audibility", {"alarm": 58.0, "noise": 66.0, "distance": 2.0}, alarm=1.5, noise=1.5)
    assert found["above"].value == pytest.approx(-8.0)
    assert found["above"].doubt == pytest.approx(math.hypot(1.5, 1.5))
    assert "quieter" in found["above"].said
    assert found["adds"].value == pytest.approx(10.0 * math.log10(10**5.8 + 10**6.6) - 66.0)
    # Both ends move by the doubt of the difference, whose parts are independent.
    both = math.hypot(1.5, 1.5)
    ends = (found["where-heard"].low, found["where-heard"].high)
    assert ends == (pytest.approx(-14.0206 - both, abs=1e-3), pytest.approx(-8.0 + both))
    assert found["short"].value == pytest.approx(-23.0)


# --- a cylinder. Size times pressure: common practice, no source.


def test_a_cylinder_lasts_as_long_as_its_content() -> None:
    """10 L at 200 bar hold 2000 L, at 10 L/min for 200 min; 2 L at 110 bar at 5 L/min for 44 min (common practice)."""
    assert ventilation.cylinder_content(10.0, 200.0) == 2000.0
    assert ventilation.cylinder_minutes(10.0, 200.0, 10.0) == 200.0
    assert ventilation.cylinder_minutes(2.0, 110.0, 5.0) == 44.0
    assert ventilation.cylinder_minutes(2.0, 20.0, 5.0, reserve=20.0) == 0.0


def test_doubt_of_a_duration_against_monte_carlo() -> None:
    found = answers(
        "cylinder-duration", {"size": 2.0, "pressure": 110.0, "flow": 5.0}, size=0.1, pressure=3.0, flow=0.5
    )
    draw = np.random.default_rng(5)
    n = 200_000
    times = draw.normal(2.0, 0.05, n) * draw.normal(110.0, 1.5, n) / draw.normal(5.0, 0.25, n)
    assert found["time"].doubt == pytest.approx(2.0 * times.std(), rel=0.02)


# --- logs. Counted out by hand.


def test_a_log_that_lacks_two_numbers_and_goes_back_once() -> None:
    numbers = [1, 2, 3, 6, 7, 8, 9]
    times = [0.0, 10.0, 20.0, 50.0, 45.0, 55.0, 65.0]
    found = log_gaps.log_state(numbers, times)
    assert found.left_out == 2
    assert [(gap.after, gap.before) for gap in found.missing] == [(3, 6)]
    assert [(gap.after, gap.before, gap.seconds) for gap in found.backwards] == [(6, 7, -5.0)]
    assert found.usual == 10.0
    assert [(gap.after, gap.seconds) for gap in found.gaps] == []
    assert [gap.after for gap in log_gaps.log_state(numbers, times, longest=25.0).gaps] == [3]


def test_newest_first_is_the_same_log() -> None:
    numbers, times = list(range(50, 0, -1)), [float(n) for n in range(50, 0, -1)]
    found = log_gaps.log_state(numbers, times)
    assert (found.left_out, found.backwards, found.twice, found.gaps) == (0, (), (), ())


def test_a_number_that_stands_twice() -> None:
    assert log_gaps.log_state([1, 2, 2, 3], [0.0, 1.0, 1.0, 2.0]).twice == (2,)


@pytest.mark.parametrize(
    ("event", "capacity", "said"),
    [
        (5.0, 0.0, "covers the event"),
        (500.0, 0.0, "ends before the event"),
        (-5.0, 0.0, "begins after the event"),
        (60.0, 0.0, "in a gap of 70 s, between 5 and 6"),
        (5.0, 8.0, "The store is full"),
        (5.0, 9.0, "no gap lies there."),
    ],
)
def test_whether_a_record_speaks_of_the_event(event: float, capacity: float, said: str) -> None:
    rows = {"number": [1, 2, 3, 4, 5, 6, 7, 8], "time": [0.0, 10.0, 20.0, 30.0, 40.0, 110.0, 120.0, 130.0]}
    found = answers("log-completeness", {"event": event, "capacity": capacity}, rows)
    assert said in found["reaches-back"].said
    assert found["gaps"].value == 1.0


# --- what cannot be computed is said.


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (lambda: ventilation.tube_fit([1.0, 2.0, 3.0], [1.0, 2.0, 3.0]), "at least four"),
        (lambda: ventilation.tube_fit([0.0, 2.0, 2.0, 2.0], [0.0, 2.0, 2.0, 2.0]), "two different ones"),
        (lambda: ventilation.tube_fit([2.0, 4.0, 8.0, 12.0], [4.0, 4.0, 2.0, 1.0]), "does not rise"),
        (lambda: ventilation.pressure_decay([0.0, 1.0, 2.0, 3.0, 4.0], [5.0] * 5, 2.0, 5.0), "does not fall"),
        (lambda: ventilation.pressure_decay([0.0, 1.0, 2.0, 3.0, 4.0], [5.0, 3.0, 1.0, 0.5, 0.0], 2.0, 5.0), "above 0"),
        (lambda: breaths.breaths([0.0, 1.0, 1.0], [0.0] * 3, [0.0] * 3), "do not ascend"),
        (lambda: breaths.breaths([0.0, 1.0, 2.0], [0.0] * 3, [0.0] * 3), "no gas goes into"),
        (lambda: breaths.breaths([0.0, 1.0, 2.0, 3.0], [0.0] * 4, [0.0, 9.0, 9.0, 0.0]), "fewer than two"),
        (lambda: ventilation.cylinder_content(2.0, -1.0), "not below 0"),
        (lambda: log_gaps.log_state([1, 2.5, 3], [0.0, 1.0, 2.0]), "whole"),
        (lambda: log_gaps.log_state([1, 2], [0.0, 1.0]), "at least three"),
    ],
)
def test_what_cannot_be_computed_says_why(made: object, said: str) -> None:
    assert callable(made)
    with pytest.raises(ValueError, match=said):
        made()


def test_traces_and_back_pressure_are_drawn() -> None:
    of = calculations()["breath-traces"]
    rows = trace(10.0, 3.0, 8.04, 63.0)
    given = {"limit": 5.0, "delay": 14.0}
    assert of.plots is not None
    drawn = of.plots(given, rows, evaluate(of, given, rows))
    assert [one.name for one in drawn] == ["pressure", "flow", "volume"]
    assert drawn[0].levels[0].value == 5.0
    assert max(y for _, y in drawn[0].curves[0].points) == pytest.approx(float(rows["pressure"].max()))
    assert max(y for _, y in drawn[2].curves[0].points) == pytest.approx(402.0, rel=5e-3), "begins anew each breath"
    tube = calculations()["tube-back-pressure"]
    assert tube.plots is not None
    given = {"flow": 8.04, "limit": 5.0}
    fit = {"flow": FLOWS, "pressure": PRESSURES}
    (plot,) = tube.plots(given, fit, evaluate(tube, given, fit))
    assert len(plot.dots) == len(FLOWS)
    assert "cmH₂O stand before the open tube" in plot.result
