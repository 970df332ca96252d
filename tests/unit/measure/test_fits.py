"""Means, lines and the checks of an output against its settings."""

from __future__ import annotations

import statistics
from decimal import Decimal

import pytest
import scipy.stats
from hypothesis import assume, given
from hypothesis import strategies as st

import asfound.measure as m

D = Decimal
readings = st.lists(st.floats(-1e6, 1e6), min_size=3, max_size=40)


@given(readings)
def test_spread_against_the_standard_library(values: list[float]) -> None:
    """statistics, which works in exact fractions, as oracle."""
    found = m.spread(values)
    assert found.mean == pytest.approx(statistics.fmean(values), rel=1e-12, abs=1e-9)
    assert found.s == pytest.approx(statistics.stdev(values), rel=1e-9, abs=1e-9)


def test_spread_of_one_and_of_equals() -> None:
    assert m.spread([5.0]) == m.Spread(1, 5.0, None, None)
    assert m.spread([5.0, 5.0]) == m.Spread(2, 5.0, 0.0, None)
    with pytest.raises(ValueError, match="at least one"):
        m.spread([])


@given(st.lists(st.tuples(st.integers(-1000, 1000), st.floats(-1e3, 1e3)), min_size=3, max_size=30))
def test_line_against_scipy(points: list[tuple[int, float]]) -> None:
    """scipy.stats.linregress as oracle."""
    x, y = [float(a) for a, _ in points], [b for _, b in points]
    assume(len(set(x)) > 2 and max(y) - min(y) > 1e-3)
    ours, theirs = m.line(x, y), scipy.stats.linregress(x, y)
    assert ours.slope == pytest.approx(theirs.slope, rel=1e-7, abs=1e-7)
    assert ours.intercept == pytest.approx(theirs.intercept, rel=1e-7, abs=1e-5)
    assert ours.u_slope == pytest.approx(theirs.stderr, rel=1e-4, abs=1e-6)
    assert ours.u_intercept == pytest.approx(theirs.intercept_stderr, rel=1e-4, abs=1e-3)
    assert ours.covariance == pytest.approx(ours.r * ours.u_slope * ours.u_intercept, rel=1e-9, abs=1e-12)
    assert ours.dof == len(x) - 2


def test_the_line_is_surest_at_the_mean() -> None:
    """At the mean of x the doubt of the line is s / sqrt(n), which needs the covariance to come out."""
    line = m.line([1.0, 2.0, 3.0, 6.0], [1.1, 1.9, 3.2, 5.9])
    assert line.at(3.0)[1] == pytest.approx(line.s / 2.0, rel=1e-12)


def test_lines_that_cannot_be() -> None:
    for x, y in (([1.0, 2.0], [1.0, 2.0]), ([1.0] * 3, [1.0, 2.0, 3.0]), ([1.0, 2.0, 3.0], [1.0])):
        with pytest.raises(ValueError, match=r"three points|two places|one y"):
            m.line(x, y)
    assert m.line([1.0, 2.0, 3.0], [4.0, 4.0, 4.0]).r_squared is None


def test_percent_deviation() -> None:
    assert m.percent_deviation(D(78), D(100)) == -22
    assert m.percent_deviation(D(-78), D(-100)) == 22
    assert m.percent_deviation(D(5), D(0)) is None


def test_linearity_through_the_origin() -> None:
    found = m.linearity([0, 25, 50, 100], [1.0, 25.0, 50.0, 90.0])
    slope = (25 * 25 + 50 * 50 + 100 * 90) / (25**2 + 50**2 + 100**2)
    assert found.slope == pytest.approx(slope)
    assert found.deviations[0] is None
    assert found.worst == 1
    assert found.deviations[1] == pytest.approx(100 * (25 / (25 * slope) - 1))
    assert m.linearity([10.0, 20.0], [0.0, 0.0]).worst is None
    with pytest.raises(ValueError, match="other than 0"):
        m.linearity([0.0], [1.0])
    with pytest.raises(ValueError, match="one reading"):
        m.linearity([0.0], [])


def test_halvings() -> None:
    """Common practice, no source: half the setting, about half the output."""
    found = m.halvings([D(100), D(50), D(25), D(60)], [D(92), D(46), D(20), D(55)])
    assert found == (m.Halving(0, 1, D(0)), m.Halving(1, 2, m.percent_deviation(D(20), D(23)) or D(0)))
    assert float(found[1].deviation) == pytest.approx(-13.04, abs=0.01)
    assert m.halvings([D(0), D(0)], [D(1), D(1)]) == ()
    assert m.halvings([D(2), D(1)], [D(0), D(1)]) == ()
    with pytest.raises(ValueError, match="one reading"):
        m.halvings([D(0)], [])
