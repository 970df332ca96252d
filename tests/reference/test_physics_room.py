"""Rooms, isolated supplies, histories, sisters and trials against nodal analysis, scipy, NIST and published figures.

Each test names its source and how well it was read: `computed` is a closed form or an oracle outside the project.
"""

from __future__ import annotations

import math
import random
import statistics
from itertools import pairwise

import numpy as np
import pytest
from scipy import stats

from asfound.limits import packaged
from asfound.model.plots import Plot, PlotKind
from asfound.physics import chance, shock, supply, trend
from asfound.physics.calc import Answer, calculations, evaluate
from tests.reference.test_metrology import NORRIS_X, NORRIS_Y

WARMER = supply.DeviceState(20e3, 0.11)
OPEN = supply.DeviceState(20e3, 1e9)


def by_key(name: str, values: dict[str, float], rows: dict[str, list[float]] | None = None) -> dict[str, Answer]:
    return {one.slug: one for one in evaluate(calculations()[name], values, rows)}


# --- isolated supply


def nodal(volts: float, leak: tuple[float, float], insulation: float, way: float, body: float) -> float:
    """Current in A through `body` by the potentials of a network: two lines, earth, and a case.

    leak: ohm from each line to earth. The case hangs on line 1 by `insulation`; `way` and `body` join it to earth.
    Unknown: earth against line 2, and the case. Kirchhoff's first law at both.
    """
    one, two = (1.0 / ohm for ohm in leak)
    g, e = 1.0 / insulation, 1.0 / way + 1.0 / body
    matrix = np.array([[one + two + e, -e], [-e, g + e]])
    earth, case = np.linalg.solve(matrix, np.array([volts * one, volts * g]))
    return float(case - earth) / body


@pytest.mark.parametrize("insulation", [5e3, 20e3, 2e6])
@pytest.mark.parametrize("way", [0.17, 30.0, 5e4, 1e9])
def test_pairs_on_an_isolated_supply_against_nodal_analysis(insulation: float, way: float) -> None:
    """Balanced leakage of 2.1 mA: 120 V over 57.1 kohm from each line (computed; numpy's solver of linear systems)."""
    each = 120.0 / 2.1e-3
    want = nodal(120.0, (each, each), insulation, way, 1000.0)
    (found,) = supply.pairs(120.0, 2.1e-3, [supply.DeviceState(insulation, way)], [0.0])
    assert found.isolated == pytest.approx(want, rel=1e-6)


def test_pairs_on_a_grounded_supply_against_nodal_analysis() -> None:
    """Line 2 joined to earth by next to nothing is a grounded supply (computed)."""
    for insulation, way in ((20e3, 1e9), (20e3, 0.17), (1e3, 500.0)):
        want = nodal(120.0, (1e9, 1e-6), insulation, way, 1000.0)
        (found,) = supply.pairs(120.0, 2.1e-3, [supply.DeviceState(insulation, way)], [0.0])
        assert found.grounded == pytest.approx(want, rel=1e-5)


def test_the_tingle_needs_a_quiet_monitor() -> None:
    """60 V behind 28.6 kohm, 20 kohm and a body of 1 kohm: 1.21 mA with the earth open, the monitor at 2.1 mA.

    With the earth made it forecasts 8.1 mA, and less than a microampere flows (circuit theory, computed).
    """
    made, open_ = supply.pairs(120.0, 2.1e-3, [WARMER, OPEN], [0.06])
    assert open_.isolated * 1e3 == pytest.approx(60.0 / (20.0 + 60.0 / 2.1 + 1.0), rel=1e-5)
    assert open_.isolated * 1e3 == pytest.approx(1.21, abs=0.005) and open_.shown * 1e3 == pytest.approx(2.1, abs=1e-3)
    assert made.shown * 1e3 == pytest.approx(8.1, abs=1e-3) and made.isolated < 1e-6
    assert open_.grounded * 1e3 == pytest.approx(5.714, abs=1e-3)


def test_an_open_socket_does_what_an_open_cord_does() -> None:
    """The two earths lie in series, so a body cannot tell which of them is open (computed)."""
    found = supply.pairs(120.0, 2.1e-3, [WARMER, OPEN], [0.06, 1e9])
    cord, socket = found[2], found[1]
    assert (cord.faults, socket.faults) == (1, 1)
    assert cord.isolated == pytest.approx(socket.isolated, rel=1e-6)


