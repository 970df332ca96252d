"""Infusion against what stands outside this project: worked examples, closed forms, numpy and scipy, Monte Carlo.

Each check names its source and how well that was read. *Computed* says that a figure was worked out by hand from a
formula whose source is named.
"""

from __future__ import annotations

import math
import random
from decimal import Decimal

import numpy as np
import pytest
from scipy import stats

from asfound.measure.units import Quantity, unit
from asfound.physics import infusion, infusion_plots, infusion_run, water
from asfound.physics.calc import Answer, calculations, evaluate

HALF = 0.5
"""Sample of IEC 60601-2-24 for volumetric and syringe pumps, in min (from memory)."""


def answers(
    name: str, values: dict[str, float], rows: dict[str, list[float]] | None = None, **doubts: float
) -> dict[str, Answer]:
    return {one.slug: one for one in evaluate(calculations()[name], values, rows, doubts)}


def masses_of(flows: list[float], temperature: float = 22.0, sample: float = HALF) -> list[float]:
    """What a balance would show: g at the end of each sample, buoyancy undone by the Z of ISO 8655-6."""
    z = water.volume_of(1.0, temperature)
    made = [0.0]
    for flow in flows:
        made.append(made[-1] + flow * sample / 60.0 / z)
    return made


def times_of(masses: list[float], sample: float = HALF) -> list[float]:
    return [sample * n for n in range(len(masses))]


# --- the trumpet, from masses. IEC 60601-2-24 (from memory); figures computed.


def test_the_trumpet_of_a_balance_is_that_of_the_flows_it_was_made_from() -> None:
    """The second hour, all 5 mL/h but one half minute of none, after a first hour at 4: A -0.83333 %; the windows of 2,
    5, 11, 19, 31 min give -25, -10, -4.54545, -2.63158, -1.61290 % at worst (computed)."""
    flows = [4.0] * 120 + [5.0] * 60 + [0.0] + [5.0] * 59
    masses = masses_of(flows)
    found = answers("flow-run", {"rate": 5.0, "temperature": 22.0}, {"time": times_of(masses), "mass": masses})
    assert found["deviation"].value == pytest.approx(-0.83333, abs=1e-4)
    worst = {2: -25.0, 5: -10.0, 11: -4.54545, 19: -2.63158, 31: -1.61290}
    assert {p: found[f"window-{p}"].low for p in worst} == pytest.approx(worst, abs=1e-4)
    assert found["window-31"].high == pytest.approx(-1.61290, abs=1e-4), "no clipping at 0"
    assert found["window-31"].said == "59 windows."
    assert found["whole"].value == pytest.approx((4.0 * 120 + 5.0 * 119) / 240)


def test_the_trumpet_of_a_ripple_from_masses() -> None:
    """Q = 5 (1 + 0.1 sin(2 pi 0.5 i / 8)), i = 1 to 120: A +0.418945 %, and the windows (computed)."""
    flows = [5.0 * (1.0 + 0.1 * math.sin(2.0 * math.pi * 0.5 * i / 8.0)) for i in range(1, 121)]
    masses = masses_of(flows)
    found = answers(
        "flow-run", {"rate": 5.0, "temperature": 22.0, "leave": 0.0}, {"time": times_of(masses), "mass": masses}
    )
    assert found["deviation"].value == pytest.approx(0.418945, abs=1e-4)
    for minutes, size in zip((2, 5, 11, 19, 31), (8.887165, 4.644656, 2.111207, 1.222278, 0.310303), strict=True):
        one = found[f"window-{minutes}"]
        assert (one.low, one.high) == (pytest.approx(-size, abs=1e-4), pytest.approx(size, abs=1e-4))


def test_flow_by_weighing_in_a_run() -> None:
    """9.96 g in 2 h at 22 degC are 4.991115 mL/h without buoyancy (computed); the Z of ISO 8655-6 at 22 degC is 1.0033
    mL/g (from memory), so that with it they are 4.98 times that."""
    run = infusion_run.run_of([0.0, 60.0, 120.0], [0.0, 4.98, 9.96], 22.0)
    assert run.mean() == pytest.approx(4.98 * 1.0033, abs=3e-4)
    assert run.mean() / 1.00105 == pytest.approx(4.991115, rel=2e-5), "buoyancy is about 0.105 per cent"


