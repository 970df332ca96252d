"""Probes, logs and heat of incubators and warmers against closed forms, scipy, Monte Carlo and published figures.

Each test names its source and how well it was read: `computed` is a closed form or an oracle outside the project.
"""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from scipy import optimize, signal, stats

from asfound.model.plots import PlotAxis
from asfound.physics import curve, incubator, probe
from asfound.physics.calc import Answer, calculations, evaluate
from asfound.physics.logs import doors_of, evenly, traces

SOUND = probe.Thermistor(1412.0, 36.0, 3950.0)
# A widely printed table of a bead of 2252 ohm at 25 degC, in ohm at degC (from memory; also sold by many makers).
TABLE = {25.0: 2252.0, 30.0: 1815.0, 34.0: 1536.0, 36.0: 1412.0, 37.0: 1355.0, 38.0: 1301.0, 40.0: 1200.0}


def given(**more: float) -> dict[str, float]:
    return {"resistance": 1412.0, "temperature": 36.0, "b": 3950.0, **more}


def by_key(answers: tuple[Answer, ...]) -> dict[str, Answer]:
    return {one.key: one for one in answers}


# --- curves


def test_three_coefficients_follow_the_printed_table() -> None:
    """Steinhart-Hart through 25, 34 and 40 degC gives the rest of the table to 0.05 K (table from memory)."""
    made = curve.SteinhartHart.through([(t, TABLE[t]) for t in (25.0, 34.0, 40.0)])
    for degrees, ohms in TABLE.items():
        assert made.degrees(ohms) == pytest.approx(degrees, abs=0.05)


def test_coefficients_against_a_linear_solver() -> None:
    """Three equations in three unknowns, solved by numpy (computed)."""
    points = [(20.0, 2814.0), (36.0, 1412.0), (45.0, 984.0)]
    rows = np.array([[1.0, math.log(r), math.log(r) ** 3] for _, r in points])
    want = np.linalg.solve(rows, np.array([1.0 / (t + 273.15) for t, _ in points]))
    made = curve.SteinhartHart.through(points)
    assert (made.a, made.b, made.c) == pytest.approx(tuple(want), rel=1e-8)


@pytest.mark.parametrize("degrees", [0.0, 25.0, 36.0, 41.5, 90.0])
def test_inverse_of_three_coefficients_against_a_root_finder(degrees: float) -> None:
    """The closed root of the cubic against scipy's brentq (computed)."""
    made = curve.SteinhartHart.through([(20.0, 2814.0), (36.0, 1412.0), (45.0, 984.0)])
    root = optimize.brentq(lambda r: made.degrees(r) - degrees, 1.0, 1e6, xtol=1e-10, rtol=1e-14)
    assert made.ohms(degrees) == pytest.approx(root, rel=1e-9)


def test_b_and_three_coefficients_part_by_little_near_the_skin() -> None:
    """From 34 to 38 degC one B value is enough: less than 0.02 K from the printed table (from memory; computed)."""
    b = probe.b_value((34.0, TABLE[34.0]), (38.0, TABLE[38.0]))
    one = probe.Thermistor(TABLE[36.0], 36.0, b)
    for degrees in (34.0, 36.0, 37.0, 38.0):
        assert one.degrees(TABLE[degrees]) == pytest.approx(degrees, abs=0.02)


# --- ohms in the way


def test_ohms_in_series_are_found_back() -> None:
    """1495 ohm where 1412 belong is 34.6 degC shown at 36.00, 83 ohm in series (computed)."""
    shown = SOUND.degrees(1495.0)
    assert shown == pytest.approx(34.6, abs=0.05)
    warm, cool = [36.0, 30.0], [shown, SOUND.degrees(SOUND.ohms(30.0) + 83.0)]
    assert curve.causes(SOUND, warm, cool).series.amount == pytest.approx(83.0, rel=1e-6)
    assert curve.causes(SOUND, warm, [36.5, 30.5]).series.amount < 0.0


def test_a_shunt_reads_warm_and_is_found_back() -> None:
    """1412 ohm beside 20 kohm are 1318.9 ohm (Ohm's law, computed)."""
    both = 1412.0 * 20e3 / (1412.0 + 20e3)
    assert both == pytest.approx(1318.9, abs=0.05)
    shown = SOUND.degrees(both)
    assert shown > 36.0
    cool = SOUND.ohms(30.0)
    displays = [shown, SOUND.degrees(cool * 20e3 / (cool + 20e3))]
    assert 1.0 / curve.causes(SOUND, [36.0, 30.0], displays).shunt.amount == pytest.approx(20e3, rel=1e-6)
    assert curve.causes(SOUND, [36.0, 30.0], [35.0, 29.0]).shunt.amount <= 0.0