def test_every_pair_is_there_and_the_largest_is_named() -> None:
    rows = {"insulation": [20e3, 20.0, 20.0], "cord": [0.11, 0.11, 1e9], "socket": [0.06, 0.06, 1e9]}
    found = by_key("fault-pairs", {"voltage": 120.0, "hazard": 2.1}, rows)
    assert {f"isolated-{d}-{s}" for d in (1, 2, 3) for s in (1, 2)} <= set(found)
    values = [one.value for key, one in found.items() if key.startswith("isolated-")]
    assert found["isolated"].value == pytest.approx(max(v for v in values if v is not None), rel=1e-3)
    assert found["isolated"].said == "With device as in row 3, socket sound; the monitor is quiet."
    assert found["in-alarm"].value is not None and found["in-alarm"].value < 1e-3


@pytest.mark.parametrize("hazard", [0.5e-3, 2.1e-3, 8.1e-3])
def test_second_fault_against_nodal_analysis(hazard: float) -> None:
    """A body from line 1 to earth: leakage on both lines alike, and on the other line alone (computed)."""
    least, most = supply.second_fault(120.0, hazard)
    # Hazard current is what a dead connection of line 1 carries: all that leaks from line 2, and so is V over its ohms.
    other = 120.0 / hazard
    for want, first in ((least, other), (most, 1e12)):
        body = 1.0 / 1000.0
        earth = 120.0 * (1.0 / first + body) / (1.0 / first + 1.0 / other + body)
        assert want == pytest.approx((120.0 - earth) * body, rel=1e-6)


def test_the_resistor_of_200_ohm_a_volt_draws_5_milliamperes_at_any_voltage() -> None:
    """NFPA 99 (secondary): 120 V and 24 kohm give 5.0 mA (computed)."""
    for volts in (110.0, 120.0, 208.0, 240.0):
        found = by_key("monitor-check", {"voltage": volts, "resistor": volts * 0.2, "shown": 5.0})
        assert found["drawn"].value == pytest.approx(5.0)
        assert found["error"].value == pytest.approx(0.0, abs=1e-12)
        assert found["by-itself"].value == pytest.approx(volts * 0.2)


def test_what_is_plugged_in_already_is_part_of_the_alarm() -> None:
    """With 2.1 mA there, 2.9 mA are left to the alarm: 120 V over 2.9 mA are 41.4 kohm (computed)."""
    found = by_key("monitor-check", {"voltage": 120.0, "resistor": 24.0, "shown": 7.2, "before": 2.1})
    assert found["with-what-was-there"].value == pytest.approx(41.379, abs=1e-3)
    assert found["error"].value == pytest.approx(0.1, abs=1e-9)
    there = by_key("monitor-check", {"voltage": 120.0, "resistor": 24.0, "shown": 11.0, "before": 6.0})
    assert there["with-what-was-there"].value is None and "without one" in there["with-what-was-there"].said


def test_build_up_is_a_running_sum_and_names_the_step_that_alarms() -> None:
    """1.1 mA before, then 1.0 and 6.0 mA: 8.1 mA, and the alarm at 5 mA comes with the second (computed)."""
    rows = {"socket": [1.0, 6.0], "hazard": [1.0, 6.0]}
    of = calculations()["hazard-build-up"]
    answers = evaluate(of, {"voltage": 120.0, "before": 1.1, "monitor": 0.1, "shown": 8.1}, rows)
    found = {one.slug: one for one in answers}
    assert found["total"].value == pytest.approx(8.1) and found["margin"].value == pytest.approx(-3.1)
    assert found["wiring"].value == pytest.approx(1.0) and found["unexplained"].value == pytest.approx(0.0, abs=1e-9)
    assert of.plots is not None
    given = {"voltage": 120.0, "before": 1.1, "monitor": 0.1, "shown": 8.1, "alarm": 5.0}
    (plot,) = of.plots(given, rows, answers)
    assert plot.kind is PlotKind.BUILD_UP
    assert [(one.start, one.end) for one in plot.bars] == [(0.0, 1.1), (1.1, 2.1), (2.1, pytest.approx(8.1))]
    assert "the alarm at 5 mA is reached with socket 6" in plot.result
    assert supply.build_up(1.1, [1.0], 5.0).crossed is None and supply.build_up(5.0, [1.0], 5.0).crossed == -1


