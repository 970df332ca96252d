"""Numbers as text, in print and in JSON."""

from __future__ import annotations

import json
import math
from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

import asfound.measure as m
from asfound.model.number import Value, read_value

D = Decimal
N, T, M = "\u00a0", "\u202f", "\u2212"


def value(text: str) -> Value:
    got = read_value(text)
    assert isinstance(got, Value)
    return got


@pytest.mark.parametrize(
    ("number", "shown"),
    [
        ("0", "0"),
        ("1.10", "1.10"),
        ("-5", f"{M}5"),
        ("-0.0", "0.0"),
        ("1234", "1234"),
        ("12345", f"12{T}345"),
        ("-1234567.5", f"{M}1{T}234{T}567.5"),
        ("0.12345", f"0.123{T}45"),
        ("0.1234", "0.1234"),
        ("1E+3", "1000"),
        ("1.5E-7", f"0.000{T}000{T}15"),
    ],
)
def test_numbers(number: str, shown: str) -> None:
    assert m.show_number(D(number)) == shown


@pytest.mark.parametrize(
    ("text", "unit", "shown"),
    [
        ("92.40", "W", f"92.40{N}W"),
        ("-0.18", "ohm", f"{M}0.18{N}Ω"),
        ("+0.18", "ohm", f"+0.18{N}Ω"),
        ("12345", "uA", f"12{T}345{N}µA"),
        ("1.20e-6", "A", f"1.20{N}×{N}10⁻⁶{N}A"),
        ("45", "deg", "45°"),
        ("37.0", "degC", f"37.0{N}°C"),
        ("12", "%", f"12{N}%"),
        ("12", "1", "12"),
        ("12", None, "12"),
        ("<0.50", "mA", f"<{N}0.50{N}mA"),
        ("> 20", "mA", f">{N}20{N}mA"),
        ("3 of 10", None, f"3{N}of{N}10"),
        ("yes", None, "yes"),
        ("Alarm No", None, "alarm: no"),
        ("no output", "W", "no output"),
        ("over range", "W", "over range"),
        ("", "W", "no value"),
        ("not measured: part missing", "W", "not measured: part missing"),
    ],
)
def test_values(text: str, unit: str | None, shown: str) -> None:
    assert m.show_value(value(text), None if unit is None else m.unit(unit)) == shown


@given(st.from_regex(r"-?[0-9]{1,12}(\.[0-9]{1,10})?", fullmatch=True))
def test_no_typed_digit_is_lost_or_added(text: str) -> None:
    shown = m.show_value(value(text), m.unit("W"))
    assert shown.replace(T, "").replace(M, "-").replace(f"{N}W", "") == text


@pytest.mark.parametrize(
    ("y", "doubt", "shown"),
    [
        ("88.4", 3.8, f"88.4{N}W{N}±{N}3.8{N}W"),
        ("429.3333333333", 12.34, f"429{N}W{N}±{N}12{N}W"),
        ("88412", 380.0, f"88{T}410{N}W{N}±{N}380{N}W"),
        ("1.0045", 0.0996, f"1.00{N}W{N}±{N}0.10{N}W"),
        ("1.0045", 0.00962, f"1.0045{N}W{N}±{N}0.0096{N}W"),
        ("-0.0004", 0.12, f"0.00{N}W{N}±{N}0.12{N}W"),
        ("88", 0.038, f"88{N}W{N}±{N}0.038{N}W"),
        ("5", 0.0, f"5{N}W{N}±{N}0{N}W"),
        ("5.5", None, f"5.5{N}W"),
    ],
)
def test_value_and_doubt(y: str, doubt: float | None, shown: str) -> None:
    """JCGM 100:2008, 7.2.6: two digits of doubt, the value to the same place; digits nobody read are not added."""
    assert m.show_measured(D(y), doubt, m.unit("W")) == shown


@pytest.mark.parametrize(
    ("y", "doubt", "shown"),
    [
        ("14.8", 0.0082, f"14.8000{N}W{N}±{N}0.0082{N}W"),
        ("88", 0.038, f"88.000{N}W{N}±{N}0.038{N}W"),
        ("88412", 380.0, f"88{T}410{N}W{N}±{N}380{N}W"),
        ("1E+2", 3.8, f"100.0{N}W{N}±{N}3.8{N}W"),
        ("5", 0.0, f"5{N}W{N}±{N}0{N}W"),
    ],
)
def test_a_computed_value_ends_where_its_doubt_ends(y: str, doubt: float, shown: str) -> None:
    """JCGM 100:2008, 7.2.6 (from memory): value and doubt to the same place, zeros included."""
    assert m.show_measured(D(y), doubt, m.unit("W"), computed=True) == shown


@pytest.mark.parametrize(
    ("doubt", "rounded"), [(92.6, "93"), (0.125, "0.12"), (0.135, "0.14"), (99.6, "1.0E+2"), (0.0, "0")]
)
def test_two_digits(doubt: float, rounded: str) -> None:
    """93 nm is the published figure of JCGM 100:2008, H.1; the ties are rounded half to even."""
    assert m.two_digits(doubt).as_tuple() == D(rounded).as_tuple()
    assert m.show_doubt(92.6, m.unit("nm")) == f"±{N}93{N}nm"


@given(st.decimals(-(10**6), 10**6, places=8), st.floats(1e-6, 1e6))
def test_rounding_moves_a_value_by_less_than_a_twentieth_of_its_doubt(y: Decimal, doubt: float) -> None:
    """Half of one unit in the second digit of the doubt, which is at least a tenth of it."""
    assert abs(m.round_to_doubt(y, doubt) - y) <= m.two_digits(doubt) / 20


