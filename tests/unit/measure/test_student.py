"""Student's t, against a library and against the printed table."""

from __future__ import annotations

import math
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import stdtr, stdtrit

from asfound.measure.student import MOST_DOF, quantile, two_sided

# JCGM 100:2008, table G.2 (confirmed): t for a share p, by degrees of freedom.
TABLE_G2 = {
    (1, 0.95): 12.71, (1, 0.9545): 13.97, (1, 0.99): 63.66,
    (5, 0.90): 2.02, (5, 0.9545): 2.65, (10, 0.95): 2.23, (10, 0.99): 3.17, (20, 0.9545): 2.13, (100, 0.95): 1.984,
}  # fmt: skip


@pytest.mark.parametrize(("where", "printed"), TABLE_G2.items())
def test_the_printed_table(where: tuple[int, float], printed: float) -> None:
    dof, level = where
    digits = 3 if dof == 100 else 2
    assert round(quantile(level, dof), digits) == printed


@given(st.integers(1, MOST_DOF), st.floats(0.001, 0.9999))
def test_the_library_says_the_same(dof: int, level: float) -> None:
    t = quantile(level, dof)
    assert math.isclose(t, float(stdtrit(dof, 0.5 + level / 2.0)), rel_tol=1e-9)
    assert math.isclose(two_sided(t, dof), level, rel_tol=1e-12)
    assert math.isclose(two_sided(t, dof), 2.0 * float(stdtr(dof, t)) - 1.0, rel_tol=1e-9, abs_tol=1e-12)


@given(st.integers(MOST_DOF + 1, 10**9), st.floats(0.001, 0.9999))
def test_the_library_says_the_same_of_many(dof: int, level: float) -> None:
    assert math.isclose(quantile(level, dof), float(stdtrit(dof, 0.5 + level / 2.0)), rel_tol=1e-9)


def test_both_ways_meet() -> None:
    below, above = (quantile(0.9545, dof) for dof in (MOST_DOF, MOST_DOF + 1))
    assert 0.0 < below - above < 2e-5


@pytest.mark.parametrize("dof", [10**18, 10**80, 10**400])
def test_a_count_beyond_every_float_is_the_normal_distribution(dof: int) -> None:
    """A doubt that rests on next to nothing but the certificate has as many degrees of freedom as one likes."""
    assert math.isclose(quantile(0.9545, dof), NormalDist().inv_cdf(0.5 + 0.9545 / 2.0), rel_tol=1e-14)


@pytest.mark.parametrize(("t", "dof"), [(-1.0, 3), (1.0, 0), (1.0, MOST_DOF + 1)])
def test_what_lies_outside_is_refused(t: float, dof: int) -> None:
    with pytest.raises(ValueError, match="degrees of freedom are 1 to"):
        two_sided(t, dof)
    with pytest.raises(ValueError, match="between 0 and 1"):
        quantile(1.0, 3)