@pytest.mark.parametrize(("steps", "said"), [([], "at least one device"), ([-2.0], "falls below 0")])
def test_a_sum_that_cannot_be_is_refused(steps: list[float], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        supply.build_up(1.0, steps, 5.0)


def test_source_impedance_with_doubt_against_monte_carlo() -> None:
    """60 V open and 1.20 V across 1 kohm, each with its doubt: first order against 200 000 draws (computed)."""
    given = {"open": 60.0, "loaded": 1.2, "load": 1000.0}
    doubts = {"open": 0.6, "loaded": 0.02, "load": 10.0}
    of = calculations()["source-impedance"]
    first = next(one for one in evaluate(of, given, None, doubts) if one.unit == "ohm")
    draw = random.Random(7)
    values = []
    for _ in range(200_000):
        v, w, r = (draw.gauss(given[one], doubts[one] / 2.0) for one in ("open", "loaded", "load"))
        values.append((v - w) * r / w)
    assert first.value == pytest.approx(49_000.0)
    assert first.doubt == pytest.approx(2.0 * statistics.stdev(values), rel=0.02)


# --- people


def test_levels_are_those_of_the_sources() -> None:
    """Let-go at 99.5 %: 6 and 9 mA, breathing 20 to 40 mA (confirmed in the abstract); means 10.5 and 16 (secondary).

    Lines a and b of IEC 60479-1 at 0.5 and 10 mA, 5 mA in later texts (from memory).
    """
    spans = {words: (low, high) for words, low, high, _ in shock.LEVELS}
    assert spans["99.5 % can let go"] == (6.0, 9.0) and spans["half can let go"] == (10.5, 16.0)
    assert spans["breathing stops, current across the chest"] == (20.0, 40.0)
    assert spans["felt"] == (0.5, 1.0) and spans["muscles act, one may still let go"] == (5.0, 10.0)


def test_the_current_of_the_case_can_be_felt_and_no_more() -> None:
    found = by_key("current-levels", {"current": 1.2})
    assert "lies above" in found["level-1"].said
    assert all("lies below" in found[f"level-{n}"].said for n in range(2, 6))


def test_how_long_it_flowed_brings_in_the_heart() -> None:
    """IEEE Std 80 (from memory; computed): 116 / √0.5 s = 164.0 mA at 50 kg, 157 / √0.5 s = 222.0 mA at 70 kg."""
    with_time = {"current": 180.0, "time": 0.5}
    heart = by_key("current-levels", with_time)["level-6"]
    assert (heart.low, heart.high) == (pytest.approx(164.0, abs=0.06), pytest.approx(222.0, abs=0.06))
    assert "180 mA lies within that" in heart.said and "level-6" not in by_key("current-levels", {"current": 180.0})
    assert [bar.row for bar in drawn("current-levels", with_time).bars][-1] == heart.name
    with pytest.raises(ValueError, match=r"0\.03 s to 3 s"):
        evaluate(calculations()["current-levels"], {"current": 1.0, "time": 4.0})


def test_body_current_stands_on_its_own_table() -> None:
    """IEC TS 60479-1:2005, table 1 (from memory): 225 V over 775, 1225 and 1900 ohm; nothing behind the voltage."""
    found = shock.body_by_table(225.0, 0.0)
    assert (found.p5, found.p50, found.p95) == pytest.approx((225 / 775, 225 / 1225, 225 / 1900))


def test_body_current_with_a_source_solves_both_at_once() -> None:
    """The current put back: the voltage it leaves meets the impedance of that very voltage (computed)."""
    found = shock.body_by_table(400.0, 1500.0)
    for place, amperes in enumerate((found.p5, found.p50, found.p95)):
        volts = 400.0 - amperes * 1500.0
        body = shock.body_impedance(volts)
        assert volts / (body.p5, body.p50, body.p95)[place] == pytest.approx(amperes, rel=1e-9)


def test_editions_differ_and_the_range_is_over_both() -> None:
    """1994: 100 V 1200/1875/3200 ohm, 2005: 990/1725/3125 (both from memory)."""
    found = by_key("body-current-range", {"voltage": 100.0})
    for key, old, new in (("p5", 1200, 990), ("p50", 1875, 1725), ("p95", 3200, 3125)):
        assert found[key].value is None
        assert (found[key].low, found[key].high) == pytest.approx((1e5 / old, 1e5 / new))
    assert found["body"].value == pytest.approx(100.0)


def test_below_the_table_nothing_is_made_up() -> None:
    found = by_key("body-current-range", {"voltage": 60.0, "source": 48.6e3})
    assert found["p50"].low is None and "25 V" in found["p50"].said
    assert found["dead"].value == pytest.approx(60.0 / 48.6) and found["body"].value == pytest.approx(60.0 / 49.6)


# --- a device's own history


def test_slope_against_certified_values() -> None:
    """NIST Statistical Reference Datasets, Norris (certified, second hand), in a year of 365.25 days.

    Slope 1.00211681802045, its standard deviation 0.429796848199937e-3.
    """
    both = sorted(zip(map(float, NORRIS_X.split()), map(float, NORRIS_Y.split()), strict=True))
    found = trend.trend([x for x, _ in both], [y for _, y in both])
    assert found.slope == pytest.approx(1.00211681802045 * 365.25, rel=1e-11)
    factor = stats.t.ppf(0.97725, 34)
    assert found.slope_doubt == pytest.approx(factor * 0.429796848199937e-3 * 365.25, rel=1e-9)


HISTORY = ([0.0, 190.0, 362.0, 551.0, 730.0, 905.0], [82.0, 84.0, 83.0, 86.0, 85.0, 110.0])


def test_trend_against_scipy() -> None:
    """scipy.stats.linregress on the whole, and Student's interval of a further value on the rest (computed)."""
    days, values = HISTORY
    found = trend.trend(days, values)
    want = stats.linregress(days, values)
    assert found.slope == pytest.approx(want.slope * 365.25, rel=1e-12)
    assert found.chance == pytest.approx(want.pvalue, rel=1e-9)
    rest = stats.linregress(days[:-1], values[:-1])
    left = np.array(values[:-1]) - (rest.intercept + rest.slope * np.array(days[:-1]))
    s = math.sqrt(float(left @ left) / 3.0)
    mean = np.mean(days[:-1])
    spread = float(((np.array(days[:-1]) - mean) ** 2).sum())
    room = stats.t.ppf(0.975, 3) * s * math.sqrt(1.0 + 1.0 / 5.0 + (days[-1] - mean) ** 2 / spread)
    assert found.expected == pytest.approx(rest.intercept + rest.slope * days[-1], rel=1e-12)
    assert found.room == pytest.approx(room, rel=1e-9)


def test_a_last_value_that_jumped_is_outside_what_the_rest_leads_to() -> None:
    days, values = HISTORY
    rows = {"time": days, "value": values}
    assert by_key("trend", {}, rows)["expected"].said.endswith("lies above it.")
    calm = {"time": days, "value": [*values[:-1], 87.0]}
    assert by_key("trend", {}, calm)["expected"].said.endswith("lies within it.")


def test_how_often_scatter_alone_is_called_a_trend() -> None:
    """Among 2000 histories without a drift about 1 in 20 lies beyond a doubt of 95 % (Student's t, computed)."""
    draw = random.Random(11)
    days = [180.0 * n for n in range(8)]
    beyond = 0
    for _ in range(2000):
        found = trend.trend(days, [draw.gauss(80.0, 2.0) for _ in days])
        beyond += abs(found.slope) > found.slope_doubt
    assert 0.035 < beyond / 2000 < 0.065


def test_values_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="order of their times"):
        trend.trend([0.0, 200.0, 100.0], [1.0, 2.0, 3.0])


