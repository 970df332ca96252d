"""Student's t and chi-square against a numerical library, and against printed tables."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st

from asfound.measure.distributions import chi_square, chi_square_beyond, normal, student, student_within

dofs = st.integers(1, 400) | st.sampled_from([999, 1999, 2000, 2001, 50_000, 10**9])
levels = st.floats(0.01, 0.99999)


@given(dofs, levels)
def test_student_against_scipy(dof: int, level: float) -> None:
    assert student(float(dof), level) == pytest.approx(scipy.stats.t.ppf((1 + level) / 2, dof), rel=1e-9)


@given(st.integers(1, 2500), st.floats(0.0, 50.0))
def test_the_chance_within_against_scipy(dof: int, t: float) -> None:
    assert student_within(t, dof) == pytest.approx(1 - 2 * scipy.stats.t.sf(t, dof), rel=1e-9, abs=1e-12)


def test_student_against_the_printed_table() -> None:
    """JCGM 100:2008, table G.2, the column for 95.45 %; from memory."""
    table = {1: 13.97, 2: 4.53, 3: 3.31, 4: 2.87, 5: 2.65, 6: 2.52, 7: 2.43, 8: 2.37, 10: 2.28, 20: 2.13, 50: 2.05}
    for dof, t in table.items():
        assert student(float(dof), 0.9545) == pytest.approx(t, abs=0.005)


@given(levels)
def test_normal_against_scipy(level: float) -> None:
    assert normal(level) == pytest.approx(scipy.stats.norm.ppf((1 + level) / 2), rel=1e-9)


@given(st.integers(1, 600) | st.sampled_from([2776, 9999]), st.floats(0.001, 0.999))
def test_chi_square_against_scipy(dof: int, tail: float) -> None:
    x = chi_square(dof, tail)
    assert x == pytest.approx(scipy.stats.chi2.isf(tail, dof), rel=1e-9)
    assert chi_square_beyond(x, dof) == pytest.approx(tail, rel=1e-9)


def test_chi_square_against_the_printed_table() -> None:
    """Upper five and lower five per cent points, as every handbook prints them; from memory."""
    for dof, high, low in ((1, 3.841, 0.00393), (4, 9.488, 0.711), (10, 18.307, 3.940), (30, 43.773, 18.493)):
        assert chi_square(dof, 0.05) == pytest.approx(high, abs=0.0006)
        assert chi_square(dof, 0.95) == pytest.approx(low, abs=0.0006)


def test_the_level_grows_with_the_width() -> None:
    for dof in (1, 2, 3, 30):
        chances = [student_within(step / 4, dof) for step in range(40)]
        assert chances[0] == 0.0 and all(a < b < 1.0 for a, b in pairwise(chances))
    assert math.isclose(student_within(1.0, 1), 0.5)
