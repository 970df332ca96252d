"""Doubt: components, combination, effective degrees of freedom, and the fast road against the slow one."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

import GTC
import pytest
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st

import asfound.measure as m
from asfound.measure import Component, Correlation, Distribution, Kind
from asfound.measure.budget import expanded_of

size = st.floats(min_value=1e-9, max_value=1e6)
dof = st.one_of(st.just(m.INFINITE), st.integers(1, 200).map(float))


def part(u: float, dof: float = m.INFINITE, sensitivity: float = 1.0) -> Component:
    return Component("part", Kind.B, u, Distribution.STANDARD, dof=dof, sensitivity=sensitivity)


@pytest.mark.parametrize(
    ("distribution", "divisor"),
    [
        (Distribution.STANDARD, 1.0),
        (Distribution.RECTANGULAR, math.sqrt(3)),
        (Distribution.TRIANGULAR, math.sqrt(6)),
        (Distribution.U_SHAPED, math.sqrt(2)),
        (Distribution.EXPANDED, 2.5),
    ],
)
def test_divisors(distribution: Distribution, divisor: float) -> None:
    """JCGM 100:2008, 4.3.3, 4.3.7, 4.3.9; u-shaped from memory."""
    one = Component("one", Kind.B, 3.0, distribution, k=2.5)
    assert one.u == pytest.approx(3.0 / divisor, rel=1e-15)


@pytest.mark.parametrize(
    ("distribution", "draws"),
    [
        (Distribution.RECTANGULAR, scipy.stats.uniform(-1, 2)),
        (Distribution.TRIANGULAR, scipy.stats.triang(0.5, -1, 2)),
        (Distribution.U_SHAPED, scipy.stats.arcsine(-1, 2)),
    ],
)
def test_divisors_against_the_distributions_themselves(distribution: Distribution, draws: Any) -> None:
    """scipy.stats as oracle: the standard deviation of each shape of half-width 1."""
    assert Component("one", Kind.B, 1.0, distribution).u == pytest.approx(draws.std(), rel=1e-12)


def test_conventional_two() -> None:
    assert m.coverage_factor(m.INFINITE) == 2.0
    assert m.coverage_factor(m.INFINITE, 0.95) == pytest.approx(1.959964, abs=1e-6)


@given(st.integers(1, 500), st.floats(0.5, 0.9999))
def test_coverage_against_scipy_stats(nu: int, level: float) -> None:
    assert m.coverage_factor(float(nu), level) == pytest.approx(scipy.stats.t.ppf((1 + level) / 2, nu), rel=1e-9)


@given(st.lists(st.tuples(size, dof, st.floats(-5, 5)), min_size=1, max_size=6))
def test_against_gtc(parts: list[tuple[float, float, float]]) -> None:
    """GTC, an independent library of uncertainty, as oracle: u and the degrees of freedom before truncation."""
    budget = m.Budget(tuple(part(u, nu, c) for u, nu, c in parts))
    total = sum((c * GTC.ureal(0.0, u, nu) for u, nu, c in parts), GTC.ureal(0.0, 0.0))
    assert budget.combined == pytest.approx(GTC.uncertainty(total), rel=1e-9, abs=1e-300)
    theirs = GTC.dof(total)
    if math.isfinite(theirs) and theirs < 1e6:
        assert budget.dof_exact == pytest.approx(theirs, rel=1e-6)


def test_correlated_against_gtc() -> None:
    """GTC as oracle for a correlated pair of finite degrees of freedom: 0.2864 and 5."""
    one, two = GTC.multiple_ureal([1.0, 2.0], [0.2, 0.1], 5)
    one.set_correlation(0.8, two)
    total = one + two
    budget = m.Budget((part(0.2, 5), part(0.1, 5)), (Correlation(0, 1, 0.8),))
    assert budget.combined == pytest.approx(GTC.uncertainty(total), rel=1e-12)
    assert budget.dof == pytest.approx(GTC.dof(total))


def test_a_correlated_pair_counts_by_how_far_each_moves_the_result() -> None:
    """GTC as oracle, and JCGM 100:2008, 5.2.2, by hand: 0.4² + 0.3² - 2 x 0.5 x 0.4 x 0.3 = 0.13."""
    one, two = GTC.multiple_ureal([1.0, 2.0], [0.2, 0.1], 5)
    one.set_correlation(0.5, two)
    parts = (part(0.2, 5, 2.0), part(0.1, 5, -3.0))
    made = m.Budget(parts, (Correlation(0, 1, 0.5),)).combined
    assert made == pytest.approx(GTC.uncertainty(2 * one - 3 * two), rel=1e-12)
    assert made == pytest.approx(math.sqrt(0.13), rel=1e-12)


def test_what_nothing_is_stated_of_adds_nothing() -> None:
    assert m.accuracy_half_width(100.0) == 0.0
    for reading in (0.0, 100.0):
        assert m.expanded_fast(reading, m.RangeDoubt(resolution=0.1)) == pytest.approx(0.1 / math.sqrt(3), rel=1e-12)


def test_contributions_given_as_twice_the_standard_doubt() -> None:
    """JCGM 100:2008, G.4.1, by hand: 1.5 with 4 degrees of freedom and 2 known make 2.5 with 4 / 0.36² = 30.86, so t
    for 30, which table G.2 gives as 2.09 at 95.45 %; their root of squares may be known already."""
    for twice in (None, 5.0):
        made = expanded_of((3.0, 4.0), (4.0, math.inf), twice=twice)
        assert made.dof == pytest.approx(4 / 0.36**2, rel=1e-12)
        assert made.k == pytest.approx(scipy.stats.t.ppf(0.97725, 30), rel=1e-9)
        assert made.k == pytest.approx(2.09, abs=0.005)
        assert pytest.approx(2.5 * made.k, rel=1e-12) == made.U


@pytest.mark.parametrize("level", [0.0, 1.0, -0.5, 95.45])
def test_a_level_lies_between_none_and_all(level: float) -> None:
    for dof in (5.0, math.inf):
        with pytest.raises(ValueError, match="between 0 and 1"):
            m.coverage_factor(dof, level)


def test_fully_correlated_parts_add_or_cancel() -> None:
    parts = (part(3.0), part(4.0, sensitivity=-1.0))
    assert m.Budget(parts, (Correlation(0, 1, 1.0),)).combined == pytest.approx(1.0)
    assert m.Budget(parts, (Correlation(0, 1, -1.0),)).combined == pytest.approx(7.0)


@given(st.lists(st.tuples(size, dof), min_size=1, max_size=6))
def test_laws_of_the_effective_degrees(parts: list[tuple[float, float]]) -> None:
    """Never below the smallest, never above the sum (JCGM 100:2008, G.4.1), whole, and not rounded up."""
    budget = m.Budget(tuple(part(u, nu) for u, nu in parts))
    exact, whole = budget.dof_exact, budget.dof
    least, total = min(nu for _, nu in parts), sum(nu for _, nu in parts)
    assert least * (1 - 1e-9) <= exact <= total * (1 + 1e-9)
    if math.isfinite(exact):
        assert whole == int(whole) >= 1
        assert exact - 1 < whole <= exact * (1 + 1e-11)
    assert budget.coverage() >= 2.0


@pytest.mark.parametrize("nu", [1.0, 2.0, 5.0, 17.0, 49.0])
def test_one_finite_part_keeps_its_degrees(nu: float) -> None:
    """Rounding of the computer must not take a degree away."""
    for u in (0.1, 0.3, 1e-7, 7e5):
        assert m.Budget((part(u, nu),)).dof == nu


def test_shares_sum_to_one_without_correlation() -> None:
    budget = m.Budget((part(1.0), part(2.0), part(2.0)))
    assert budget.shares == pytest.approx((1 / 9, 4 / 9, 4 / 9))
    assert m.Budget((part(0.0),)).shares == (0.0,)
    assert m.Budget((part(0.0),)).dof == m.INFINITE
    assert m.Budget(()).expanded() == 0.0


def test_repeats() -> None:
    repeats = m.from_repeats([10.1, 10.2, 10.4, 10.1])
    assert repeats.u == pytest.approx(scipy.stats.sem([10.1, 10.2, 10.4, 10.1]))
    assert repeats.dof == 3 and repeats.kind is Kind.A
    with pytest.raises(ValueError, match="two readings"):
        m.from_repeats([1.0])


def test_accuracy_by_hand() -> None:
    """2 % of 80 plus 0.1 plus 2 digits of 0.1 is 1.9; resolution 0.05; certificate 0.25: by hand 2.2515 at k 2."""
    known = m.RangeDoubt(percent=2, absolute=0.1, digits=2, resolution=0.1, certificate=0.5, k=2)
    budget = m.range_budget(80.0, known)
    assert [one.value for one in budget.components] == pytest.approx([1.9, 0.05, 0.5])
    assert budget.expanded() == pytest.approx(2 * math.sqrt(1.9**2 / 3 + 0.05**2 / 3 + 0.25**2), rel=1e-14)


part_of_range = st.floats(0, 1e4)
ranges = st.builds(
    m.RangeDoubt,
    percent=st.floats(0, 50),
    absolute=part_of_range,
    digits=st.integers(0, 50).map(float),
    resolution=part_of_range,
    certificate=part_of_range,
    k=st.floats(1, 4),
    dof=dof,
    zero=st.sampled_from([0.0, -17.8, 273.15]),
)


@given(st.floats(-1e6, 1e6), ranges, st.sampled_from([0.9545, 0.95, 0.99]))
def test_the_fast_road_is_the_slow_road(reading: float, known: m.RangeDoubt, level: float) -> None:
    """To the last bit."""
    assert m.expanded_fast(reading, known, level) == m.range_budget(reading, known).expanded(level)


def test_repeats_join_the_budget() -> None:
    known = m.RangeDoubt(percent=1)
    assert len(m.range_budget(5.0, known, repeats=[5.0, 5.1, 5.2]).components) == 4
    assert len(m.range_budget(5.0, known, repeats=[5.0]).components) == 3


def test_six_digits() -> None:
    assert m.doubt(2.2514995829310047) == Decimal("2.25150")
    assert m.doubt(30.0) == 30 and str(m.doubt(30.0)) == "30"
    assert m.doubt(0.0) == 0
    with pytest.raises(ValueError, match="finite"):
        m.doubt(math.nan)


@pytest.mark.parametrize(
    "make",
    [
        lambda: part(-1.0),
        lambda: part(math.nan),
        lambda: part(math.inf),
        lambda: part(1.0, 0.5),
        lambda: part(1.0, math.nan),
        lambda: part(1.0, sensitivity=math.inf),
        lambda: Component("one", Kind.B, 1.0, Distribution.EXPANDED, k=0.0),
        lambda: m.Budget((part(1.0),), (Correlation(0, 1, 0.5),)),
        lambda: m.Budget((part(1.0), part(1.0)), (Correlation(0, 0, 0.5),)),
        lambda: m.Budget((part(1.0), part(1.0)), (Correlation(0, 1, 1.5),)),
        lambda: m.coverage_factor(0.5),
        lambda: m.coverage_factor(5.0, 1.0),
    ],
)
def test_what_cannot_be_is_refused(make: Any) -> None:
    with pytest.raises(ValueError):
        make()


@pytest.mark.parametrize("pair", [(0, 2, 0.5), (2, 0, 0.5), (-1, 0, 0.5), (0, 0, 0.5), (0, 1, 1.01), (0, 1, -1.01)])
def test_a_correlation_names_two_components_that_are_there(pair: tuple[int, int, float]) -> None:
    parts = tuple(m.Component(name, m.Kind.B, 1.0, m.Distribution.STANDARD, dof=5.0) for name in ("a", "b"))
    with pytest.raises(ValueError, match="correlation"):
        m.Budget(parts, (m.Correlation(*pair),))
    for tied in ((0, 1), (1, 0)):
        whole = m.Budget(parts, (m.Correlation(*tied, 1.0),))
        # Alike in everything, two doubts add up as they are (JCGM 100:2008, 5.2.2, note 1), and know as little as one.
        assert whole.combined == 2.0 and whole.dof == 5.0


def test_of_components_that_hang_together_the_less_known_decides_from_either_place() -> None:
    parts = tuple(
        m.Component(name, m.Kind.A, 1.0, m.Distribution.STANDARD, dof=dof) for name, dof in (("a", 3.0), ("b", 50.0))
    )
    assert [m.Budget(parts, (m.Correlation(*tied, 0.1),)).dof for tied in ((0, 1), (1, 0))] == [3.0, 3.0]


def test_what_is_not_said_of_an_accuracy_adds_nothing() -> None:
    assert m.accuracy_half_width(-50.0, percent=2.0) == 1.0
    assert m.accuracy_half_width(50.0, absolute=0.5) == 0.5
    assert m.accuracy_half_width(50.0, digits=3.0, resolution=0.1) == pytest.approx(0.3)
    assert m.from_certificate(3.0).u == 1.5, "k is 2 where a certificate does not say (JCGM 100:2008, 6.3.3)"