def test_a_line_without_scatter_says_so() -> None:
    assert trend.trend([0.0, 1.0, 2.0], [5.0, 5.0, 5.0]).chance == 1.0
    assert trend.trend([0.0, 1.0, 2.0], [5.0, 6.0, 7.0]).chance == 0.0


# --- sisters


def test_robust_z_against_scipy() -> None:
    """scipy.stats.median_abs_deviation with its normal scale (computed)."""
    others = [38.0, 41.0, 36.5, 40.2, 39.1, 37.7, 52.0]
    found = trend.sisters(55.0, others)
    wide = stats.median_abs_deviation(others, scale="normal")
    assert found.spread == pytest.approx(wide, rel=1e-9)
    assert found.z == pytest.approx((55.0 - np.median(others)) / wide, rel=1e-9)
    assert pytest.approx(1.0 / stats.norm.ppf(0.75), rel=1e-12) == trend.SPREAD


def test_one_far_sister_does_not_hide_another() -> None:
    """With mean and standard deviation 55 among 52 would lie within 3; the median is not moved (computed)."""
    others = [38.0, 41.0, 36.5, 40.2, 39.1, 37.7, 300.0]
    assert abs(55.0 - statistics.mean(others)) / statistics.stdev(others) < 1.0
    z = trend.sisters(55.0, others).z
    assert z is not None and z > trend.FAR