def test_what_evaporates_is_put_back() -> None:
    """2 mg in an hour are a tenth of a per cent of 2 mL/h and two per cent of 0.1 mL/h (computed); at 1 mL/h and below
    it is the largest error (common practice, no source)."""
    times = [10.0 * n for n in range(13)]
    blank = answers(
        "evaporation-blank",
        {"rate": 0.1, "temperature": 20.0},
        {"time": times, "mass": [20.0 - 2e-3 * t / 60 for t in times]},
    )
    assert blank["blank"].value == pytest.approx(2.0, rel=1e-9)
    assert blank["share"].value == pytest.approx(2.0, rel=5e-3)
    net = masses_of([0.1] * 240, 20.0)
    seen = [mass - 2e-3 * t / 60 for mass, t in zip(net, times_of(net), strict=True)]
    run = {"time": times_of(net), "mass": seen}
    told = answers("flow-run", {"rate": 0.1, "temperature": 20.0, "blank": 2.0}, run)
    assert told["flow"].value == pytest.approx(0.1, rel=1e-9)
    assert answers("flow-run", {"rate": 0.1, "temperature": 20.0}, run)["deviation"].value == pytest.approx(
        -2.0, rel=5e-3
    )


def test_the_doubt_of_a_blank_is_that_of_scipys_line() -> None:
    """scipy.stats.linregress as oracle for slope and its standard error; Student's t of its tables for the factor."""
    rng = random.Random(7)
    times = [2.0 * n for n in range(16)]
    masses = [30.0 - 1.4e-3 * t / 60 + rng.gauss(0.0, 2e-4) for t in times]
    ours, theirs = infusion_run.blank_of(times, masses), stats.linregress(np.array(times) / 60.0, masses)
    assert ours.rate == pytest.approx(-theirs.slope, rel=1e-9)
    assert ours.doubt == pytest.approx(stats.t.ppf(0.97725, 14) * theirs.stderr, rel=1e-9)


# --- windows of an event


def test_every_stretch_is_looked_at() -> None:
    """A plain loop as oracle: the fastest and the slowest 40 min of two hours, wherever they begin."""
    rng = random.Random(3)
    flows = [5.0 + rng.gauss(0.0, 0.4) for _ in range(240)]
    run = infusion_run.run_of(times_of(masses_of(flows)), masses_of(flows), 22.0)
    means = [sum(flows[at : at + 80]) / 80 for at in range(len(flows) - 79)]
    found = infusion_run.stretches(run, 40.0)
    assert found.count == len(means) == 161
    assert found.highest == pytest.approx(max(means)) and found.lowest == pytest.approx(min(means))
    assert found.highest_from == pytest.approx(HALF * means.index(max(means)))
    assert found.lowest_from == pytest.approx(HALF * means.index(min(means)))


def test_the_start_of_a_lagging_drive() -> None:
    """A first-order lag of 6 min, Q = r (1 - exp(-t/6)): within 10 % from t = 6 ln 10 = 13.8 min on, and by then 6 r (1
    - 0.1) / 60 mL are missing, closed form (computed)."""
    rate, tau = 5.0, 6.0
    at = [0.05 * n for n in range(int(120 / 0.05) + 1)]
    volumes = [rate / 60.0 * (t - tau * (1.0 - math.exp(-t / tau))) for t in at]
    z = water.volume_of(1.0, 22.0)
    run = infusion_run.run_of(at, [one / z for one in volumes], 22.0)
    start = infusion_run.start_up(run, rate, share=10.0, smooth=0.1)
    assert start.minutes == pytest.approx(tau * math.log(10.0), abs=0.1)
    assert start.short == pytest.approx(rate / 60.0 * tau * 0.9, abs=2e-3)


def test_a_run_that_never_settles_says_so() -> None:
    masses = masses_of([7.0] * 240)
    found = answers("flow-run", {"rate": 5.0, "temperature": 22.0}, {"time": times_of(masses), "mass": masses})
    assert found["start-up"].value is None and "never settled within 10 %" in found["start-up"].said
    assert found["start-short"].value == pytest.approx(-4.0), "2 mL/h too much over two hours"