def test_what_a_control_holds_against_a_root_finder() -> None:
    """The temperature at which bead and 83 ohm together are taken for 36.0 degC, by scipy's brentq (computed)."""
    held = curve.held_by_control(SOUND, 36.0, 83.0)
    root = optimize.brentq(lambda t: SOUND.degrees(SOUND.ohms(t) + 83.0) - 36.0, 30.0, 45.0, xtol=1e-12)
    assert held == pytest.approx(root, abs=1e-9)
    # The error grows with temperature, so a control is off by a little more than a bath at the setting shows.
    assert held - 36.0 > 36.0 - SOUND.degrees(1412.0 + 83.0)
    assert held == pytest.approx(37.47, abs=0.01)


def test_doubt_of_what_a_control_holds_against_monte_carlo() -> None:
    """JCGM 101:2008 by a seeded draw: 83.0 ohm +/- 0.4 ohm, 1412 ohm +/- 3 ohm, B 3950 K +/- 60 K, all k = 2."""
    doubts = {"series": 0.4, "resistance": 3.0, "b": 60.0}
    values = given(setting=36.0, series=83.0)
    found = by_key(evaluate(calculations()["held-by-control"], values, doubts=doubts))["held"]
    draw = random.Random(7)
    drawn = []
    for _ in range(20_000):
        sound = probe.Thermistor(draw.gauss(1412.0, 1.5), 36.0, draw.gauss(3950.0, 30.0))
        drawn.append(curve.held_by_control(sound, 36.0, draw.gauss(83.0, 0.2)))
    assert found.value == pytest.approx(float(np.mean(drawn)), abs=0.002)
    assert found.doubt == pytest.approx(2.0 * float(np.std(drawn)), rel=0.03)


# --- one cause for several errors


def test_causes_against_a_general_minimiser() -> None:
    """The ohms and the siemens that fit best, by scipy's bounded scalar minimiser (computed)."""
    bath, shown = [34.0, 36.0, 38.0, 36.0], [32.8, 34.6, 36.5, 34.6]
    found = curve.causes(SOUND, bath, shown)

    def squares(ohms: float) -> float:
        return sum((SOUND.degrees(SOUND.ohms(t) + ohms) - s) ** 2 for t, s in zip(bath, shown, strict=True))

    want = optimize.minimize_scalar(squares, bounds=(0.0, 500.0), method="bounded", options={"xatol": 1e-9}).x
    assert found.series.amount == pytest.approx(want, abs=1e-4)
    assert found.offset.amount == pytest.approx(np.mean([b - a for a, b in zip(bath, shown, strict=True)]))
    assert found.series.worst < 0.06 < found.offset.worst
    assert found.shunt.amount < 0.0, "no shunt reads cold"


def test_each_cause_is_known_by_what_it_made() -> None:
    """Errors made by one cause are laid to it, and the two others leave more over (closed forms, computed)."""
    bath = [30.0, 34.0, 38.0, 42.0]
    made = {
        "offset": [t - 1.4 for t in bath],
        "series": [SOUND.degrees(SOUND.ohms(t) + 83.0) for t in bath],
        "shunt": [SOUND.degrees(1.0 / (1.0 / SOUND.ohms(t) + 1.0 / 20e3)) for t in bath],
    }
    for name, shown in made.items():
        found = curve.causes(SOUND, bath, shown)
        worst = {one: getattr(found, one).worst for one in made}
        assert min(worst, key=worst.__getitem__) == name
        assert worst[name] < 1e-9
        assert all(gap > 0.05 for one, gap in worst.items() if one != name)
    assert curve.causes(SOUND, bath, made["series"]).series.amount == pytest.approx(83.0, abs=1e-6)
    assert 1.0 / curve.causes(SOUND, bath, made["shunt"]).shunt.amount == pytest.approx(20e3, rel=1e-6)


