"""Problems for people: the exact lines, the counts, and nothing in them that acts."""

from __future__ import annotations

import sys
import unicodedata

import pytest

from asfound.emit import plain, summary, text
from asfound.problems import Problem

from .problems import ACTING, HOSTILE, LIFTED, NEEDED, NOTE, REJECT, WARN


@pytest.mark.parametrize(
    ("problem", "lines"),
    [
        (
            REJECT,
            "cases/a/sheets.yml:82:9 reject power-before-inspection — I-1 was energised at 09:40, and was inspected "
            "only at 09:50; the inspection before power is needed.\n"
            "    Record the true order.\n"
            "    See also cases/a/inspection.csv:4.",
        ),
        (
            WARN,
            "cases/a/custody.csv:2 warn custody-gap — nobody had charge of I-4; unbroken custody is needed.",
        ),
        (
            NEEDED,
            "cases/a/plan.yml still needed plan-missing — there is no plan; a plan before the first test is needed.",
        ),
        (NOTE, "cases/a/plan.yml:4:14 note limit-unconfirmed — 1 verdict rests; a copy is needed."),
        (
            LIFTED,
            "cases/a/sheets.yml:82:9 warn power-before-inspection — I-1 was energised at 09:40, and was inspected "
            "only at 09:50; the inspection before power is needed.\n"
            "    Record the true order.\n"
            "    A reject, lifted by Q-1; it prints on the first page.\n"
            "    See also cases/a/inspection.csv:4.",
        ),
    ],
    ids=["reject", "warn", "needed", "note", "lifted"],
)
def test_a_problem_reads_exactly_so(problem: Problem, lines: str) -> None:
    assert list(text([problem])) == [(problem, lines)]


@pytest.mark.parametrize(
    ("problems", "said"),
    [
        ([], "nothing to report"),
        ([REJECT], "1 reject"),
        ([NOTE, REJECT, WARN, REJECT], "2 rejects, 1 warning, 1 note"),
        ([NEEDED], "1 thing still needed"),
        ([NEEDED, NEEDED, NOTE, NOTE, WARN, WARN], "2 warnings, 2 things still needed, 2 notes"),
    ],
)
def test_the_counts_are_worst_first_and_in_the_right_number(problems: list[Problem], said: str) -> None:
    assert summary(problems) == said


def test_nothing_in_the_text_acts_on_a_terminal() -> None:
    ((_, said),) = text([HOSTILE])
    assert not [char for char in ACTING if char in said]
    assert said.count("\n") == 2  # its own lines: how to mend it, and what belongs to it
    assert said.startswith("cases/a/<U+001B>[2J.yml:1:1 reject yaml-words — ")
    assert '"<U+001B>]0;title<U+0007><U+202E>dessap<U+2066><U+000A>::error::forged<U+000D>' in said


def test_what_acts_is_written_out_whatever_it_is_and_the_rest_stays() -> None:
    """Every code point there is, by its category in the Unicode database."""
    acting = {"Cc", "Cf", "Cs", "Zl", "Zp"}
    for point in range(sys.maxunicode + 1):
        char = chr(point)
        expected = f"<U+{point:04X}>" if unicodedata.category(char) in acting else char
        assert plain(char) == expected


@pytest.mark.parametrize(
    "char",
    # Unicode Standard Annex 9, table 1 and 2.6: the marks that turn the order of text; from memory.
    "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069",
)
def test_each_mark_of_the_bidirectional_algorithm_is_written_out(char: str) -> None:
    assert plain(f"a{char}b") == f"a<U+{ord(char):04X}>b"


def test_signs_of_the_trade_stay() -> None:
    said = "500 µA ± 12 µA at 25 Ω − “as found” 0.2\u202fmA 21 °C ≤ ½"
    assert plain(said) == said
