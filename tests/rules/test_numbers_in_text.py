"""Numbers in prose: what is a copy of a reading, what slipped, and what cannot be data at all."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from asfound.measure.units import UNITS
from asfound.problems import Level
from asfound.rules.report._typed import (
    Shape,
    counted,
    plain_number,
    rounds_to,
    slip,
    spoken_unit,
    spoken_units,
    typed_numbers,
)
from tests.rules.support import Edit, assert_fires, assert_silent, run_with

RULES = {"number-retyped", "doubt-retyped", "share-retyped", "count-retyped"}
TOUCH = "touch current [=R-touch-3] with the earth open."


def f3(text: str) -> Edit:
    return ("findings.yml", TOUCH, text)


FREE = """\
touch current [=R-touch-3] with the earth open. It was read on 2026-03-09 at 15:12 with M-2 [R-touch-3].
The limit is 100 uA [R-touch-3]. It stays below 100 uA [R-touch-3].
The supply was 120.4 V, 60 Hz [R-touch-3]. The body model is of 1 kohm [R-touch-3].
A fuse of 3.15 A was fitted [R-touch-3]. The 50 ohm load was warm [R-touch-3].
The meter was in its 200 uA range [R-touch-3]. It settled after 10 s [R-touch-3].
The clause is 8.7.3 of edition 3.2 [R-touch-3]. Figure 12 shows the set-up [R-touch-3].
Model 500 mL, serial 4471 mA-2, software 2.4 [R-touch-3].
It was read three times within 5 min [R-touch-3], the last one at a room of 22 °C.
The cord is 2.5 m long, its conductor 1.5 mm2 [R-touch-3].
The reading is less than 100 uA by far [R-touch-3]. It would need more than 500 uA to trip [R-touch-3].
The rate was set to 100 mL/h [A-1]. At 100 mL/h it was as in [R-flow-4].
It lay 12 % above the setting [R-flow-5]. About 12 % of such bags leak [R-flow-5].
Three of the four latches were whole [R-touch-3]. One of them was bent [R-touch-3].
Two of three staff tell of it [W-1]. It was tried by one of the two examiners [R-flow-4].
The handbook states from 90 to 110 mL/h [R-flow-4]. The readings lie from 111 to 113 mL/h [R-flow-4] [R-flow-5].
Between 111 and 113 mL/h was delivered [R-flow-4]. The doubt is ±1.9 uA [R-touch-3].
A cylinder of 10 L stood beside it [R-flow-4]. The 100 mL/h setting was as found [R-flow-4].
The first 10 mL were thrown away [R-flow-again-1]. It had run for 1 h 20 min [R-flow-4].
In the year 2019 it was bought for 4500 dollars [R-flow-4]."""


def test_numbers_that_cannot_be_data_are_let_pass() -> None:
    """Dates, settings cited, limits, sizes of things, clauses, other quantities. Common practice, no source."""
    indented = FREE.replace("\n", "\n    ")
    old = f"  text: Protective earth [=R-earth-2] at the pole clamp, {TOUCH}"
    edit = ("findings.yml", old, f"  text: >-\n    Protective earth [=R-earth-2] at the pole clamp, {indented}")
    assert [problem.headline() for problem in run_with([edit]) if problem.rule in RULES] == []


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("touch current 61.2 mA [R-touch-3].", "types 61.2 mA, 1000 times R-touch-3 (61.2 uA)"),
        ("touch current 0.0612 uA [R-touch-3].", "types 0.0612 uA, 1/1000 of R-touch-3"),
        ("touch current 612 uA [R-touch-3].", "types 612 uA, 10 times R-touch-3"),
        ("touch current 6.1 uA [R-touch-3].", "types 6.1 uA, 1/10 of R-touch-3"),
        ("touch current 61.2 amps [R-touch-3].", "types 61.2 A, 1000000 times R-touch-3"),
        ("touch current 61.2 milliamperes [R-touch-3].", "types 61.2 mA, 1000 times R-touch-3"),
        ("a current of 92 uA [R-touch-3].", "types 92 uA beside R-touch-3, which is 61.2 uA"),
        ("it rose to 92 uA [R-touch-3].", "types 92 uA beside R-touch-3"),
        (
            "the flow was 112.3 mL/min [R-flow-5].",
            "types 112.3 mL/min, the figures of R-flow-5 (112.3 mL/h) under another",
        ),
        ("earth read 151 ohm [R-earth-2].", "types 151 ohm, 1000 times R-earth-2 (151 mohm)"),
        ("from 70 to 80 uA [R-touch-3].", "types 70 to 80 uA beside R-touch-3, which is 61.2 uA and lies outside"),
        ("from 60 to 62 mA [R-touch-3].", "and lies outside"),
        ("from 600 to 620 uA [R-touch-3].", "lies outside; it holds 10 times it"),
        ("the rate stood at 40 mL/h [A-1].", "types 40 mL/h beside A-1, which is 100 mL/h"),
    ],
)
def test_copies_that_differ_are_refused(text: str, says: str) -> None:
    if "40 mL/h" in text:
        text = text.replace("stood at", "was")
    assert_fires("number-retyped", [f3(text)], at=("findings.yml", text), says=says)


@pytest.mark.parametrize(
    ("text", "ref"),
    [
        ("touch current 61 uA [R-touch-3].", "R-touch-3"),
        ("touch current 0.061 mA [R-touch-3].", "R-touch-3"),
        ("touch current 61.2 microamps [R-touch-3].", "R-touch-3"),
        ("touch current 61.2 µA [S-touch].", "R-touch-3"),
    ],
)
def test_copies_that_agree_are_asked_to_be_references(text: str, ref: str) -> None:
    says = f"which is the value of {ref}"
    assert_fires("number-retyped", [f3(text)], at=("findings.yml", text), level=Level.WARN, says=says)


def test_explanations_and_summary_are_read_too() -> None:
    why = "why: Two instruments show the same flow at the rate that was in use."
    edit = ("explanations.yml", why, "why: The flow was 1123 mL/h [R-flow-5].")
    assert_fires(
        "number-retyped", [edit], at=("explanations.yml", "1123"), says="X-1 types 1123 mL/h, 10 times R-flow-5"
    )


def test_doubt_retyped() -> None:
    good, bad = "touch current [=R-touch-3] ± 1.9 uA.", "touch current [=R-touch-3] ± 19 uA."
    assert_fires(
        "doubt-retyped",
        [f3(bad)],
        at=("findings.yml", bad),
        says="the doubt computed for R-touch-3 is ±1.9 uA",
    )
    assert_silent("doubt-retyped", [f3(good)])


def test_share_retyped() -> None:
    """112.3 mL/h at 100 mL/h: 12.3 % above, by arithmetic."""
    bad = "it lies 21 % above the setting [R-flow-5]."
    assert_fires("share-retyped", [f3(bad)], at=("findings.yml", bad), says="of R-flow-5 it is 12.3 %")
    low = "it lies 12.3 % below its setting [R-flow-5]."
    assert_fires("share-retyped", [f3(low)], at=("findings.yml", low), says="it is \u221212.3 %")
    assert_silent("share-retyped", [f3("it lies 12 % above the setting [R-flow-5].")])
    assert_silent("share-retyped", [f3("it lies 21 % above its neighbour [R-flow-5].")])


def test_count_retyped() -> None:
    table = {"readings/earth.csv": "row,point,value [mohm]\n1,case screw,3 of 10\n2,pole clamp,151\n"}
    bad = "it opened in 7 of 10 flexes [R-earth-1]."
    assert_fires(
        "count-retyped",
        [f3(bad)],
        extra=table,
        at=("findings.yml", bad),
        says='types "7 of 10 flexes" beside R-earth-1, which has 3 of 10',
    )
    words = "it opened in three of thirteen flexes [R-earth-1]."
    assert_fires("count-retyped", [f3(words)], extra=table, at=("findings.yml", words), says="which has 3 of 10")
    same = "it opened in three of ten flexes [R-earth-1]."
    says = "a reference is needed instead: [=R-earth-1]"
    assert_fires("count-retyped", [f3(same)], extra=table, at=("findings.yml", same), level=Level.WARN, says=says)
    other = "two of three leads were tried; it opened in [=R-earth-1] flexes."
    assert_silent("count-retyped", [f3(other)], extra=table)


def test_rows_that_say_yes_are_counted() -> None:
    rows = "".join(f"{n},p{n},{'no' if n == 7 else 'yes'}\n" for n in range(1, 11))
    table = {"readings/earth.csv": f"row,point,value\n{rows}"}
    bad = "it held in ten of ten trials [S-earth]."
    assert_fires("count-retyped", [f3(bad)], extra=table, at=("findings.yml", bad), says="S-earth, which has 9 of 10")
    assert_silent("count-retyped", [f3("it held in nine of ten trials, not in 1 of 10 [S-earth].")], extra=table)


def test_combinations_are_counted_by_the_plan() -> None:
    bad = "one of the two combinations was measured [S-flow]."
    assert_fires("count-retyped", [f3(bad)], at=("findings.yml", bad), says="S-flow, which has 2 of 2")
    assert_silent("count-retyped", [f3("two of two combinations were measured [S-flow].")])


@pytest.mark.parametrize(
    ("typed", "plain"),
    [
        ("1 123", "1123"),
        ("1,123", "1123"),
        ("112,3", "112.3"),
        ("1\u202f123.5", "1123.5"),
        ("90", "90"),
        ("\u22125", "-5"),
    ],
)
def test_numbers_as_prose_writes_them(typed: str, plain: str) -> None:
    assert plain_number(typed) == Decimal(plain)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("61.2 and 63.4 uA", ["61.2 uA", "63.4 uA"]),
        ("5.0, 6.0 and 7.0 mL/h", ["5.0 mL/h", "6.0 mL/h", "7.0 mL/h"]),
        ("61\u201363 µA", ["61 to 63 uA"]),
        ("between 61 and 63 uA", ["61 to 63 uA"]),
        ("61.2 ± 1.9 uA", ["61.2 uA", "±1.9 uA"]),
        ("46 of 120 cm2", ["46 cm2", "120 cm2"]),
        ("\u22125 degC", ["-5 degC"]),
        ("5 millilitres per hour", ["5 mL/h"]),
        ("36.0 degrees Celsius", ["36.0 degC"]),
        ("twelve mA", []),
        ("2026-03-09 15:12", []),
        ("figure 12 of the standard", []),
        ("3 in a row", []),
    ],
)
def test_numbers_are_read_from_a_sentence(text: str, found: list[str]) -> None:
    assert [one.shown for one in typed_numbers(text)] == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("in 3 of 10 flexes", [(3, 10)]),
        ("Thirty-one of the thirty-two combinations", [(31, 32)]),
        ("none of ten trials", [(0, 10)]),
        ("20 of 18", []),
        ("46 of 120 cm2", []),
        ("one of them", []),
        ("the 3 of March", []),
    ],
)
def test_counts_are_read_from_a_sentence(text: str, found: list[tuple[int, int]]) -> None:
    assert [(one.n, one.of) for one in counted(text)] == found


def test_every_unit_is_known_by_its_name() -> None:
    """The names are those of the SI Brochure and its companions, as in the list of units (from memory)."""
    for one in UNITS:
        if one.symbol and "," not in one.name and one.name != "number of" and not one.name.startswith("per "):
            (typed,) = typed_numbers(f"5 {one.name}")
            assert (typed.shape, typed.unit) == (Shape.PLAIN, one), one.name


NAMES = {name: one for names in spoken_units().values() for name, one in names}
ONE_PATTERN = re.compile(rf"({'|'.join(sorted(NAMES, key=len, reverse=True))})(?![\w/])", re.IGNORECASE)
PIECES = sorted({piece for name in NAMES for piece in (name, *name.split())} | {"s", "/", "-", "\u0130", "\u212a"})


@given(st.lists(st.sampled_from((*PIECES, *" " * 300)), max_size=8).map("".join), st.integers(0, 3), st.booleans())
@example("millilitres per hour per kilogram", 0, True)
@example("\u212aelvins", 0, False)
def test_a_unit_in_words_is_what_one_pattern_of_all_names_finds(text: str, at: int, loud: bool) -> None:
    """The second road: all names in one pattern, the longest first. A Kelvin sign is a K to both."""
    text = text.upper() if loud else text
    match = ONE_PATTERN.match(text, at)
    assert spoken_unit(text, at) == (None if match is None else (match[1].lower(), NAMES[match[1].lower()]))


def test_a_long_s_makes_no_unit_of_a_word() -> None:
    """A capital of it is an S, which a pattern that minds no capitals takes it for; the list has no such name."""
    assert typed_numbers("It took 5 volt\u017f at the plug.") == ()


def test_a_slip_is_the_power_of_ten_it_is_off_by() -> None:
    assert [slip(Decimal("61.2"), Decimal(text)) for text in ("61200", "0.0612", "612", "6.1", "63", "61.2e6")] == [
        3, -3, 1, -1, 0, 6,
    ]  # fmt: skip
    assert rounds_to(Decimal("0.25"), Decimal("0.2")) and rounds_to(Decimal("0.25"), Decimal("0.3"))


def test_a_reading_of_thirty_digits_is_held_against_a_number_of_few() -> None:
    """A cell may hold 30 digits, by a slip; it differs from what the text says, and the check goes on."""
    long = ("readings/touch.csv", "61.2", "612" + "0" * 27)
    assert_fires(
        "number-retyped",
        [long, f3("a touch current of 3.14159 uA [R-touch-3].")],
        at=("findings.yml", "a touch current of 3.14159 uA"),
        says="3.14159",
    )
    assert slip(Decimal(10) ** 29, Decimal("3.14159")) == 0


def test_a_decimal_comma_behind_a_nought_is_no_sign_of_thousands() -> None:
    """`0,151` is 0.151: no number of thousands begins with 0."""
    assert plain_number("0,151") == Decimal("0.151") and plain_number("-0,151") == Decimal("-0.151")
    [one] = typed_numbers("It was 0,151 mA at last.")
    assert one.values == (Decimal("0.151"),)
    assert plain_number("1,151") == Decimal("1151")
    read = ("readings/touch.csv", "61.2", "0.612")
    problem = assert_fires(
        "number-retyped",
        [read, f3("a touch current of 0,612 uA [R-touch-3].")],
        at=("findings.yml", "a touch current of 0,612 uA"),
        level=Level.WARN,
        says="which is the value of R-touch-3",
    )
    assert "1000 times" not in problem.found


def test_a_long_row_of_numbers_is_read_all_the_same() -> None:
    """A number that could be read in two ways must not make a text of them take for ever."""
    assert typed_numbers("111,111, " * 2000) == ()