def test_bath_tells_what_it_cannot_part() -> None:
    """With a display in steps of 0.1 K and points 1 K apart, offset and series both go along with the readings."""
    wide = evaluate(calculations()["probe-in-bath"], given(), {"bath": [34.0, 36.0, 38.0], "shown": [32.8, 34.6, 36.5]})
    near = evaluate(calculations()["probe-in-bath"], given(), {"bath": [35.5, 36.0, 36.5], "shown": [34.1, 34.6, 35.1]})
    assert "with ohms in series." in by_key(wide)["resolved"].said
    assert "ohms in series and with an offset" in by_key(near)["resolved"].said
    assert by_key(wide)["error"].value == pytest.approx(-1.367, abs=0.001)
    # A step spread evenly (JCGM 100:2008, 4.3.7, from memory) and the bath, k = 2.
    assert by_key(wide)["error"].doubt == pytest.approx(2 * math.sqrt(0.1**2 / 12 + 0.025**2))


def test_excess_by_the_exemplars_own_curve() -> None:
    """1412 + 83 = 1495 ohm; the same excess at three temperatures, about -1.4 K in the middle (computed)."""
    three = {
        "cold": 1536.0,
        "cold-bath": 34.0,
        "middle": 1412.0,
        "middle-bath": 36.0,
        "warm": 1301.0,
        "warm-bath": 38.0,
    }
    made = by_key(evaluate(calculations()["thermistor-curve"], three))
    want = math.log(1536 / 1301) / (1 / 307.15 - 1 / 311.15)
    assert made["b"].value == pytest.approx(want) and 3900 < want < 4100
    assert abs(made["departure"].value or 0.0) < 0.02 and (made["models"].value or 1.0) < 0.02
    rows = {"bath": [34.0, 36.0, 38.0], "ohms": [1619.0, 1495.0, 1384.0]}
    found = by_key(evaluate(calculations()["probe-excess"], given(b=want), rows))
    # The ends of a table in whole ohms tell B to some 20 K, and so the middle to about an ohm.
    assert found["excess"].value == pytest.approx(83.0, abs=1.0)
    assert found["error"].value == pytest.approx(-1.4, abs=0.05)
    # A share of its own would be one share; ohms in series are a larger share the warmer it is.
    assert found["share"].low == pytest.approx(100 * 83 / 1536, abs=0.1)
    assert found["share"].high == pytest.approx(100 * 83 / 1301, abs=0.1)


# --- doors


def log_of(minutes: int, openings: list[int], depth: float, seed: int, noise: float = 0.05) -> list[float]:
    """A log of one sample a minute with seeded noise, falling by `depth` at each opening and coming back."""
    draw = random.Random(seed)
    made = [36.0 + draw.gauss(0.0, noise) for _ in range(minutes)]
    for at in openings:
        for k in range(1, 25):
            if at + k < minutes:
                made[at + k] -= depth * (math.exp(-k / 9.0) if k > 4 else k / 4.0)
    return made


def test_two_openings_are_enough_to_see_air_fall_and_are_told_to_be_two() -> None:
    """A probe in air falls at two doors beyond its noise; one that does not move is within it (made logs, computed)."""
    openings = [90, 170]
    air, skin = log_of(240, openings, 2.0, 1), log_of(240, [], 0.0, 2)
    of_air, of_skin = incubator.fall(air, openings, 10), incubator.fall(skin, openings, 10)
    assert of_air.seen and of_air.beyond < -1.5
    assert not of_skin.seen and of_skin.doubt is not None and abs(of_skin.beyond) < of_skin.doubt
    assert of_air.chance <= 3 / 230 and of_skin.chance > 0.05


def test_doubt_of_a_fall_is_students() -> None:
    """The doubt is t (95.45 %) by the spread between times sqrt(1/2 + 1/n), t from scipy (computed)."""
    openings, window = [100, 200], 10
    skin = log_of(300, [], 0.0, 4)
    found = incubator.fall(skin, openings, window)
    free, at = [], 0
    while at < 290:
        if any(at - 20 < one < at + 10 for one in openings):
            at += 1
            continue
        free.append(min(skin[at + 1 : at + 11]) - skin[at])
        at += 11
    assert found.windows == len(free) > 15
    t = stats.t.ppf(0.5 + 0.9545 / 2, len(free) - 1)
    assert found.doubt == pytest.approx(t * np.std(free, ddof=1) * math.sqrt(0.5 + 1 / len(free)), rel=1e-3)