# --- gravity


def test_siphon_line_and_doubt_are_those_of_scipy() -> None:
    """scipy.stats.linregress for line and residuals; the interval of the mean answer by the textbook formula."""
    heights = [25.0, 50.0, 75.0, 75.0, 75.0, 25.0, 25.0, 50.0, 50.0]
    flows = [22.0, 46.0, 70.0, 69.6, 70.3, 22.1, 21.9, 45.8, 46.1]
    ours, theirs = infusion.siphon(heights, flows), stats.linregress(heights, flows)
    assert ours.per_cm == pytest.approx(theirs.slope) and ours.at(75.0) == pytest.approx(
        theirs.slope * 75 + theirs.intercept
    )
    x = np.array(heights)
    s = math.sqrt(sum((f - theirs.slope * h - theirs.intercept) ** 2 for h, f in zip(heights, flows, strict=True)) / 7)
    for height in (40.0, 75.0, 90.0):
        half = stats.t.ppf(0.97725, 7) * s * math.sqrt(1 / 9 + (height - x.mean()) ** 2 / ((x - x.mean()) ** 2).sum())
        assert ours.doubt(height) == pytest.approx(half, rel=1e-9)
    found = answers("siphon", {"height": 75.0}, {"height": heights, "flow": flows})
    assert found["flow"].value == pytest.approx(70.0, abs=0.1)
    assert found["flow"].doubt is not None and 0.1 < found["flow"].doubt < 0.3


def test_the_interval_of_a_siphon_covers_as_often_as_it_says() -> None:
    """Monte Carlo: of 2000 lines through scattered readings, about 95 in a hundred intervals hold the true flow."""
    rng = random.Random(11)
    heights = [25.0, 25.0, 50.0, 50.0, 75.0, 75.0]
    inside = 0
    for _ in range(2000):
        found = infusion.siphon(heights, [0.96 * (h - 2.0) + rng.gauss(0.0, 1.0) for h in heights])
        half = found.doubt(75.0)
        assert half is not None
        inside += abs(found.at(75.0) - 0.96 * 73.0) <= half
    assert inside / 2000 == pytest.approx(0.95, abs=0.015)


def test_doubts_of_height_and_scale_come_on_top_of_the_scatter() -> None:
    """Sum of squares and effective degrees of freedom (JCGM 100:2008, 5.1.2 and G.2b): scatter of six readings about a
    line, so 4 degrees, half a per cent of scale and a centimetre of height."""
    rows = {"height": [25.0, 25.0, 50.0, 50.0, 75.0, 75.0], "flow": [22.0, 22.4, 46.0, 45.7, 70.0, 69.6]}
    plain = answers("siphon", {"height": 75.0}, rows)["flow"]
    both = answers("siphon", {"height": 75.0}, rows, height=1.0, scale=0.5)["flow"]
    slope = infusion.siphon(rows["height"], rows["flow"]).per_cm
    assert plain.doubt is not None and plain.value is not None and both.doubt is not None
    scatter = plain.doubt / stats.t.ppf(0.97725, 4)
    u = math.sqrt(scatter**2 + (slope / 2) ** 2 + (0.0025 * plain.value) ** 2)
    dof = u**4 / (scatter**4 / 4)
    assert (both.dof, both.k) == pytest.approx((dof, stats.t.ppf(0.97725, math.floor(dof))), rel=1e-6)
    assert both.doubt == pytest.approx(both.k * u, rel=1e-6)
    assert plain.said == "The doubt is that of k\u00a0=\u00a02.87, for 4 effective degrees of freedom."


def test_a_column_of_water_in_millimetres_of_mercury() -> None:
    """75 cm are 55 mmHg, cm / 1.36 (common practice, no source); the ratio of the conventional units of pressure is
    that of NIST Special Publication 811, appendix B.8 (from memory): 98.0665 Pa to 133.322 Pa."""
    assert infusion.head(75.0) == pytest.approx(75.0 / 1.36, abs=0.05) == pytest.approx(55.0, abs=0.3)
    assert infusion.head(1.0) == pytest.approx(98.0665 / 133.322, rel=1e-5)
    assert {unit(one).quantity for one in ("cmH2O", "mmHg")} == {Quantity.PRESSURE}  # type: ignore[union-attr]


