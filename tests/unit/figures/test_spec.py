"""A chart refuses data that cannot be drawn truthfully."""

from __future__ import annotations

import pytest
from msgspec import structs

from asfound.figures.spec import Axis, Chart, ChartKind, Line, Point, Scale, Series, Words

from .examples import ALL, leakage, output


@pytest.mark.parametrize("make", ALL)
def test_the_examples_stand(make) -> None:
    chart = make()
    assert chart.result.endswith(".")
    assert chart == make()


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), float("-inf")])
def test_numbers_that_are_not_finite_are_refused(bad: float) -> None:
    axis = Axis("a", "W")
    with pytest.raises(ValueError, match="not a finite number"):
        Chart("c", ChartKind.DEVIATION, "t", "r.", axis, axis, (Series("s", (Point(1, bad, ref="R-1"),)),))
    with pytest.raises(ValueError, match="not a finite number"):
        Chart("c", ChartKind.DEVIATION, "t", "r.", axis, axis, lines=(Line("l", ((0, bad),)),))


def test_a_doubt_below_zero_is_refused_and_the_reading_named() -> None:
    axis = Axis("a", "W")
    with pytest.raises(ValueError, match=r"R-7.*doubt below zero"):
        Chart("c", ChartKind.DEVIATION, "t", "r.", axis, axis, (Series("s", (Point(1, 2, doubt=-1, ref="R-7"),)),))


def test_a_logarithmic_axis_cannot_show_zero() -> None:
    chart = output()
    with pytest.raises(ValueError, match="logarithmic axis cannot show 0"):
        structs.replace(chart, x=Axis("setting", "W", Scale.LOG))


def test_rows_must_exist() -> None:
    with pytest.raises(ValueError, match="row 99"):
        structs.replace(leakage(), words=(Words(99, "not measured"),))
    with pytest.raises(ValueError, match="need a category axis"):
        structs.replace(output(), words=(Words(0, "not measured"),))


@pytest.mark.parametrize("bad", ["", "1st", "a b", 'x"><script>', "ä"])
def test_an_id_must_be_usable_as_an_id(bad: str) -> None:
    with pytest.raises(ValueError, match="chart id"):
        structs.replace(output(), id=bad)


def test_the_axis_title_names_unit_and_logarithm() -> None:
    assert Axis("leakage", "µA", Scale.LOG).title == "leakage (µA, logarithmic)"
    assert Axis("count").title == "count"
