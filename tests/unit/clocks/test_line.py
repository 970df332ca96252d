"""A clock's offset as a line through what it was compared with."""

from __future__ import annotations

import math

import pytest

from asfound.clocks.estimate import DAY, Estimate, settled
from asfound.clocks.line import Sight, fit


def sight(day: float, offset: float, doubt: float = 2.0) -> Sight:
    return Sight(day * DAY, Estimate(offset), doubt / 2, f"compared on day {day}")


def test_two_comparisons_worked_by_hand() -> None:
    """Day 0: 60 s ahead, day 10: 80 s ahead, each ± 2 s (95 %), so standard 1 s.

    By hand: drift (80 - 60) / 10 = 2 s a day, standard sqrt(2) / 10 = 0.1414 s a day. Half-way (day 5) 70 s, standard
    sqrt(1/2) = 0.7071 s. At day -5: y = 1.5 * 60 - 0.5 * 80 = 50 s, standard sqrt(1.5² + 0.5²) = 1.5811 s, 3.162 s at
    95 %. Status: arithmetic, worked on paper.
    """
    line = fit("K-1", [sight(0, 60), sight(10, 80)], 1.0)
    assert line.allowance == 0.0
    assert line.drift is not None
    assert line.drift.value * DAY == pytest.approx(2.0)
    assert line.drift.doubt * DAY == pytest.approx(2 * math.sqrt(2) / 10)
    assert line.at(5 * DAY).value == pytest.approx(70.0)
    assert line.at(5 * DAY).doubt == pytest.approx(2 * math.sqrt(0.5))
    assert line.at(-5 * DAY).value == pytest.approx(50.0)
    assert line.at(-5 * DAY).doubt == pytest.approx(2 * math.sqrt(2.5))


def test_one_comparison_leaves_the_drift_to_an_allowance() -> None:
    """± 2 s at day 0 and up to 5 s a day: ten days away sqrt(2² + 50²) = 50.04 s."""
    line = fit("K-1", [sight(0, 60)], 5.0)
    assert line.drift is None
    assert line.at(0.0).doubt == pytest.approx(2.0)
    assert line.at(-10 * DAY).value == 60.0
    assert line.at(-10 * DAY).doubt == pytest.approx(math.hypot(2.0, 50.0))


def test_comparisons_minutes_apart_do_not_make_a_drift() -> None:
    line = fit("K-1", [sight(0, 60), sight(0.002, 61)], 5.0)
    assert line.drift is None
    assert line.at(0.001 * DAY).value == pytest.approx(60.5)
    assert line.at(-10 * DAY).doubt == pytest.approx(math.hypot(2 / math.sqrt(2), 50.005), rel=1e-6)


def test_a_drift_that_is_plain_counts_though_its_doubt_is_large() -> None:
    """A minute gained in a tenth of a day is no reading error."""
    line = fit("K-1", [sight(0, 60), sight(0.1, 120)], 5.0)
    assert line.drift is not None
    assert line.drift.value * DAY == pytest.approx(600.0)


def test_weights_follow_the_doubts() -> None:
    """Status: weighted mean of 10 ± 1 and 20 ± 3 is (10 * 9 + 20 * 1) / 10 = 11, worked by hand."""
    line = fit("K-1", [sight(0, 10, 1.0), sight(0, 20, 3.0)], 5.0)
    assert line.at(0.0).value == pytest.approx(11.0)


def test_comparisons_that_do_not_agree_widen_their_doubts() -> None:
    """0, 30, 0 s on days 0, 1, 2, each ± 2 s: the line is flat at 10, residuals -10, 20, -10; the sum of squares over
    standard 1 s is 600 with one degree of freedom, so the doubts grow by sqrt(600) = 24.5 (R. T. Birge, Phys. Rev. 40
    (1932) 207; from memory)."""
    tight = fit("K-1", [sight(0, 0), sight(1, 30), sight(2, 0)], 5.0)
    assert tight.scatter == pytest.approx(math.sqrt(600.0))
    assert tight.at(DAY).doubt == pytest.approx(2 * math.sqrt(1 / 3) * math.sqrt(600.0))
    # The doubt of its drift grows alike: 1 s over sqrt(1² + 0² + 1²) days, twice that, 24.5 times.
    assert tight.drift is not None
    assert tight.drift.value * DAY == pytest.approx(0.0)
    assert tight.drift.doubt * DAY == pytest.approx(2 / math.sqrt(2) * math.sqrt(600.0))


def test_two_comparisons_at_one_time_that_do_not_agree_widen_their_doubts() -> None:
    """60 and 62 s a minute and a half apart, each ± 2 s: no drift is told by them, the mean is 61, residuals -1 and 1.
    The sum of squares over standard 1 s is 2 with one degree of freedom, so the doubt of the mean, 2 s / sqrt(2), grows
    by sqrt(2). Status: arithmetic, worked on paper."""
    line = fit("K-1", [sight(0, 60), sight(0.001, 62)], 5.0)
    assert line.drift is None
    assert line.scatter == pytest.approx(math.sqrt(2.0))
    assert line.at(0.0005 * DAY).value == pytest.approx(61.0)
    assert line.at(0.0005 * DAY).doubt == pytest.approx(2.0)


def test_no_comparison_is_no_line() -> None:
    with pytest.raises(ValueError, match="at least one"):
        fit("K-1", [], 5.0)


def test_what_two_times_share_is_no_reason_to_doubt_their_order() -> None:
    early = Estimate(0.0, {"clock": 600.0, "a": 1.0})
    late = Estimate(10.0, {"clock": 600.0, "b": 1.0})
    assert settled(early, late)
    assert not settled(early, Estimate(10.0, {"another clock": 600.0}))
    assert not settled(early, early)
    assert not settled(early, Estimate(10.0, {}, frozenset({"K-9"})))
    assert settled(Estimate(0.0, {}, frozenset({"K-9"})), Estimate(1.0, {}, frozenset({"K-9"})))


def test_an_order_takes_a_gap_of_twice_the_standard_doubt() -> None:
    """3 s and 4 s, independent: 5 s standard, 10 s at 95 %."""
    first = Estimate(0.0, {"a": 3.0})
    assert not settled(first, Estimate(9.9, {"b": 4.0}))
    assert settled(first, Estimate(10.1, {"b": 4.0}))
    assert settled(first, Estimate(-10.1, {"b": 4.0}))
