"""The scalars of a case: each reads its own text and keeps it, and says of any other what stood there."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from asfound.model import base
from asfound.model.base import Amount, Duration, Moment, NotKnown, Told, told


def read(kind: Any, value: Any) -> Any:
    return TypeAdapter(kind).validate_python(value)


def refused(kind: Any, value: Any) -> tuple[str, str]:
    """The rule that refuses a value, and its message."""
    with pytest.raises(ValidationError) as caught:
        read(kind, value)
    error = caught.value.errors()[0]
    context = error.get("ctx", {})
    if "found" in context:
        assert context["found"] and context["needed"] and not context["found"].endswith(".")
    return error["type"], error["msg"]


# --- moments


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        ("2026-03-09 15:12 -05:00", "2026-03-09T20:12:00+00:00"),
        ("2026-03-09T15:12-05:00", "2026-03-09T20:12:00+00:00"),
        ("2026-03-09 15:12:30 +05:30", "2026-03-09T09:42:30+00:00"),
        ("2026-03-09 15:12:30.25Z", "2026-03-09T15:12:30.250000+00:00"),
        ("  2026-03-09 00:00 +00:00 ", "2026-03-09T00:00:00+00:00"),
        ("2026-03-09 15:12 \u221205:00", "2026-03-09T20:12:00+00:00"),
        ("2024-02-29 23:59 +14:00", "2024-02-29T09:59:00+00:00"),
    ],
)
def test_a_moment_is_kept_as_typed_and_placed_in_time(text: str, utc: str) -> None:
    made = read(Moment, text)
    assert made.text == text.strip() and made.utc.isoformat() == utc
    assert read(Moment, made) is made


@pytest.mark.parametrize(
    ("value", "rule"),
    [
        ("2026-03-09 15:12", "time-without-zone"),
        ("2026-03-09 15:12:00", "time-without-zone"),
        ("2026-02-30 15:12 +00:00", "time-unreadable"),
        ("2026-03-09 24:00 +00:00", "time-unreadable"),
        ("2026-03-09 15:60 +00:00", "time-unreadable"),
        ("2026-03-09", "time-unreadable"),
        ("09/03/2026 15:12 +00:00", "time-unreadable"),
        ("2026-03-09 3:12 pm", "time-unreadable"),
        ("1066-10-14 09:00 +00:00", "time-unreadable"),
        ("2026-03-09 15:12 CST", "time-unreadable"),
        ("２０２６-03-09 15:12 +00:00", "time-unreadable"),
        ("2026-03-09 15:12 +25:00", "time-unreadable"),
        ("2026-03-09 15:12 -14:01", "time-unreadable"),
        ("2026-03-09 15:12 +05:75", "time-unreadable"),
        (None, "time-unreadable"),
        (750, "time-unreadable"),
        ({}, "time-unreadable"),
    ],
)
def test_what_is_no_moment(value: Any, rule: str) -> None:
    assert refused(Moment, value)[0] == rule


def test_moments_are_ordered_by_instant_not_by_text() -> None:
    early, late = read(Moment, "2026-03-09 15:12 +01:00"), read(Moment, "2026-03-09 14:30 +00:00")
    assert early < late and late > early and early <= late and late >= early
    same = read(Moment, "2026-03-09 14:12 +00:00")
    assert early <= same and early >= same and early != same, "one instant, two texts: neither is lost"


@given(st.datetimes(min_value=dt.datetime(1900, 1, 2), max_value=dt.datetime(2199, 12, 30)), st.integers(-839, 839))
def test_any_moment_written_is_read_as_it_was_meant(at: dt.datetime, offset: int) -> None:
    zoned = at.replace(second=0, microsecond=0, tzinfo=dt.timezone(dt.timedelta(minutes=offset)))
    made = read(Moment, zoned.isoformat(" ", "minutes"))
    assert made.at == zoned and made.at.utcoffset() == zoned.utcoffset()


# --- days, amounts, durations


def test_a_day() -> None:
    assert read(base.Day, " 2026-03-09 ") == dt.date(2026, 3, 9)
    for value in ("2026-3-9", "09.03.2026", "2026-02-29", "2026-03-09 10:00", "20260309", None, 2026, ""):
        assert refused(base.Day, value)[0] == "date-unreadable", value


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [("90 W", "90", "W"), ("0.11 Ω", "0.11", "Ω"), ("-12\u00a0°C", "-12", "°C"), ("1.10 mL/h", "1.10", "mL/h"),
     ("2e3 ohm", "2e3", "ohm"), ("+5 %", "5", "%")],
)  # fmt: skip
def test_an_amount_keeps_its_digits_and_its_unit(text: str, value: str, unit: str) -> None:
    made = read(Amount, text)
    assert (made.text, str(made.value), made.unit) == (text, str(Decimal(value)), unit)


@pytest.mark.parametrize(
    ("value", "rule"),
    [("90", "amount-without-unit"), ("90W", "amount-unreadable"), ("W 90", "amount-unreadable"),
     ("1,5 W", "amount-unreadable"), ("\u22125 W", "amount-unreadable"), ("nan W", "amount-unreadable"),
     ("1e99 W", "amount-unreadable"), ("", "amount-unreadable"), (90, "amount-unreadable"), ([], "amount-unreadable")],
)  # fmt: skip
def test_a_missing_unit_is_never_guessed(value: Any, rule: str) -> None:
    assert refused(Amount, value)[0] == rule


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("40 min", 2400), ("-6 min 20 s", -380), ("1 h 05 min", 3900), ("+2 d", 172800), ("\u22121.5 s", "-1.5"),
     ("90min", 5400), ("0 s", 0), ("1 d 2 h 3 min 4.5 s", "93784.5")],
)  # fmt: skip
def test_a_duration(text: str, seconds: Any) -> None:
    assert read(Duration, text).seconds == Decimal(str(seconds))
    assert read(Duration, text).text == text


@pytest.mark.parametrize("value", ["40", "min", "", "5 min 1 h", "1:30", "40 minutes", "--5 s", None, 40])
def test_what_is_no_duration(value: Any) -> None:
    assert refused(Duration, value)[0] == "duration-unreadable"


# --- numbers, words, reasons


def test_yes_and_no_and_nothing_else() -> None:
    for word, meant in (("yes", True), ("No", False), ("TRUE", True), ("false", False), (True, True)):
        assert read(base.YesNo, word) is meant
    for word in ("y", "on", "1", "not known", None, 1, {}):
        assert refused(base.YesNo, word)[0] == "not-yes-or-no", word


def test_numbers_are_exact() -> None:
    assert str(read(base.Number, "1.10")) == "1.10"
    assert read(base.Number, 3) == 3 and read(base.Count, "3") == 3
    for value in ("1,5", "0x10", "", "१", True, None, 1.5):
        assert refused(base.Number, value)[0] == "value-not-a-number", value
    for value in ("-1", "1.5"):
        refused(base.Count, value)


def test_a_text_is_not_blank() -> None:
    assert read(base.Text, "  a b ") == "a b"
    for value in ("", "  ", "\u3000", None):
        assert refused(base.Text, value)[0] == "value-blank"


@pytest.mark.parametrize("ref", ["I-3", "R-output-12", "S-hf-leakage", "Y-x-port-agreement-2"])
def test_an_id(ref: str) -> None:
    assert read(base.Ref, ref) == ref


@pytest.mark.parametrize("ref", ["i-3", "I3", "I-", "I-A", "I-3-", "I--3", "II-3", "I-3 4", "I-é", "I-3\n4"])
def test_what_is_no_id(ref: str) -> None:
    refused(base.Ref, ref)


def test_a_second_use_of_a_test_is_named_by_two_hyphens() -> None:
    assert read(base.TestName, "output-power--swap") == "output-power--swap"
    for name in ("output---swap", "-output", "Output", "output--"):
        refused(base.TestName, name)


@pytest.mark.parametrize("name", ["not_recorded", "not_applicable", "not_accessible", "not_known"])
def test_a_reason_for_a_blank(name: str) -> None:
    made = read(Told, {name: "the label is worn off"})
    assert isinstance(made, NotKnown) and made.words == f"{name.replace('_', ' ')}: the label is worn off"
    assert told(made) == made.words and told(None) == "not stated" and told("a") == "a"


def test_exactly_one_reason() -> None:
    assert refused(NotKnown, {})[0] == "reason-not-single"
    both = refused(NotKnown, {"not_known": "a", "not_recorded": "b"})
    assert both[0] == "reason-not-single" and "not_recorded, not_known" in both[1]
    assert refused(Told, {"unknown": "a"})[0] == "extra_forbidden"
    assert refused(Told, {"not_known": " "})[0] == "value-blank"


def test_a_record_is_frozen_and_knows_its_fields() -> None:
    made = NotKnown(not_known="asked")
    with pytest.raises(ValidationError, match="frozen"):
        made.not_known = "changed"  # type: ignore[misc]


@given(st.text(max_size=40) | st.none() | st.integers() | st.lists(st.text(max_size=3), max_size=2))
def test_no_scalar_ever_answers_with_anything_but_a_value_or_a_refusal(value: Any) -> None:
    for kind in (Moment, Amount, Duration, base.Day, base.YesNo, base.Number, base.Text, base.Ref, base.Role, Told):
        try:
            made = read(kind, value)
        except ValidationError as error:
            assert error.errors()
        else:
            text = getattr(made, "text", None)
            assert text is None or text == value.strip()
            if text is not None:
                assert TypeAdapter(kind).dump_python(made) == text and read(kind, text) == made