@pytest.mark.parametrize(
    ("chance", "shown"),
    [
        (0.90879, f"90.9{N}%"),
        (0.5, f"50.0{N}%"),
        (0.9990001, f"more than 99.9{N}%"),
        (1.0, f"more than 99.9{N}%"),
        (0.999, f"99.9{N}%"),
        (0.001, f"0.1{N}%"),
        (0.0009, f"less than 0.1{N}%"),
        (0.0, f"less than 0.1{N}%"),
        (None, "not computed"),
    ],
)
def test_chances(chance: float | None, shown: str) -> None:
    assert m.show_chance(chance) == shown
    assert "probab" not in m.show_chance(chance)


@given(st.floats(0, 1))
def test_a_chance_is_never_certain(chance: float) -> None:
    shown = m.show_chance(chance)
    assert "100" not in shown and not shown.startswith("0.0")
    with pytest.raises(ValueError, match="between 0 and 1"):
        m.show_chance(chance + 1.1)


def test_percent() -> None:
    assert m.show_percent(D("-15.2174"), signed=True) == f"{M}15.2{N}%"
    assert m.show_percent(D("15.25"), signed=True) == f"+15.2{N}%"
    assert m.show_percent(12.0, 0) == f"12{N}%"
    assert m.show_percent(D("-0.01"), signed=True) == f"0.0{N}%"


@pytest.mark.parametrize(
    ("low", "high", "strict", "shown"),
    [
        (None, "500", (False, False), f"at most 500{N}µA"),
        (None, "0.50", (False, True), f"less than 0.50{N}µA"),
        ("80", None, (False, False), f"at least 80{N}µA"),
        ("80", None, (True, False), f"more than 80{N}µA"),
        ("80", "120", (False, False), f"from 80{N}µA to 120{N}µA"),
        ("80", "120", (True, True), f"more than 80{N}µA and less than 120{N}µA"),
        ("80", "120", (False, True), f"at least 80{N}µA and less than 120{N}µA"),
        (None, None, (False, False), "no limit"),
    ],
)
def test_limits(low: str | None, high: str | None, strict: tuple[bool, bool], shown: str) -> None:
    lower, upper = (None if text is None else D(text) for text in (low, high))
    assert m.show_limit(lower, upper, m.unit("uA"), *strict) == shown


def test_times() -> None:
    zone = timezone(timedelta(hours=1))
    assert m.show_time(datetime(2026, 11, 25, 14, 5, tzinfo=zone)) == "2026-11-25 14:05 +01:00 (Wed)"
    assert m.show_time(datetime(2026, 11, 25, 14, 5, 7, 120000, tzinfo=UTC)) == "2026-11-25 14:05:07.12 +00:00 (Wed)"
    west = timezone(timedelta(hours=-4, minutes=-30))
    assert m.show_time(datetime(2026, 11, 29, 0, 0, tzinfo=west)) == f"2026-11-29 00:00 {M}04:30 (Sun)"
    assert m.show_time(datetime(2026, 11, 29, 9, 0)) == "2026-11-29 09:00 zone not stated (Sun)"
    assert m.show_date(date(2026, 3, 2)) == "2026-03-02 (Mon)"


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        ("0", f"0{N}s"),
        ("0.250", f"0.25{N}s"),
        ("35", f"35{N}s"),
        ("60", f"1{N}min"),
        ("7500", f"2{N}h 5{N}min"),
        ("183600.5", f"2{N}d 3{N}h 0.5{N}s"),
        ("-90", f"{M}1{N}min 30{N}s"),
    ],
)
def test_durations(seconds: str, shown: str) -> None:
    assert m.show_duration(D(seconds)) == shown
    assert m.show_duration(timedelta(seconds=float(seconds))) == shown


def test_digests() -> None:
    assert m.show_digest("ba7816bf8f01cfea") == "ba78 16bf 8f01 cfea"
    assert m.show_digest("ba7816bf8f01cfea", 6) == "ba78 16"


def test_figures_in_sentences() -> None:
    """A mean of three readings is not said to all its places; a doubt has two digits and the value ends there."""
    assert [m.show.short(one) for one in (249.1 / 3, 0.0, -1.25e-3, 1234.0)] == ["83", "0", f"{M}0.001{T}25", "1230"]
    assert m.show.short(99.73, 5) == "99.73"
    assert m.show.doubtful(83.0333, 0.331) == "83.03 ± 0.33"
    assert m.show.doubtful(83.0333, None) == "83"


@given(st.floats(1e-12, 1e12))
def test_json_doubts_keep_six_digits(doubt: float) -> None:
    text = m.json_doubt(doubt)
    read = json.loads(text)
    assert read == pytest.approx(doubt, rel=5.0001e-6)
    assert m.json_doubt(read) == text
    assert D(text) == m.doubt(doubt)


def test_json_refuses_what_is_no_number() -> None:
    for bad in (math.nan, math.inf):
        with pytest.raises(ValueError, match="finite"):
            m.json_doubt(bad)


@pytest.mark.parametrize(
    ("name", "text", "units", "shown"),
    [
        ("bath", "36.00", "°C", f"bath 36.00{N}°C"),
        ("setting", "90", "W", f"setting 90{N}W"),
        ("setting", "90 W", "", f"setting 90{N}W"),
        ("earth", "open", "", "earth open"),
        ("what", "by the reference", "", "by the reference"),
        ("second_pole", "7", "", "second pole 7"),
        ("start", "2026-03-09 13:00", "s", "start 2026-03-09 13:00"),
    ],
)
def test_a_condition_carries_the_unit_of_its_column(name: str, text: str, units: str, shown: str) -> None:
    assert m.show_condition(name, text, units) == shown
