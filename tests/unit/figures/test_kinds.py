"""What the builders decide: where limits run, where they do not, which rows share one."""

from __future__ import annotations

import pytest

from asfound.figures.kinds import Floor, Row, Tolerance, leakage_by_condition, output_against_setting
from asfound.figures.spec import Axis, Point, Scale, Series, Shape

from .examples import leakage, monitor, output


def test_the_band_widens_with_the_setting_and_begins_at_the_floor() -> None:
    """Plus and minus 20 percent of 120 W is 96 W and 144 W."""
    band = output().bands[0]
    assert band.lower[0] == pytest.approx((12, 9.6)) and band.upper[0] == pytest.approx((12, 14.4))
    assert band.lower[-1] == pytest.approx((130, 104)) and band.upper[-1] == pytest.approx((130, 156))


def test_a_makers_curve_is_cut_exactly_at_the_floor() -> None:
    chart = output_against_setting(
        "c", "t", "r.", (Series("", (Point(50, 40),)),), x=Axis("s", "W"), y=Axis("m", "W"),
        curve=((0, 0), (10, 5), (100, 80)), tolerance=Tolerance(0.1, "low", "high"), floor=Floor(5, "none below"),
    )  # fmt: skip
    assert chart.bands[0].lower[0] == pytest.approx((5, 2.25))
    assert [p[0] for p in chart.bands[0].lower] == [5, 10, 100]
    assert chart.lines[-1].points[0] == (0, 0)


def test_without_a_curve_no_limit_is_drawn() -> None:
    series = (Series("", (Point(50, 40),)),)
    chart = output_against_setting("c", "t", "r.", series, x=Axis("s", "W"), y=Axis("m", "W"))
    assert chart.lines == () and chart.bands == ()


def test_every_setting_tried_has_a_tick_and_series_differ_by_shape() -> None:
    chart = output()
    assert [t.text for t in chart.x.ticks] == ["0", "20", "45", "90", "120"]
    assert [s.shape for s in chart.series] == [Shape.CIRCLE, Shape.SQUARE]


def test_neighbouring_rows_share_a_limit_and_others_do_not() -> None:
    spans = [(line.label, line.points[0][1], line.points[1][1]) for line in leakage().lines]
    assert spans == [("limit 100 µA", -0.45, 1.45), ("limit 500 µA", 1.55, 4.45), ("limit 50 µA", 5.55, 6.45)]


def test_an_exact_zero_keeps_the_axis_linear() -> None:
    rows = (Row("a", (Point(0, 0, "0 µA"),)), Row("b", (Point(5000, 0, "5000 µA"),)))
    chart = leakage_by_condition("c", "t", "r.", rows, label="leakage", unit="µA")
    assert chart.x.scale is Scale.LINEAR and chart.x.from_zero


def test_a_temperature_is_not_drawn_from_an_arbitrary_zero() -> None:
    rows = (Row("subject", (Point(34.6, 0, "34.6 °C"),)), Row("exemplar", (Point(35.9, 1, "35.9 °C"),), limit=36.3))
    chart = leakage_by_condition("c", "t", "r.", rows, label="measured", unit="°C")
    assert not chart.x.from_zero and (chart.x.low, chart.x.high) == (33.0, 38.0)
    narrow = leakage_by_condition("c", "t", "r.", rows[:1], label="measured", unit="°C")
    assert (narrow.x.low, narrow.x.high) == (33.0, 36.0), "a tenth of a degree never fills the axis"


def test_the_window_is_said_to_be_common_practice() -> None:
    assert monitor().spans[0].words == "window by common practice, no source"


@pytest.mark.parametrize("share", [0, 1, 20, -0.2])
def test_a_tolerance_is_a_fraction(share: float) -> None:
    with pytest.raises(ValueError, match="fraction between 0 and 1"):
        Tolerance(share, "", "")