def test_sisters_that_read_alike_give_no_z() -> None:
    found = by_key("sister-units", {"value": 2.1}, {"sister": [20.0, 20.0, 20.0, 21.0]})
    assert found["z"].value is None and "read alike" in found["z"].said
    with pytest.raises(ValueError, match="three sisters"):
        trend.sisters(1.0, [1.0, 2.0])


# --- trials


@pytest.mark.parametrize(("trials", "bound"), [(59, 0.049508), (22, 0.127305)])
def test_none_seen(trials: int, bound: float) -> None:
    """Zero-failure bounds 1 - 0.05^(1/n) (computed)."""
    found = by_key("missed-intermittent", {"trials": trials})
    assert found["upper"].value == pytest.approx(100.0 * bound, abs=1e-4)


@pytest.mark.parametrize(("seen", "trials"), [(0, 59), (3, 10), (1, 40), (10, 10)])
def test_bounds_against_scipy(seen: int, trials: int) -> None:
    """scipy.stats.binomtest, method exact (Clopper and Pearson), two-sided and one-sided (computed)."""
    found = by_key("missed-intermittent", {"seen": seen, "trials": trials})
    both = stats.binomtest(seen, trials).proportion_ci(0.95, "exact")
    assert (found["share"].low, found["share"].high) == pytest.approx((100 * both.low, 100 * both.high), abs=1e-9)
    one = stats.binomtest(seen, trials, alternative="less").proportion_ci(0.95, "exact")
    assert found["upper"].value == pytest.approx(100 * one.high, abs=1e-9)


@pytest.mark.parametrize("share", [0.001, 0.05, 0.3, 0.9, 1.0])
def test_chance_of_missing_against_the_binomial(share: float) -> None:
    """scipy.stats.binom (computed)."""
    for trials in (0, 1, 10, 59, 1000):
        assert chance.missed(share, trials) == pytest.approx(stats.binom.pmf(0, trials, share), rel=1e-9, abs=1e-300)


def test_trials_needed_is_the_least_that_does() -> None:
    """59 trials for 5 in 100 at 95 % (common practice; computed), and one less never does."""
    assert chance.trials_needed(0.05, 0.05) == 59
    for share in (0.001, 0.01, 0.05, 0.1, 0.5, 0.75, 0.999):
        for miss in (0.5, 0.25, 0.1, 0.05, 0.001):
            count = chance.trials_needed(share, miss)
            assert stats.binom.pmf(0, count, share) <= miss * (1 + 1e-9)
            assert count == 1 or stats.binom.pmf(0, count - 1, share) > miss


@pytest.mark.parametrize(
    "given", [{"trials": 59.5}, {"trials": 0.0}, {"trials": 5.0, "seen": 6.0}, {"trials": 5.0, "share": 0.0}]
)
def test_trials_that_cannot_be_are_refused(given: dict[str, float]) -> None:
    with pytest.raises(ValueError, match=r"whole|lie between|above 0"):
        evaluate(calculations()["missed-intermittent"], given)


# --- what there is to see, and what it may speak to

MINE = (
    "hazard-build-up",
    "monitor-check",
    "fault-pairs",
    "body-current-range",
    "current-levels",
    "trend",
    "sister-units",
    "missed-intermittent",
)


def test_what_they_model_are_topics_of_the_packaged_protocols() -> None:
    """Evidence speaks to topics by name, so a name that no protocol knows would speak to nothing."""
    topics = {topic for one in packaged().protocols.values() for topic in one.topics}
    for name in MINE:
        assert set(calculations()[name].reaches) <= topics, name


def drawn(name: str, values: dict[str, float], rows: dict[str, list[float]] | None = None) -> Plot:
    of = calculations()[name]
    assert of.plots is not None
    given = {one.name: one.default for one in of.inputs if one.default is not None} | values
    (plot,) = of.plots(given, rows or {}, evaluate(of, values, rows))
    return plot


def test_pairs_are_drawn_largest_first_and_say_whether_the_monitor_was_quiet() -> None:
    rows = {"insulation": [20e3, 20.0, 20.0], "cord": [0.11, 0.11, 1e9], "socket": [0.06, 0.06, 1e9]}
    plot = drawn("fault-pairs", {"voltage": 120.0, "hazard": 2.1}, rows)
    lengths = [one.end for one in plot.bars]
    assert plot.kind is PlotKind.BUILD_UP and len(lengths) == 6
    assert all(a >= b * (1.0 - supply.ALIKE) for a, b in pairwise(lengths))
    assert plot.result == ("Most flows with device as in row 3, socket sound: 1.21 mA, while the monitor is quiet.")
    assert {one.value for one in plot.levels} == {0.5, 1.0}
    assert sum("in alarm" in one.text for one in plot.bars) == 1


