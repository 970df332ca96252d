"""Doubts carried through a calculation: combined as standard ones, expanded at the k of what stands behind them.

Outside: the worked examples of JCGM 100:2008, annex H (figures from memory; computed here by another road), scipy's
Student's t, and drawing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
from scipy import stats

from asfound.measure.budget import expanded_of
from asfound.physics.calc import Answer, Calculation, Column, Input, Rows, calculation, evaluate

LEVEL = 0.9545


def student(dof: float) -> float:
    """Two-sided factor for whole degrees of freedom, the next lower of those that are given."""
    return float(stats.t.ppf(0.5 + LEVEL / 2.0, math.floor(dof)))


def made(*names: str, run: Any, columns: tuple[Column, ...] = ()) -> Calculation:
    """A calculation that nobody lists."""
    inputs = tuple(Input(name, "", name) for name in names)
    return Calculation("tried", "Tried", inputs, "y = f(x)", "by hand", "computed", (), run, columns, row_doubts=True)


def _length(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    standard, apart, expansion, warmer, alpha, theta = (given[one] for one in GAUGE)
    return (Answer("length", standard + apart - standard * (expansion * theta + alpha * warmer), "1"),)


# JCGM 100:2008, H.1, table H.1: value, standard doubt, degrees of freedom; lengths in nanometres.
GAUGE: dict[str, tuple[float, float, float]] = {
    "standard": (50_000_623.0, 25.0, 18.0),
    "apart": (215.0, 9.7, 25.6),
    "expansion": (0.0, 0.58e-6, 50.0),
    "warmer": (0.0, 0.029, 2.0),
    "alpha": (11.5e-6, 1.2e-6, math.inf),
    "theta": (-0.1, 0.41, math.inf),
}


def test_the_end_gauge_comes_out_of_a_calculation_as_published() -> None:
    """JCGM 100:2008, H.1: u 32 nm, 16 effective degrees of freedom, t 2.92, U at 99 % 93 nm (from memory).

    What is doubted of the coefficient and of the temperature itself has no part to first order (H.1.3.3 and H.1.3.4).
    """
    doubts = {name: 2.0 * u for name, (_, u, _) in GAUGE.items()}
    dofs = {name: dof for name, (_, _, dof) in GAUGE.items()}
    of = made(*GAUGE, run=_length)
    (found,) = evaluate(of, {name: value for name, (value, _, _) in GAUGE.items()}, None, doubts, None, dofs)
    assert found.doubt is not None
    u = found.doubt / found.k
    assert u == pytest.approx(31.7, abs=0.05) and f"{u:.2g}" == "32"
    assert found.dof == pytest.approx(16.7, abs=0.05)
    assert found.k == pytest.approx(student(16), abs=1e-6) and found.k == pytest.approx(2.17, abs=0.005)
    at_99 = float(stats.t.ppf(0.995, 16))
    assert at_99 == pytest.approx(2.92, abs=0.005) and f"{at_99 * u:.2g}" == "93"
    # The same by the function that combines, at the level of the example.
    parts = [(25.0, 18.0), (9.7, 25.6), (2.9, 50.0), (16.6, 2.0)]
    whole = expanded_of([2.0 * one for one, _ in parts], [dof for _, dof in parts], level=0.99)
    assert f"{whole.U:.2g}" == "93" and math.floor(whole.dof) == 16
    assert found.said == "The doubt is that of k\u00a0=\u00a02.17, for 16 effective degrees of freedom."


def test_what_two_repeats_doubt_does_not_pass_for_what_many_do() -> None:
    """Of two readings t is 13.97 for one degree (JCGM 100:2008, table G.2): taken with k = 2 as it stands, U would go
    in seven times too large; taken as its standard doubt, it goes in as it is and limits the answer."""
    of = made("one", "other", run=lambda given, _: (Answer("sum", given["one"] + given["other"], "1"),))
    u, dof = (1.0, 3.0), (1.0, math.inf)
    (found,) = evaluate(
        of, {"one": 5.0, "other": 7.0}, None, {"one": 2.0 * u[0], "other": 2.0 * u[1]}, None, {"one": 1.0}
    )
    free = (u[0] ** 2 + u[1] ** 2) ** 2 / (u[0] ** 4 / dof[0])
    assert found.dof == pytest.approx(free) == 100.0
    assert found.doubt == pytest.approx(student(100) * math.hypot(*u), rel=1e-6)
    assert student(1) == pytest.approx(13.97, abs=0.005)


def test_impedance_measured_together_needs_more_than_a_calculation_of_its_means() -> None:
    """JCGM 100:2008, H.2 (data and figures from memory): of R = V cos(phi) / I the doubt is 0.071 ohm with what the
    readings have in common, and 0.19 ohm without. A calculation takes its inputs as apart, and gives the latter: more,
    here; the method says so of itself.
    """
    volts = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
    amps = np.array([19.663, 19.639, 19.640, 19.685, 19.678]) / 1000.0
    phase = np.array([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])
    columns = {"volts": volts, "amps": amps, "phase": phase}
    of = made(*columns, run=lambda g, _: (Answer("resistance", g["volts"] * math.cos(g["phase"]) / g["amps"], "1"),))
    own = {name: float(stats.sem(one)) for name, one in columns.items()}
    (found,) = evaluate(
        of, {name: float(one.mean()) for name, one in columns.items()}, None,
        {name: 2.0 * u for name, u in own.items()}, None, dict.fromkeys(columns, 4.0),
    )  # fmt: skip
    each = volts * np.cos(phase) / amps
    assert found.value == pytest.approx(127.732, abs=5e-4)
    assert float(stats.sem(each)) == pytest.approx(0.071, abs=5e-4)
    slopes = (math.cos(phase.mean()) / amps.mean(), found.value / amps.mean(), volts.mean() / amps.mean()
              * math.sin(phase.mean()))  # fmt: skip
    parts = [slope * u for slope, u in zip(slopes, own.values(), strict=True)]
    assert found.doubt is not None
    assert found.doubt / found.k == pytest.approx(math.hypot(*parts), rel=1e-5)
    assert found.doubt / found.k > 2.5 * float(stats.sem(each))
    assert found.dof == pytest.approx(math.hypot(*parts) ** 4 / sum(part**4 / 4.0 for part in parts), rel=1e-4)


def test_an_interval_from_few_repeats_holds_the_truth_as_often_as_it_says() -> None:
    """JCGM 100:2008, G.6.2, by drawing: 4000 times three repeats of a current and a time that is known well. Taken
    with k = 2 of their spread it would hold in nine tenths; so it holds in 95 %, near enough."""
    of = calculation("heating-factor")
    assert of is not None
    draw, held, bare = np.random.default_rng(20261130), 0, 0
    true = 1.15**2 * 95.0
    for _ in range(4000):
        current = draw.normal(1.15, 0.02, 3)
        time = float(draw.normal(95.0, 0.2))
        u = float(stats.sem(current))
        (found, *_) = evaluate(
            of, {"current": float(current.mean()), "time": time}, None, {"current": 2.0 * u, "time": 0.4}, None,
            {"current": 2.0},
        )  # fmt: skip
        assert found.value is not None and found.doubt is not None
        held += abs(found.value - true) <= found.doubt
        bare += abs(found.value - true) <= found.doubt / found.k * 2.0
    assert 0.94 <= held / 4000 <= 0.98
    assert bare / 4000 < 0.90


def test_both_ends_of_a_range_are_widened_by_the_doubt_at_its_own_factor() -> None:
    def run(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
        return (Answer("range", None, "1", low=given["x"], high=3.0 * given["x"]),)

    of = made("x", run=run)
    (found,) = evaluate(of, {"x": 10.0}, None, {"x": 2.0}, None, {"x": 2.0})
    # A standard doubt of 1 with two degrees of freedom: 4.53 (JCGM 100:2008, table G.2).
    assert student(2) == pytest.approx(4.53, abs=0.005)
    assert (found.low, found.high) == pytest.approx((10.0 - student(2), 30.0 + 3.0 * student(2)))
    assert "k\u00a0=\u00a04.53, for 2 effective degrees of freedom" in found.said


def test_of_a_column_the_fewest_degrees_of_the_rows_that_move_the_answer_are_taken() -> None:
    def run(_: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
        both = rows["x"]
        return Answer("sum of the first two", float(both[:2].sum()), "1"), Answer("last", float(both[2]), "1")

    of = made(run=run, columns=(Column("x", "", "x"),))
    rows = {"x": np.array([1.0, 2.0, 3.0])}
    first, last = evaluate(of, {}, rows, {}, {"x": np.array([0.2, 0.2, 0.2])}, {}, {"x": np.array([9.0, 4.0, 2.0])})
    assert (first.dof, last.dof) == (4.0, 2.0)
    assert first.doubt == pytest.approx(0.2 * student(4)) and last.doubt == pytest.approx(0.1 * student(2))


def test_the_scatter_of_rows_and_what_is_doubted_of_an_input_meet_as_standard_doubts() -> None:
    """A mean of three with s = 1, times a factor that is known to 0.5 of itself, both by hand."""

    def run(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
        mean, u = float(rows["x"].mean()), float(stats.sem(rows["x"]))
        by = given["by"]
        return (Answer("scaled", by * mean, "1", doubt=student(2) * by * u, dof=2.0),)

    of = made("by", run=run, columns=(Column("x", "", "x"),))
    (found,) = evaluate(of, {"by": 2.0}, {"x": np.array([9.0, 10.0, 11.0])}, {"by": 0.2}, None, {})
    u = (2.0 * 1.0 / math.sqrt(3.0), 10.0 * 0.1)
    dof = (u[0] ** 2 + u[1] ** 2) ** 2 / (u[0] ** 4 / 2.0)
    assert found.dof == pytest.approx(dof, rel=1e-4)
    assert found.doubt == pytest.approx(student(dof) * math.hypot(*u), rel=1e-4)
