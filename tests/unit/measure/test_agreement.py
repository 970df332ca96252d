"""Agreement of measurements, repeatability, and what a number of trials can say."""

from __future__ import annotations

import math

import pytest
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st

import asfound.measure as m


@given(st.floats(-1e3, 1e3), st.floats(0.01, 1e3), st.floats(-1e3, 1e3), st.floats(0.01, 1e3))
def test_en_is_the_same_both_ways_but_for_the_sign(x: float, u: float, y: float, v: float) -> None:
    assert m.en_number(x, u, y, v) == -m.en_number(y, v, x, u)


def test_en_at_the_edge_and_without_doubt() -> None:
    """|En| of exactly 1 agrees (ISO/IEC 17043, annex B; from memory)."""
    assert m.en_agrees(m.en_number(5.0, 3.0, 0.0, 4.0))
    with pytest.raises(ValueError, match="doubt"):
        m.en_number(1.0, 0.0, 1.0, 0.0)


def test_ports() -> None:
    """Common practice, no source: ports of one function agree."""
    found = m.ports_agree({"B": (100.0, 3.0), "A": (92.0, 4.0), "C": (0.0, None)})
    assert [(pair.first, pair.second) for pair in found] == [("A", "B"), ("A", "C"), ("B", "C")]
    assert found[0].difference == 8.0 and found[0].percent == pytest.approx(8 / 96 * 100)
    assert found[0].en == pytest.approx(1.6) and found[0].agree is False
    assert found[1].en is None and found[1].agree is None
    assert m.ports_agree({"A": (0.0, 0.0), "B": (0.0, 0.0)})[0].percent is None
    assert m.ports_agree({"A": (0.0, 0.0)}) == ()


def test_repeatability_against_the_chi_square_distribution() -> None:
    """scipy.stats.chi2 as oracle; with five repeats s is known to a factor of almost five."""
    found = m.repeatability([10.0, 10.2, 9.9, 10.1, 10.3], 0.95)
    assert found.s == pytest.approx(0.158114, abs=1e-6)
    assert found.s_low == pytest.approx(found.s * math.sqrt(4 / scipy.stats.chi2.ppf(0.975, 4)))
    assert found.s_high == pytest.approx(found.s * math.sqrt(4 / scipy.stats.chi2.ppf(0.025, 4)))
    assert found.s_low < found.s < found.s_high
    for values, level in (([1.0], 0.95), ([1.0, 2.0], 1.0)):
        with pytest.raises(ValueError, match=r"two readings|level"):
            m.repeatability(values, level)


@given(st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))), st.floats(0.5, 0.999))
def test_exact_bounds_against_scipy(trial: tuple[int, int], level: float) -> None:
    """scipy.stats.binomtest as oracle, which solves for the interval by itself."""
    events, trials = trial
    result = scipy.stats.binomtest(events, trials)
    theirs = result.proportion_ci(level, "exact")
    low, high = m.interval(events, trials, level)
    assert low == pytest.approx(theirs.low, rel=1e-9, abs=1e-12)
    assert high == pytest.approx(theirs.high, rel=1e-9, abs=1e-12)
    one_sided = scipy.stats.binomtest(events, trials, alternative="less").proportion_ci(level, "exact").high
    assert m.upper_bound(events, trials, level) == pytest.approx(one_sided, rel=1e-9)


@given(st.integers(0, 50), st.integers(1, 50), st.floats(0.5, 0.999))
def test_the_bound_is_the_chance_that_would_just_give_so_few(events: int, more: int, level: float) -> None:
    """The definition itself: at the bound, so few events or fewer have the chance 1 - level."""
    bound = m.upper_bound(events, events + more, level)
    assert scipy.stats.binom.cdf(events, events + more, bound) == pytest.approx(1 - level, rel=1e-6)


def test_bounds_that_cannot_be() -> None:
    for events, trials, level in ((-1, 5, 0.95), (6, 5, 0.95), (0, 0, 0.95), (1, 5, 1.0)):
        with pytest.raises(ValueError, match=r"events|level"):
            m.upper_bound(events, trials, level)
    assert m.upper_bound(5, 5) == 1.0 and m.lower_bound(0, 5) == 0.0
