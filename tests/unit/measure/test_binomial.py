"""The exact bounds of a chance, against a library and against cases whose answer is known in closed form."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import bdtr, betaincinv

from asfound.measure.binomial import MOST_TRIALS, at_most, highest_chance

COUNTS = st.integers(1, MOST_TRIALS).flatmap(lambda n: st.tuples(st.integers(0, n - 1), st.just(n)))


@given(COUNTS, st.floats(0.0005, 0.9995))
def test_the_library_says_the_same(counts: tuple[int, int], tail: float) -> None:
    events, trials = counts
    found = highest_chance(events, trials, tail)
    assert math.isclose(found, float(betaincinv(events + 1, trials - events, 1.0 - tail)), rel_tol=1e-9)
    # Near certainty the last digit of the chance moves the rest by much more.
    assert math.isclose(at_most(events, trials, found), tail, rel_tol=1e-8)


@given(COUNTS, st.floats(0.0, 1.0))
def test_the_sum_is_that_of_the_library(counts: tuple[int, int], chance: float) -> None:
    assert math.isclose(at_most(*counts, chance), float(bdtr(*counts, chance)), rel_tol=1e-9, abs_tol=1e-15)


@given(st.integers(1, MOST_TRIALS), st.floats(0.001, 0.999))
def test_none_and_all_but_one_have_closed_forms(trials: int, tail: float) -> None:
    """No event: (1 - p)^n is the tail. All but one: 1 - p^n is."""
    assert math.isclose(highest_chance(0, trials, tail), -math.expm1(math.log(tail) / trials), rel_tol=1e-9)
    assert math.isclose(highest_chance(trials - 1, trials, tail), (1.0 - tail) ** (1.0 / trials), rel_tol=1e-9)


def test_both_ways_meet() -> None:
    below, above = (highest_chance(40, trials, 0.025) for trials in (MOST_TRIALS, MOST_TRIALS + 1))
    assert 0.0 < below - above < 5e-4


@pytest.mark.parametrize(
    ("events", "trials", "tail"), [(3, 3, 0.5), (-1, 3, 0.5), (0, 0, 0.5), (1, 3, 0.0), (1, 3, 1.0)]
)
def test_what_lies_outside_is_refused(events: int, trials: int, tail: float) -> None:
    with pytest.raises(ValueError, match="fewer than the trials"):
        highest_chance(events, trials, tail)
    with pytest.raises(ValueError, match="between 0 and the trials"):
        at_most(4, 3, 0.5)
