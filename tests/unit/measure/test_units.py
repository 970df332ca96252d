"""Units: every conversion against pint, an independent library, and the suggestions."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

import asfound.measure as m
from asfound.measure import Quantity, Unit

SUPERSCRIPTS = {
    "A/m2": "A/m**2", "A/cm2": "A/cm**2", "mA/cm2": "mA/cm**2", "uA/cm2": "uA/cm**2", "A2s": "A**2*s", "W/m2": "W/m**2",
    "kW/m2": "kW/m**2", "W/cm2": "W/cm**2", "mW/cm2": "mW/cm**2", "uW/cm2": "uW/cm**2", "m2": "m**2", "cm2": "cm**2",
    "mm2": "mm**2", "m3": "m**3", "m3/h": "m**3/h", "kg/m3": "kg/m**3", "Nm": "N*m", "cNm": "cN*m", "Ah": "A*h",
    "mAh": "mA*h", "Wh": "W*h", "kWh": "kW*h", "%": "percent", "/s": "1/s", "/min": "1/min", "/h": "1/h",
    "degC": "degC", "degF": "degF", "K": "delta_degC", "mK": "mK", "deg": "degree", "in": "inch",
    "VA": "V*A", "kVA": "kV*A", "klx": "klx", "d": "day", "h": "hour", "dL": "dL",
}  # fmt: skip
# Nothing in these two converts, so there is nothing to compare.
ALONE = (Quantity.SOUND_LEVEL, Quantity.COUNT)


@pytest.fixture(scope="module")
def registry() -> Any:
    return pint.UnitRegistry(non_int_type=Decimal)


PAIRS = [(one, two) for one in m.UNITS for two in m.UNITS if one.quantity is two.quantity and one.quantity not in ALONE]


@pytest.mark.parametrize("quantity", [q for q in Quantity if q not in ALONE])
def test_every_pair_agrees_with_pint(registry: Any, quantity: Quantity) -> None:
    checked = 0
    for one, two in PAIRS:
        if one.quantity is not quantity:
            continue
        ours = m.convert(Decimal("36.85"), one, two)
        source = registry.Quantity(Decimal("36.85"), SUPERSCRIPTS.get(one.symbol, one.symbol))
        theirs = source.to(SUPERSCRIPTS.get(two.symbol, two.symbol)).magnitude
        assert float(ours) == pytest.approx(float(theirs), rel=1e-12), (one.symbol, two.symbol)
        checked += 1
    assert checked == sum(one.quantity is quantity for one in m.UNITS) ** 2


def test_the_pairs_cover_the_list() -> None:
    """No unit is left out of the comparison, and every quantity has a unit."""
    assert {one.symbol for one, _ in PAIRS} | {"dB(A)", "1"} == {one.symbol for one in m.UNITS}
    assert {one.quantity for one in m.UNITS} == set(Quantity)


def test_no_spelling_is_lost() -> None:
    for one in m.UNITS:
        for spelling in (one.symbol, *one.aliases):
            assert m.unit(spelling) is one
        assert m.unit(one.si_text or "1") is one


@pytest.mark.parametrize("text", ["uA", "µA", "μA"])
def test_both_micro_signs(text: str) -> None:
    assert m.unit(text) is m.unit("uA")


@pytest.mark.parametrize("text", ["ohm", "Ω", "\u2126", "Ohm"])
def test_both_ohm_signs(text: str) -> None:
    assert m.unit(text) is m.unit("ohm")


def test_case_counts() -> None:
    milli, mega = m.unit("mohm"), m.unit("Mohm")
    assert milli and mega and mega.factor / milli.factor == 10**9
    assert m.unit("MOHM") is None and m.unit("ma") is None and m.unit(" mA") is None and m.unit("") is None


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("MOHM", "Mohm or mohm"),
        ("ma", "mA"),
        ("Ohms", "ohm"),
        ("u A", "uA"),
        ("[W]", "W"),
        ("cmh2o", "cmH2O"),
        ("mL/hour", "mL/h"),
        ("A^2s", "A2s"),
        ("xyzzy", None),
        ("", None),
        ("m" * 500, None),
    ],
)
def test_what_was_probably_meant(text: str, meant: str | None) -> None:
    assert m.nearest(text) == meant


def unit(text: str) -> Unit:
    found = m.unit(text)
    assert found is not None
    return found


def test_powers_of_ten_keep_the_digits_shown() -> None:
    shifted = m.convert(Decimal("1.10"), unit("mA"), unit("uA"))
    assert shifted == 1100 and shifted.as_tuple().digits == (1, 1, 0)


def test_exact_pressures() -> None:
    """Conventional pressures of NIST SP 811, appendix B.8 (rounded there; from memory)."""
    assert m.convert(Decimal(1), unit("mmHg"), unit("Pa")) == Decimal("133.322387415")
    assert m.convert(Decimal(1), unit("cmH2O"), unit("Pa")) == Decimal("98.0665")
    assert float(m.convert(Decimal(1), unit("psi"), unit("kPa"))) == pytest.approx(6.894757, rel=1e-7)


def test_temperature_and_its_differences() -> None:
    assert m.convert(Decimal("98.6"), unit("degF"), unit("degC")) == 37
    assert m.convert(Decimal("37"), unit("degC"), unit("degF")) == Decimal("98.6")
    assert m.convert_difference(Decimal("1.8"), unit("degF"), unit("K")) == 1
    assert m.convert_difference(Decimal("0.3"), unit("degC"), unit("mK")) == 300
    assert m.kelvin(Decimal("37.0")) == Decimal("310.15")


def test_other_quantities_are_refused_in_words() -> None:
    with pytest.raises(m.OtherQuantityError, match="mmHg measures pressure and mL/h measures volume flow"):
        m.convert(Decimal(1), unit("mmHg"), unit("mL/h"))
    with pytest.raises(m.OtherQuantityError):
        m.convert(Decimal(6), unit("K"), unit("degC"))
    with pytest.raises(m.OtherQuantityError):
        m.convert_difference(Decimal(6), unit("A"), unit("V"))
    for one, other in (("K", "s"), ("degC", "mmHg"), ("s", "K"), ("mmHg", "degC")):
        with pytest.raises(m.OtherQuantityError):
            m.convert_difference(Decimal(6), unit(one), unit(other))
    with pytest.raises(m.OtherQuantityError):
        m.convert(Decimal(1), unit("Hz"), unit("/min"))


@given(
    st.sampled_from(PAIRS),
    st.decimals(min_value=-(10**6), max_value=10**6, places=3, allow_nan=False, allow_infinity=False),
)
def test_there_and_back(pair: tuple[Unit, Unit], value: Decimal) -> None:
    one, two = pair
    back = m.convert(m.convert(value, one, two), two, one)
    assert abs(Fraction(back) - Fraction(value)) <= Fraction(1, 10**20)