def test_the_last_value_of_a_history_is_marked_and_said_to_lie_outside() -> None:
    days, values = HISTORY
    plot = drawn("trend", {}, {"time": days, "value": values})
    assert plot.kind is PlotKind.FIT and [one.as_used for one in plot.dots] == [False] * 5 + [True]
    assert plot.result.endswith("The last value, 110, lies outside what those before it lead to.")
    (band,) = plot.regions
    fit = stats.linregress(days, values)
    # The band of the line at its mean is t s / sqrt(n) to either side (computed).
    at = min(range(len(band.lower)), key=lambda n: abs(band.lower[n][0] - float(np.mean(days))))
    left = np.array(values) - (fit.intercept + fit.slope * np.array(days))
    half = stats.t.ppf(0.97725, 4) * math.sqrt(float(left @ left) / 4.0) / math.sqrt(6.0)
    assert (band.upper[at][1] - band.lower[at][1]) / 2.0 == pytest.approx(half, rel=1e-2)


def test_sisters_and_trials_are_drawn_as_they_are_reckoned() -> None:
    plot = drawn("sister-units", {"value": 3.1}, {"sister": [3.0, 3.3, 2.9, 3.4, 3.2, 3.1, 3.6]})
    assert plot.kind is PlotKind.AGREEMENT and plot.dots[-1].as_used and plot.dots[-1].y == 3.1
    assert [one.value for one in plot.levels] == [3.2]
    missed = drawn("missed-intermittent", {"trials": 59.0})
    (curve,) = missed.curves
    for share, chance_of in curve.points:
        assert chance_of == pytest.approx(100.0 * stats.binom.pmf(0, 59, share / 100.0), rel=1e-9, abs=1e-300)


def test_levels_are_drawn_as_spans_with_the_current_across_them() -> None:
    plot = drawn("current-levels", {"current": 1.2})
    assert [(one.start, one.end) for one in plot.bars] == [(low, high) for _, low, high, _ in shock.LEVELS]
    assert plot.result == "1.2 mA lies at or above the lower end of: felt."


@pytest.mark.parametrize(
    ("insulation", "cord", "said"),
    [
        ([0.0], [0.1], "insulation lies above 0"),
        ([20.0], [-0.1], "an earth not below it"),
        ([], [], "at least one state"),
    ],
)
def test_states_that_cannot_be_are_refused(insulation: list[float], cord: list[float], said: str) -> None:
    rows = {"insulation": insulation, "cord": cord, "socket": [0.06] * len(insulation)}
    with pytest.raises(ValueError, match=said):
        evaluate(calculations()["fault-pairs"], {"voltage": 120.0, "hazard": 2.1}, rows)


def test_a_current_below_nought_has_no_level() -> None:
    with pytest.raises(ValueError, match="not below 0"):
        evaluate(calculations()["current-levels"], {"current": -1.0})


def test_the_room_behind_half_its_voltage_and_the_grounded_supply_by_another_road() -> None:
    """Circuit theory by nodal analysis above, and by Ohm's law in round numbers: 60 V / 2.1 mA; 120 V / 21 kΩ."""
    found = by_key("isolated-power", {"voltage": 120.0, "hazard": 2.1, "insulation": 20e3})
    assert found["room"].value == pytest.approx(28.571, abs=1e-3)
    assert found["grounded"].value == pytest.approx(5.714, abs=1e-3)
    assert found["current-in-1-k-earth-of-the-case-open"].value == pytest.approx(
        1e3 * nodal(120.0, (57.142857e3, 57.142857e3), 20e3, 1e12, 1e3), rel=1e-4
    )


def test_what_does_not_hang_on_a_doubtful_input_has_no_doubt() -> None:
    """The steps add up without what was there before them; the rounding of 8.1 - 0.4 is no doubt."""
    rows = {"socket": [1.0, 2.0, 6.0], "hazard": [0.2, 0.1, 7.4]}
    values = {"voltage": 120.0, "before": 0.4}
    found = {one.slug: one for one in evaluate(calculations()["hazard-build-up"], values, rows, {"before": 0.13})}
    assert found["devices"].value == pytest.approx(7.7) and not found["devices"].doubt
    assert found["total"].doubt == pytest.approx(0.13)