def test_a_still_log_is_seldom_taken_for_one_that_falls() -> None:
    """Of 400 logs of mere noise about 2.3 in 100 may seem to fall (one side of 95.45 %): under 5 in 100 do."""
    seen = sum(incubator.fall(log_of(245, [], 0.0, 1000 + k), [91, 170], 10).seen for k in range(400))
    assert seen / 400 < 0.05


def test_chance_is_not_below_what_the_log_can_show() -> None:
    """A shift test over m places cannot give less than 1/m (Fisher's exact reasoning, computed)."""
    rows = {
        "time": list(range(245)), "probe": log_of(245, [90, 170], 2.0, 3), "air": log_of(245, [90, 170], 2.0, 1),
        "door": [1.0 if 91 <= k < 95 or 171 <= k < 175 else 0.0 for k in range(245)],
    }  # fmt: skip
    found = by_key(evaluate(calculations()["door-answer"], {}, rows))
    assert found["openings"].value == 2.0
    assert found["chance"].value is not None and found["chance"].value >= 100.0 / 235
    assert "falls with the air" in found["probe-fall"].said
    still = by_key(evaluate(calculations()["door-answer"], {}, rows | {"probe": log_of(245, [], 0.0, 8)}))
    assert "less than half" in still["probe-fall"].said and "2 openings" in still["probe-fall"].said
    unmoved = by_key(evaluate(calculations()["door-answer"], {}, rows | {"air": log_of(245, [], 0.0, 9)}))
    assert "cannot tell" in unmoved["probe-fall"].said
    half = by_key(evaluate(calculations()["door-answer"], {}, rows | {"probe": log_of(245, [90, 170], 1.0, 5, 0.3)}))
    assert "does not tell" in half["probe-fall"].said


def test_delay_against_a_correlation_of_scipy() -> None:
    """The delay of the best correlation is that of scipy's cross-correlation of the same pieces (computed)."""
    leads = log_of(400, [100, 250], 2.0, 5, 0.01)
    late = [leads[max(0, k - 4)] for k in range(400)]
    found = incubator.lag(leads, late, [100, 250], 20)
    assert found is not None and found.samples == 4 and found.correlation == pytest.approx(1.0, abs=1e-6)
    a, b = (np.array(one) - np.mean(one) for one in (leads, late))
    lags = signal.correlation_lags(400, 400)
    assert lags[np.argmax(signal.correlate(b, a))] == 4
    assert incubator.lag(leads, [36.0] * 400, [100, 250], 20) is None


def test_correlation_against_scipy() -> None:
    """Pearson's r of one piece, by scipy (computed)."""
    a, b = log_of(60, [20], 1.0, 1, 0.2), log_of(60, [20], 1.0, 2, 0.2)
    found = incubator.lag(a, b, [20], 1)
    assert found is not None
    want = max(stats.pearsonr(a[19:23], b[19:23]).statistic, stats.pearsonr(a[19:23], b[20:24]).statistic)
    assert found.correlation == pytest.approx(want, abs=1e-12)


# --- air and heater


def test_recovery_of_a_first_order_lag() -> None:
    """A door leaves the air 4 K low; it comes back with 8 min: within 1 K after 8 ln 4 = 11.1 min (closed form)."""
    times = [0.1 * k for k in range(1201)]
    air = [36.0 - 4.0 * math.exp(-t / 8.0) for t in times]
    found = incubator.recovery(times, air, 36.0, 0.0, 1.0, 30.0)
    assert found.back == pytest.approx(8.0 * math.log(4.0), abs=0.11)
    assert found.lowest == 32.0 and found.overshoot is None
    assert found.settled == pytest.approx(36.0, abs=1e-3)


def test_overshoot_of_a_second_order_step() -> None:
    """Overshoot of a damped second-order step is exp(-pi z / sqrt(1 - z^2)) of the step (control theory, computed)."""
    z, times = 0.5, np.arange(0.0, 40.0, 0.01)
    _, step = signal.step(signal.lti([1.0], [1.0, 2.0 * z, 1.0]), T=times)
    found = incubator.recovery(list(times), [32.0 + 4.0 * float(v) for v in step], 36.0, 0.0, 0.5, 5.0)
    assert found.overshoot == pytest.approx(4.0 * math.exp(-math.pi * z / math.sqrt(1 - z * z)), rel=1e-3)
    assert found.back is not None and found.unsteady < 0.01
    late = incubator.recovery([0.0, 1.0, 2.0, 3.0], [30.0, 31.0, 32.0, 33.0], 36.0, 0.0, 1.0, 1.0)
    assert late.back is None


