"""Ranges hold everything, steps are round, mapping is exact at its ends."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.figures.curve_spec import Curve, Shown
from asfound.figures.scale import Ruler, nice_step, place, ruler, rulers, scale_for, tick_text
from asfound.figures.spec import Axis, Chart, ChartKind, Scale

from .examples import ALL, leakage, output

numbers = st.lists(st.floats(-1e9, 1e9, allow_subnormal=False).map(lambda v: round(v, 6)), min_size=1, max_size=20)


@given(numbers)
def test_a_linear_range_holds_every_number_and_its_ticks_are_evenly_spaced(values: list[float]) -> None:
    made = ruler(Axis("a"), values)
    slack = 1e-6 * (made.high - made.low)
    assert made.low - slack <= min(values) and max(values) <= made.high + slack
    gaps = [b.value - a.value for a, b in zip(made.ticks, made.ticks[1:], strict=False)]
    assert all(math.isclose(g, gaps[0], rel_tol=1e-6, abs_tol=slack) for g in gaps)
    assert 2 <= len(made.ticks) <= 13


@given(st.lists(st.floats(1e-6, 1e6), min_size=1, max_size=20))
def test_a_logarithmic_range_holds_every_number(values: list[float]) -> None:
    made = ruler(Axis("a", scale=Scale.LOG), values)
    assert made.low < min(values) and max(values) < made.high
    to = place(made, 0, 100)
    assert to(made.low) == pytest.approx(0) and to(made.high) == pytest.approx(100)


@given(st.floats(1e-6, 1e9))
def test_a_step_is_one_two_or_five_times_a_power_of_ten(length: float) -> None:
    step = nice_step(length)
    lead = step / 10 ** math.floor(math.log10(step) + 1e-9)
    assert min(abs(lead - v) for v in (1, 2, 5, 10)) < 1e-6
    assert 1.9 < length / step < 5.1


@pytest.mark.parametrize(
    ("value", "step", "text"),
    [(0, 50, "0"), (-20, 10, "−20"), (0.30000000000000004, 0.1, "0.3"), (10000, 5000, "10\u202f000"),
     (-0.0, 1, "0"), (1234567, 1, "1\u202f234\u202f567"), (9999, 1, "9999"), (0.05, 0.05, "0.05")],
)  # fmt: skip
def test_tick_text(value: float, step: float, text: str) -> None:
    """Thin groups from five digits on: SI Brochure, 9th edition, 5.4.4 (from memory)."""
    assert tick_text(value, step) == text


def test_the_scale_is_linear_until_a_factor_of_thirty_and_wherever_zero_is() -> None:
    assert scale_for([10, 300]) is Scale.LINEAR
    assert scale_for([10, 301]) is Scale.LOG
    assert scale_for([0, 5000]) is Scale.LINEAR
    assert scale_for([]) is Scale.LINEAR
    assert leakage().x.scale is Scale.LOG


@pytest.mark.parametrize("make", ALL)
def test_every_reading_with_its_doubt_and_every_limit_is_inside(make) -> None:
    chart = make()
    across, up = rulers(chart)
    for series in chart.series:
        for p in series.points:
            assert across.low <= p.x <= across.high and up.low <= p.y <= up.high
            if p.doubt and not chart.rows:
                assert up.low <= p.y - p.doubt and p.y + p.doubt <= up.high
            if p.doubt and chart.rows:
                assert p.x + p.doubt <= across.high
    for x, y in chart.line_places():
        assert across.low <= x <= across.high and up.low <= y <= up.high


def test_output_starts_at_zero_on_both_axes() -> None:
    across, up = rulers(output())
    assert across.low == 0 and up.low == 0


def test_noise_about_zero_gets_no_step_of_its_own_below_it() -> None:
    """An axis that goes a whole step below zero says that the quantity does so."""
    axis = Axis("pressure", "cmH2O")
    quiet = ruler(axis, [-0.04, 0.03, 7.9])
    assert [tick.text for tick in quiet.ticks] == ["0", "2", "4", "6", "8"] and -0.5 < quiet.low < -0.04
    loud = ruler(axis, [-0.9, 0.03, 7.9])
    assert loud.ticks[0].text == "−2" and loud.low == -2.0


def test_the_axis_of_a_curve_ends_near_its_last_place() -> None:
    """63 s of a record on steps of 20 s would leave a fifth of the axis empty; 58 s leave too little to speak of."""

    def across(last: float) -> Ruler:
        shown = Shown((Curve("c", ((0.0, 0.0), (last, 1.0))),))
        return rulers(Chart("c", ChartKind.TRACES, "t", "r.", Axis("x", "s"), Axis("y"), shown=shown))[0]

    assert [tick.value for tick in across(63.0).ticks] == [0, 20, 40, 60]
    assert 63.0 < across(63.0).high < 65.0
    assert across(58.0).high == 60.0