def test_a_height_beyond_the_readings_is_said_to_be() -> None:
    rows = {"height": [25.0, 50.0, 75.0], "flow": [22.0, 46.0, 70.0]}
    assert "further than its readings" in answers("siphon", {"height": 120.0}, rows)["flow"].said
    assert "further than its readings" not in answers("siphon", {"height": 50.0}, rows)["flow"].said


# --- balance of volumes. Conservation of volume; suppositions: common practice, no source. Figures by hand.

EMPTIED = {"filled": 50.0, "left": 4.0, "time": 2 / 3, "rate": 5.0, "logged": 3.3}


def test_what_each_supposition_would_have_given() -> None:
    """46 mL in 40 min are 69 mL/h. 5 mL/h give 3.33, tenfold 33.3, a hundredfold 333, a tenth 0.333, mL/min 200 mL.
    Ordered as a dose of 10 an hour: 10 as the rate gives 6.67; 5 as the dose gives half of what was meant, 1.67."""
    found = answers("mass-balance", {**EMPTIED, "dose": 10.0, "volume": 50.0, "gravity": 70.0})
    assert (found["given"].value, found["rate"].value) == (46.0, pytest.approx(69.0))
    hand = {
        "as-set": 3.3333, "ten-times": 33.333, "hundred-times": 333.33, "a-tenth": 0.33333, "per-minute": 200.0,
        "dose-as-rate": 6.6667, "rate-as-dose": 1.6667, "volume-as-rate": 33.333, "gravity": 46.667, "log": 3.3,
    }  # fmt: skip
    assert {key: found[f"if-{key}"].value for key in hand} == pytest.approx(hand, rel=1e-4)
    assert {key: found[f"beyond-{key}"].value for key in hand} == pytest.approx(
        {k: 46.0 - v for k, v in hand.items()}, rel=1e-4, abs=1e-3
    )
    assert all(one.said.startswith("No doubt was given") for key, one in found.items() if key.startswith("beyond-"))


def test_which_supposition_fits_is_said_with_the_doubt() -> None:
    """Filled 50 within 1 mL, left 4 within 0.1, over 40 within 3 min, gravity 70 within 1.5 mL/h: of the difference
    from gravity, 1, 0.1, 70/60 x 3 = 3.5 and 1.5 x 2/3 = 1, together 3.8 mL, and 0.67 mL lie within it (by hand)."""
    found = answers("mass-balance", {**EMPTIED, "gravity": 70.0}, None, filled=1.0, left=0.1, time=0.05, gravity=1.5)
    assert found["beyond-gravity"].doubt == pytest.approx(math.sqrt(1 + 0.01 + 3.5**2 + 1), rel=1e-6)
    assert found["beyond-gravity"].said == "It fits: the difference lies within its doubt of 3.8 mL."
    assert found["beyond-ten-times"].said.startswith("It does not fit: 12.7 mL more were given than that")
    assert found["beyond-hundred-times"].said.startswith("It does not fit: 287 mL less were given")
    fitting = {key for key, one in found.items() if one.said.startswith("It fits")}
    assert fitting == {"beyond-gravity"}


def test_the_doubt_of_a_balance_is_that_of_monte_carlo() -> None:
    """JCGM 101:2008 in kind (from memory): 200 000 draws; k = 2 of the spread against the propagated doubt, rel 2 %."""
    rng = np.random.default_rng(5)
    n = 200_000
    filled, left = rng.normal(50.0, 0.5, n), rng.normal(4.0, 0.05, n)
    hours, gravity = rng.normal(2 / 3, 0.025, n), rng.normal(70.0, 0.75, n)
    found = answers("mass-balance", {**EMPTIED, "gravity": 70.0}, None, filled=1.0, left=0.1, time=0.05, gravity=1.5)
    for key, drawn in (
        ("given", filled - left), ("rate", (filled - left) / hours),
        ("beyond-gravity", filled - left - gravity * hours),
        ("beyond-ten-times", filled - left - 50.0 * hours),
    ):  # fmt: skip
        assert found[key].doubt == pytest.approx(2.0 * float(drawn.std()), rel=0.02), key


