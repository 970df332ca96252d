"""The grammar of one cell: what it takes, and how each slip is explained."""

from __future__ import annotations

import time
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.model.number import Fault, Value, ValueKind, decimal_of, decimals, read_decimal, read_value

K = ValueKind


@pytest.mark.parametrize(
    "text", ["0", "92.4", "-0.18", "+5", "1.10", "007", "1.2e-6", "1e30", "1E-30", "9" * 30, "1e+5", "0.00"]
)
def test_numbers_are_exact_and_keep_their_zeros(text: str) -> None:
    value = read_value(text)
    assert isinstance(value, Value) and value.kind is K.NUMBER and value.is_number
    assert value.text == text
    assert value.number is not None
    assert value.number.as_tuple() == Decimal(text).as_tuple()
    assert read_decimal(text) == value.number


@pytest.mark.parametrize(
    ("text", "kind", "number", "of", "label", "why"),
    [
        ("", K.BLANK, None, None, "", ""),
        ("<0.5", K.BELOW, "0.5", None, "", ""),
        ("< 0.50", K.BELOW, "0.50", None, "", ""),
        (">20", K.ABOVE, "20", None, "", ""),
        (">-3", K.ABOVE, "-3", None, "", ""),
        ("over range", K.OVER_RANGE, None, None, "", ""),
        ("Over range", K.OVER_RANGE, None, None, "", ""),
        ("under range", K.UNDER_RANGE, None, None, "", ""),
        ("no output", K.NO_OUTPUT, None, None, "", ""),
        ("yes", K.YES, None, None, "", ""),
        ("No", K.NO, None, None, "", ""),
        ("alarm yes", K.YES, None, None, "alarm", ""),
        ("alarm no", K.NO, None, None, "alarm", ""),
        ("3 of 10", K.COUNT, "3", 10, "", ""),
        ("0 of 0", K.COUNT, "0", 0, "", ""),
        ("not measured: item kept by the ward", K.NOT_MEASURED, None, None, "", "item kept by the ward"),
        ("not obtainable:no adapter", K.NOT_OBTAINABLE, None, None, "", "no adapter"),
    ],
)
def test_other_values(text: str, kind: ValueKind, number: str | None, of: int | None, label: str, why: str) -> None:
    expected = Value(text, kind, None if number is None else Decimal(number), of, label, why)
    assert read_value(text) == expected


# text, words that must stand in `found`, offset
SLIPS = [
    ("NaN", "no finite number", 0),
    ("-inf", "no finite number", 0),
    ("Infinity", "no finite number", 0),
    ("∞", "infinity", 0),
    ("1_000", "underscore", 1),
    ("−5", "U+2212", 0),
    ("5–7", "U+2013", 1),
    ("1e−6", "U+2212", 2),
    ("1,5", "decimal comma", 1),
    (",5", "decimal comma", 0),
    ("1,234", "may stand for", 1),
    ("1,234.5", "comma between groups", 1),
    ("1,234,567", "comma between groups", 1),
    ("1.234,5", "point between groups", 1),
    ("1.234.567", "point between groups", 1),
    ("1 234", "space between groups", 1),
    ("1'234", "apostrophe", 1),
    ("５", "U+FF15", 0),
    ("1٣", "U+0663", 1),
    ("5²", "U+00B2", 1),
    ("1\u00a0234", "U+00A0", 1),
    ("5\u202fmA", "U+202F", 1),
    ("5\u200b", "cannot be seen", 1),
    ("5\u202e", "cannot be seen", 1),
    ("5\x00", "cannot be seen", 1),
    (" 5", "a space before", 0),
    ("5 ", "a space after", 1),
    ("\t5", "a space before", 0),
    ("   ", "only spaces", 0),
    ("27-Aug", "looks like a date", 0),
    ("Aug-27", "looks like a date", 0),
    ("3/4/2026", "looks like a date", 0),
    ("2026-03-04", "looks like a date", 0),
    ("3.4.2026", "looks like a date", 0),
    ("3/4", "fraction, a count or a date", 1),
    ("12:30", "time of day", 2),
    ("1.2E+12", "spreadsheets save", 3),
    ("1.23457E+11", "spreadsheets save", 7),
    (".5", "no digit before the point", 0),
    ("5.", "no digit after the point", 1),
    ("-.5", "no digit before the point", 1),
    ("0x1F", "another base", 0),
    ("0b11", "another base", 0),
    ("1" * 31, "31 digits", 0),
    ("0." + "0" * 30 + "1", "32 digits", 0),
    ("1e31", "the exponent 31", 1),
    ("1e-31", "the exponent -31", 1),
    ("1e" + "9" * 5000, "the exponent", 1),
    ("1e", "exponent without digits", 1),
    ("12 mA", "more than a number", 3),
    ("12mA", "more than a number", 2),
    ("<0.5 mA", "more than a number", 5),
    ("12 %", "more than a number", 3),
    ("5?", "the mark", 1),
    ("#DIV/0!", "spreadsheet error", 0),
    ("#N/A", "spreadsheet error", 0),
    ("#####", "spreadsheet error", 0),
    ("=A1", "formula", 0),
    ("+cmd", "formula", 0),
    ("@SUM", "formula", 0),
    ("5 ± 1", "doubt in one cell", 2),
    ("5+/-1", "doubt in one cell", 1),
    ("3-4", "two values", 1),
    ("3 to 4", "two values", 1),
    ("5 6", "two numbers", 1),
    ("~5", "an estimate", 0),
    ("<=0.5", "includes its own value", 1),
    ("≤0.5", "the sign ≤", 0),
    ("<", "nothing", 1),
    ("<1,5", "decimal comma", 2),
    ("< 1,5", "decimal comma", 3),
    ("<<5", '"<5"', 1),
    ("11 of 10", "more than there were", 0),
    ("not measured", "without a reason", 12),
    ("not measured:", "without a reason", 13),
    ("OL", '"OL"', 0),
    ("n/a", '"n/a"', 0),
    ("pass", "a verdict", 0),
    ("abc", '"abc"', 0),
    ("-", '"-"', 0),
]


