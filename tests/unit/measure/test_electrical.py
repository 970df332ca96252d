"""Electrical arithmetic: laws and refusals; the published numbers are in tests/reference."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import asfound.measure as m

D = Decimal
positive = st.decimals(D("0.001"), 10000, places=3)


@given(positive, positive)
def test_scaling_to_the_same_voltage_changes_nothing(current: Decimal, voltage: Decimal) -> None:
    assert m.scale_to_nominal(current, voltage, voltage) == current


@given(positive, positive, positive)
def test_scaling_there_and_back(current: Decimal, one: Decimal, two: Decimal) -> None:
    back = m.scale_to_nominal(m.scale_to_nominal(current, one, two), two, one)
    assert abs(back - current) < D("1e-25")


@given(positive)
def test_the_bipolar_limit_gives_one_per_cent_in_200_ohm(power: Decimal) -> None:
    amps = m.bipolar_leakage_limit(power) / 1000
    assert float(m.power_in(amps, D(200))) == pytest.approx(float(power) / 100, rel=1e-12)


@given(positive, positive)
def test_time_and_heating_factor_agree(factor: Decimal, current: Decimal) -> None:
    seconds = m.time_to_heating_factor(factor, current)
    assert float(m.heating_factor([(current, seconds)])) == pytest.approx(float(factor), rel=1e-12)


def test_worst_of() -> None:
    assert m.worst_of([D(1), D(-3), D(3), D(2)]) == 1
    assert m.worst_of([]) is None
    assert m.worst_of_polarity(None, D(1)) is None
    assert m.worst_of_polarity(D(-2), D(1)) == 2


def test_no_activation_no_heat() -> None:
    assert m.heating_factor([]) == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: m.scale_to_nominal(D(1), D(0), D(230)),
        lambda: m.scale_to_nominal(D(1), D(230), D(-1)),
        lambda: m.bipolar_leakage_limit(D(0)),
        lambda: m.heating_factor([(D(1), D(-1))]),
        lambda: m.time_to_heating_factor(D(30), D(0)),
        lambda: m.current_density(D(1), D(0)),
        lambda: m.corner_frequency(0.0, 1.0),
    ],
)
def test_what_cannot_be_is_refused(call: Any) -> None:
    with pytest.raises(ValueError, match=r"."):
        call()