def test_a_rate_keyed_as_a_dose_and_back() -> None:
    """A dose number D gives rate r; keyed r as dose gives r x r / D: about r each error is the other's inverse."""
    made = infusion.balance(
        Decimal(50), Decimal(4), Decimal(0), Decimal(1), Decimal(5), None, infusion.Fields(dose=Decimal(2))
    )
    by = {one.key: one.volume for one in made.supposed}
    assert by["dose-as-rate"] * by["rate-as-dose"] == by["as-set"] ** 2 == 25
    assert by["rate-as-dose"] == Decimal("12.5")


# --- the record, and a blockage


def test_rates_of_a_record() -> None:
    """0.8 mL in 10 min are 4.8 mL/h and 2.5 in 30 min 5.0; 46 mL given over 40 min leave 42.7 uncounted, 64 mL/h."""
    found = answers(
        "record-windows", {"rate": 5.0, "given": 46.0}, {"time": [0.0, 10.0, 40.0], "volume": [0.0, 0.8, 3.3]}
    )
    assert (found["windows"].low, found["windows"].high) == (pytest.approx(4.8), pytest.approx(5.0))
    assert found["counted"].value == pytest.approx(3.3) and found["rate"].value == pytest.approx(4.95)
    assert found["uncounted"].value == pytest.approx(42.7) and found["uncounted-rate"].value == pytest.approx(64.05)


def test_a_blockage_by_hand() -> None:
    """5 mL/h for 600 s are 0.833 mL; 0.400 g at 22 degC are 0.4013 mL (Z 1.0033 of ISO 8655-6, from memory)."""
    found = answers(
        "occlusion", {"mass": 0.4, "temperature": 22.0, "rate": 5.0, "time": 600.0, "pressure": 500.0, "missing": 43.0}
    )
    assert found["pumped"].value == pytest.approx(0.83333, rel=1e-4)
    assert found["bolus"].value == pytest.approx(0.4 * 1.0033, rel=1e-4)
    assert found["kept"].value == pytest.approx(0.83333 - 0.40132, rel=1e-3)
    assert found["give"].value == pytest.approx(0.83333 / 5, rel=1e-4)
    assert found["share"].value == pytest.approx(0.933, abs=1e-3)


# --- what cannot be computed is said