@pytest.mark.parametrize(("text", "found", "offset"), SLIPS, ids=[repr(slip[0])[:20] for slip in SLIPS])
def test_every_slip_is_explained(text: str, found: str, offset: int) -> None:
    fault = read_value(text)
    assert isinstance(fault, Fault), fault
    assert found in fault.found
    assert fault.offset == offset
    assert fault.needed and fault.mend.endswith(".")
    assert len(fault.found) < 140 and len(fault.mend) < 160


def test_a_decimal_is_a_number_and_nothing_else() -> None:
    for text in ("", "yes", "<0.5", "3 of 10", "1,5", "NaN"):
        assert isinstance(read_decimal(text), Fault)


def test_what_looks_like_over_range_is_offered_not_assumed() -> None:
    fault = read_value("OL")
    assert isinstance(fault, Fault) and "over range" in fault.mend


@pytest.mark.parametrize(
    ("text", "shown"), [("1.10", 2), ("100", 0), ("1.2e3", -2), ("1.2e-3", 4), ("<0.50", 2), ("> 3", 0)]
)
def test_decimals_shown(text: str, shown: int) -> None:
    assert decimals(text) == shown


def test_decimals_of_a_word() -> None:
    with pytest.raises(ValueError, match=r"decimal number"):
        decimals("no output")


@given(st.text(max_size=60) | st.from_regex(r"[-+<>]?[0-9.,_/: eE+-]{1,20}[a-zA-Z%]{0,3}", fullmatch=True))
def test_who_does_not_ask_why_gets_the_same_number(text: str) -> None:
    read = read_decimal(text)
    assert decimal_of(text) == (None if isinstance(read, Fault) else read)


@given(st.text(max_size=60) | st.from_regex(r"[-+<>]?[0-9.,_/: eE+-]{1,20}[a-zA-Z%]{0,3}", fullmatch=True))
def test_nothing_raises_and_nothing_is_lost(text: str) -> None:
    got = read_value(text)
    if isinstance(got, Value):
        assert got.text == text
        assert text.isascii() or got.kind in (K.NOT_MEASURED, K.NOT_OBTAINABLE)
        assert got.number is None or got.number.is_finite()
    else:
        assert 0 <= got.offset <= len(text)
        assert got.found and got.needed and got.mend
        assert "\x00" not in got.found


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**12), max_value=10**12, places=4))
def test_a_plain_decimal_reads_back_exactly(number: Decimal) -> None:
    value = read_value(format(number, "f"))
    assert isinstance(value, Value) and value.number is not None
    assert value.number == number


LONG = [
    "1" * 200_000,
    "1," * 100_000,
    "1 " * 100_000 + "1",
    "<" * 100_000,
    "a" * 200_000,
    "1_" * 100_000,
    "1e" * 100_000,
]


@pytest.mark.parametrize("text", LONG, ids=[text[:2] for text in LONG])
def test_long_cells_take_no_time(text: str) -> None:
    """A pattern that tries every split takes minutes here; half a second is a hundred times what is needed."""
    start = time.process_time()
    fault = read_value(text)
    assert time.process_time() - start < 0.5
    assert isinstance(fault, Fault)
    assert len(fault.found) < 140


@pytest.mark.parametrize("piece", ["1", "1,", "1 ", "1_", "1e", "<", "-", "1.", "1'", "a", "1/", "1:", "#", "0x"])
def test_the_longest_cells_that_are_explained_take_no_time(piece: str) -> None:
    start = time.process_time()
    assert isinstance(read_value((piece * 120)[:119] + "z"), Fault)
    assert time.process_time() - start < 0.05
