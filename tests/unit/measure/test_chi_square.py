"""Chi-square, against a library and against a printed table."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import chdtrc, chdtri

from asfound.measure.chi_square import MOST_DOF, beyond, quantile

# NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4 (from memory): the value that a share lies above.
PRINTED = {
    (1, 0.05): 3.841, (1, 0.975): 0.001, (2, 0.05): 5.991, (3, 0.01): 11.345, (4, 0.975): 0.484, (5, 0.025): 12.833,
    (9, 0.95): 3.325, (10, 0.05): 18.307, (20, 0.99): 8.260, (30, 0.025): 46.979, (100, 0.05): 124.342,
}  # fmt: skip


@pytest.mark.parametrize(("where", "printed"), PRINTED.items())
def test_the_printed_table(where: tuple[int, float], printed: float) -> None:
    dof, tail = where
    assert round(quantile(tail, dof), 3) == printed


@given(st.integers(1, MOST_DOF), st.floats(0.0005, 0.9995))
def test_the_library_says_the_same(dof: int, tail: float) -> None:
    value = quantile(tail, dof)
    assert math.isclose(value, float(chdtri(dof, tail)), rel_tol=1e-9)
    assert math.isclose(beyond(value, dof), tail, rel_tol=1e-11)
    assert math.isclose(beyond(value, dof), float(chdtrc(dof, value)), rel_tol=1e-11)


@given(st.integers(MOST_DOF + 1, 10**6), st.floats(0.001, 0.999))
def test_the_library_is_asked_for_many(dof: int, tail: float) -> None:
    assert math.isclose(float(chdtrc(dof, quantile(tail, dof))), tail, rel_tol=1e-6)


def test_both_ways_meet() -> None:
    below, above = (quantile(0.025, dof) for dof in (MOST_DOF, MOST_DOF + 1))
    assert 1.0 < above - below < 1.1


@pytest.mark.parametrize(("value", "dof"), [(-1.0, 3), (1.0, 0), (1.0, MOST_DOF + 1)])
def test_what_lies_outside_is_refused(value: float, dof: int) -> None:
    with pytest.raises(ValueError, match="degrees of freedom are 1 to"):
        beyond(value, dof)


@pytest.mark.parametrize("tail", [0.0, 1.0, -0.1, math.nan])
def test_a_share_is_one(tail: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        quantile(tail, 3)