@pytest.mark.parametrize(
    ("name", "values", "rows", "said"),
    [
        ("flow-run", {"rate": 5.0, "temperature": 22.0}, {"time": [0.0, 0.5, 1.5, 2.0], "mass": [0.0, 1.0, 2.0, 3.0]},
         "not read at even times: 1 min between readings 2 and 3"),
        ("flow-run", {"rate": 5.0, "temperature": 22.0}, {"time": [0.0, 0.5], "mass": [0.0, 1.0]}, "nothing follows"),
        ("flow-run", {"rate": 5.0, "temperature": 22.0, "leave": 0.0, "window": 40.0, "smooth": 0.5},
         {"time": [0.0, 0.5, 1.0], "mass": [0.0, 1.0, 2.0]}, "no stretch of 40 min fits"),
        ("flow-run", {"rate": 5.0, "temperature": 22.0}, {"time": [1.0, 0.5], "mass": [0.0, 1.0]}, "not run forward"),
        ("flow-run", {"rate": 5.0, "temperature": 22.0}, {"time": [0.0], "mass": [0.0]}, "two at least"),
        ("record-windows", {"rate": 5.0}, {"time": [0.0, 5.0], "volume": [3.0, 0.1]}, "was cleared there"),
        ("record-windows", {"rate": 5.0}, {"time": [0.0, 0.0], "volume": [3.0, 3.1]}, "entry 2 of the record is not"),
        ("record-windows", {"rate": 5.0}, {"time": [0.0], "volume": [3.0]}, "two entries"),
        ("occlusion", {"mass": 0.4, "temperature": 22.0, "rate": 0.0, "time": 5.0}, None, "rate must be above 0"),
        ("mass-balance", {**EMPTIED, "left": 51.0}, None, "nothing was given"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said(
    name: str, values: dict[str, float], rows: dict[str, list[float]] | None, said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        evaluate(calculations()[name], values, rows)


@pytest.mark.parametrize(
    ("name", "values", "rows"),
    [
        (
            "flow-run",
            {"rate": 5.0, "temperature": 22.0, "window": 40.0},
            {"time": (0.0, 130.0, 261), "mass": (0.0, 10.8, 261)},
        ),
        ("siphon", {"height": 75.0}, {"height": (25.0, 75.0, 5), "flow": (22.0, 70.0, 5)}),
        ("evaporation-blank", {"rate": 5.0, "temperature": 22.0}, {"time": (0.0, 60.0, 7), "mass": (9.0, 8.998, 7)}),
        ("record-windows", {"rate": 5.0, "given": 46.0}, {"time": (0.0, 40.0, 9), "volume": (0.0, 3.3, 9)}),
        ("trumpet", {"rate": 5.0}, {"flow": (4.9, 5.1, 120)}),
    ],
)
def test_a_column_out_of_a_file_gives_plain_numbers(
    name: str, values: dict[str, float], rows: dict[str, tuple[float, float, int]]
) -> None:
    """Files are read into numpy arrays, whose numbers do not print as plain ones do."""
    found = evaluate(calculations()[name], values, {key: np.linspace(*one) for key, one in rows.items()})
    numbers = [number for one in found for number in (one.value, one.low, one.high, one.doubt) if number is not None]
    assert numbers and {type(one) for one in numbers} == {float}


# --- what is drawn


def test_plots_hold_what_was_computed() -> None:
    """Plots are made of the figures of the answers: ends of the trumpet, the line at the height, the level given."""
    flows = [5.0 + 0.2 * math.sin(n / 3.0) for n in range(240)]
    masses = masses_of(flows)
    of, given = calculations()["flow-run"], {"rate": 5.0, "temperature": 22.0, "window": 40.0}
    rows = {"time": np.array(times_of(masses)), "mass": np.array(masses)}
    found = evaluate(of, given, rows)
    defaults = {one.name: one.default for one in of.inputs} | given
    assert of.plots is not None
    flow, trumpet = of.plots(defaults, rows, found)
    ends = {one.slug: one for one in found}
    assert [p[1] for p in trumpet.curves[0].points] == [ends[f"window-{p}"].high for p in infusion.WINDOWS]
    assert [p[1] for p in trumpet.curves[1].points] == [ends[f"window-{p}"].low for p in infusion.WINDOWS]
    assert flow.curves[0].points[-1][0] == pytest.approx(120.0) and len(flow.curves[0].points) == 231
    siphon = calculations()["siphon"]
    heights, gravity = [25.0, 50.0, 75.0], [22.0, 46.0, 70.0]
    assert siphon.plots is not None
    (fit,) = siphon.plots({"height": 75.0, "scale": 0.0}, {"height": heights, "flow": gravity}, ())
    assert [(one.x, one.y, one.as_used) for one in fit.dots] == [(25, 22, False), (50, 46, False), (75, 70, True)]
    assert fit.result.startswith("At 75 cm the line gives 70")
    balance = calculations()["mass-balance"]
    told = evaluate(balance, EMPTIED | {"gravity": 70.0}, None, {"filled": 1.0, "time": 0.05})
    assert balance.plots is not None
    (bars,) = balance.plots({}, {}, told)
    assert bars.levels[0].value == 46.0 and {one.row: one.end for one in bars.bars}["as the log says"] == 3.3
    assert bars.result.endswith("What fits within the doubt: it ran by gravity as measured.")


def test_a_long_run_is_drawn_with_its_extremes() -> None:
    """A day at half minutes with one sample of a stall and one of a rush: both stand in what is drawn."""
    flows = [5.0] * 2880
    flows[1000:1010], flows[2000:2010] = [0.0] * 10, [9.0] * 10
    run = infusion_run.run_of(times_of(masses_of(flows)), masses_of(flows), 22.0)
    drawn = infusion_plots.trace(run, 5.0, 5.0, 10.0, None)
    values = [point[1] for point in drawn.curves[0].points]
    assert len(values) <= 1200 and "no extreme is lost" in drawn.note
    assert min(values) == pytest.approx(0.0, abs=1e-9) and max(values) == pytest.approx(9.0)
    assert list(drawn.curves[0].points) == sorted(drawn.curves[0].points)