def test_duty_against_a_dense_average() -> None:
    """Means of held values over unevenly spaced samples, against a fine resampling by numpy (computed)."""
    times, heater = [0.0, 3.0, 4.0, 10.0, 12.0, 20.0, 30.0], [10.0, 50.0, 0.0, 100.0, 20.0, 40.0, 99.0]
    found = incubator.duty(times, heater, 5.0)
    fine = np.arange(0.0, 30.0, 0.001)
    held = np.array(heater)[np.searchsorted(times, fine, side="right") - 1]
    assert found.mean == pytest.approx(held.mean(), abs=1e-2)
    assert found.first == pytest.approx(held[:10_000].mean(), abs=2e-2)
    assert found.last == pytest.approx(held[20_000:].mean(), abs=2e-2)
    sliding = np.convolve(held, np.ones(5000) / 5000, "valid")
    assert (found.lowest, found.highest) == pytest.approx((sliding.min(), sliding.max()), abs=0.05)


def test_height_of_a_small_source_and_of_a_long_one() -> None:
    """Irradiance goes with h^-2 from a point and with h^-1 from a long line (closed forms, computed)."""
    heights = [60.0, 70.0, 80.0, 90.0]
    assert incubator.with_height(heights, [5e4 / h**2 for h in heights]).n == pytest.approx(2.0)
    found = incubator.with_height(heights, [800.0 / h for h in heights])
    assert found.n == pytest.approx(1.0) and found.at(100.0) == pytest.approx(8.0)
    assert found.worst < 1e-9


# --- logs


def test_extremes_outlive_the_drawing_of_a_long_log() -> None:
    """A single sample that stands out of a long log is still drawn, and its doors stand at their times (computed)."""
    log = {"time": list(range(100_000)), "air": [36.0] * 100_000, "door": [0.0] * 100_000}
    log["air"][54_321], log["air"][77_777], log["door"][5] = 31.0, 39.0, 1.0
    plot = traces("air", "Air", "It stands out twice.", log, {"air": "air"}, PlotAxis("air", "degC"))
    (drawn,) = plot.curves
    assert len(drawn.points) < 1300 and {(54_321.0, 31.0), (77_777.0, 39.0)} < set(drawn.points)
    assert [one.value for one in plot.levels] == [5.0]
    assert "100" in plot.note


def test_logs_that_cannot_be_used_are_refused() -> None:
    with pytest.raises(ValueError, match="evenly"):
        evenly([0.0, 1.0, 3.0])
    with pytest.raises(ValueError, match="1 while it is open"):
        doors_of([0.0, 0.5])
    assert doors_of([0.0, 0.0, 1.0, 1.0, 0.0, 1.0]) == [1, 4]
    with pytest.raises(ValueError, match="two temperatures"):
        curve.causes(SOUND, [36.0, 36.0], [34.6, 34.6])
    with pytest.raises(ValueError, match="shorter than the window"):
        incubator.duty([0.0, 1.0], [5.0, 5.0], 10.0)
    with pytest.raises(ValueError, match="no temperature makes"):
        curve.held_by_control(SOUND, 36.0, 2000.0)
    with pytest.raises(ValueError, match="three points"):
        curve.SteinhartHart.through([(1.0, 2.0)] * 3)


@pytest.mark.parametrize("name", ["held-by-control", "probe-in-bath", "probe-excess", "door-answer", "air-recovery",
                                  "heater-duty", "heat-against-height"])  # fmt: skip
def test_every_plot_says_what_was_answered(name: str) -> None:
    """Plots are computed beside the answers from the same inputs; axes bear units, names differ, points ascend."""
    from tests.unit.cli.test_calc import ROWS, SAMPLE

    of = calculations()[name]
    values = {one.name: one.default for one in of.inputs if one.default is not None} | SAMPLE[name]
    answers = evaluate(of, SAMPLE[name], ROWS.get(name))
    assert of.plots is not None
    plots = of.plots(values, ROWS.get(name, {}), answers)
    assert plots and len({one.name for one in plots}) == len(plots)
    for one in plots:
        assert one.x.unit and one.y.unit and one.result.endswith(".")
        for drawn in one.curves:
            assert list(drawn.points) == sorted(drawn.points)
