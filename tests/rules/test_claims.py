"""Where the words of a text say a value lies, held against where it lies.

What is true of each sentence is said by plain arithmetic beside it: the flow of the base case may lie from 95 to
105 mL/h at a setting of 100 mL/h, and 111.9 lies above both; earth resistance has an upper limit only.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from asfound.model.verdict import Outcome, Verdict
from asfound.rules._claims import Claim, borne_out, claims
from tests.rules.support import Edit, assert_fires, assert_silent

LIMITS = ".asfound/limits/base-limits.yml"
OPEN = "What the bag held."


def says(text: str) -> Edit:
    return ("conclusion.yml", OPEN, text)


def judged(value: str, lower: str | None, upper: str | None, outcome: Outcome, strict: bool = False) -> Verdict:
    low, high = (None if one is None else Decimal(one) for one in (lower, upper))
    return Verdict(
        "R-a-1", ("R-a-1",), "test", "I-1", None, outcome, Decimal(value), "V", None, None, low, high, strict, None,
        None, "simple acceptance",
    )  # fmt: skip


PASS, FAIL, WITHIN, BEYOND = Outcome.PASS, Outcome.FAIL, Outcome.CONDITIONAL_PASS, Outcome.CONDITIONAL_FAIL


@pytest.mark.parametrize(
    ("text", "value", "lower", "upper", "outcome", "true"),
    [
        # Of an upper limit, above is worse.
        ("It exceeds its limit.", "111", None, "100", FAIL, True),
        ("It exceeds its limit.", "99", None, "100", PASS, False),
        ("It does not exceed its limit.", "99", None, "100", PASS, True),
        ("It lies below its limit.", "99", None, "100", PASS, True),
        ("It lies below its limit.", "111", None, "100", FAIL, False),
        # Of a lower limit, above is better: a resistance of insulation, say.
        ("It lies above its limit.", "7", "2", None, PASS, True),
        ("It lies above its limit.", "1", "2", None, FAIL, False),
        ("It lies below its limit.", "1", "2", None, FAIL, True),
        ("It does not fall below its limit.", "7", "2", None, PASS, True),
        ("It does not fall below its limit.", "1", "2", None, FAIL, False),
        # Of two limits, the wrong side is not borne out by the verdict being the same.
        ("It lies above its limit.", "111", "95", "105", FAIL, True),
        ("It lies below its limit.", "111", "95", "105", FAIL, False),
        ("It lies above its limit.", "90", "95", "105", FAIL, False),
        ("It lies below its lower limit.", "90", "95", "105", FAIL, True),
        ("It lies below its lower limit.", "111", "95", "105", FAIL, False),
        ("It exceeds the upper limit.", "111", "95", "105", FAIL, True),
        ("It exceeds the upper limit.", "90", "95", "105", FAIL, False),
        # And inside both, each of these is true.
        ("It does not exceed its limit.", "100", "95", "105", PASS, True),
        ("It does not fall below its limit.", "100", "95", "105", PASS, True),
        ("It lies above the lower limit.", "100", "95", "105", PASS, True),
        ("It is less than the maximum limit.", "100", "95", "105", PASS, True),
        ("It lies above the lower limit.", "90", "95", "105", FAIL, False),
        # A bound that is named and is not there bears nothing out.
        ("It lies above the lower limit.", "99", None, "100", PASS, False),
        # In the guard band the word is conditional, and the value lies where it lies.
        ("It lies above its limit.", "101", None, "100", BEYOND, True),
        ("It lies below its limit.", "99", None, "100", WITHIN, True),
        # Permitted beyond its limit: the verdict is a conditional pass, the value is beyond.
        ("It exceeds its limit.", "101", None, "100", WITHIN, True),
        ("It lies below its limit.", "101", None, "100", WITHIN, False),
        # `>100` against 100 fails, and lies above; 100 itself keeps a limit that is met at the limit.
        ("It exceeds its limit.", "100", None, "100", FAIL, True),
        ("It exceeds its limit.", "100", None, "100", PASS, False),
        ("It lies below its limit.", "100", "100", None, FAIL, True),
        # What is not known lies nowhere.
        ("It lies below its limit.", "1", None, "100", Outcome.NOT_ASSESSABLE, False),
        ("It exceeds its limit.", "1", None, None, Outcome.NO_REQUIREMENT, False),
    ],
)
def test_above_and_below(
    text: str, value: str, lower: str | None, upper: str | None, outcome: Outcome, true: bool
) -> None:
    (words,) = claims(text)
    assert borne_out(words, judged(value, lower, upper, outcome)) is true


@pytest.mark.parametrize(
    ("text", "found"),
    [
        # Who says that something failed to meet a limit says that it fails.
        ("The pump failed to meet its specification.", [Claim.FAIL]),
        ("It fails to stay within its tolerance.", [Claim.FAIL]),
        ("It did not fail to meet its limit.", [Claim.PASS]),
        ("None of the five readings exceeds its limit.", [Claim.UNDER]),
        ("No reading of the series failed.", [Claim.PASS]),
        ("It not only fails.", [Claim.FAIL]),
        ("It rose above its limit.", [Claim.OVER]),
        ("It stayed above the lower limit.", [Claim.OVER]),
        ("It remained below its limit.", [Claim.UNDER]),
        ("The alarm failed to meet the ear.", []),
    ],
)
def test_words(text: str, found: list[Claim]) -> None:
    assert [words.claim for words in claims(text)] == found


def test_the_wrong_side_of_two_limits_is_refused() -> None:
    assert_fires(
        "verdict-text-differs",
        [says("The flow [R-flow-4] lies below its lower limit.")],
        at=("conclusion.yml", "The flow [R-flow-4]"),
        says='says "lies below its lower limit" of R-flow-4, whose computed verdict is fail, '
        "above its lower limit and above its upper limit",
    )
    assert_fires(
        "verdict-text-differs",
        [says("The flow [R-flow-4] does not exceed its limit.")],
        at=("conclusion.yml", "The flow [R-flow-4]"),
    )
    assert_silent("verdict-text-differs", [says("The flow [R-flow-4] exceeds its upper limit.")])
    assert_silent("verdict-text-differs", [says("The flow [R-flow-1] does not exceed its limit.")])
    assert_silent("verdict-text-differs", [says("None of the readings [R-flow-1], [R-flow-2] exceeds its limit.")])
    assert_fires(
        "verdict-text-differs",
        [says("The flow [R-flow-1] failed to meet its tolerance.")],
        at=("conclusion.yml", "The flow [R-flow-1]"),
    )


HOUSE = """
  earth-house:
    title: Protective earth, the house's own
    test: pump-earth
    quantity: resistance
    sense: at most
    bound: {kind: fixed, value: 100 mohm}
    clause: "4"
    kind: in-service limit
    status: confirmed
"""
TWO: Edit = (LIMITS, "\n  touch:\n", HOUSE + "  touch:\n")
"""R-earth-2, 151 mohm, keeps the limit of 300 mohm and not that of 100 mohm."""


def test_a_reading_with_two_limits_passes_where_it_passes_both() -> None:
    """ISO/IEC 17025:2017, 7.8.6.2 b: a statement of conformity tells which specification is met and which is not."""
    for text in ("The earth [R-earth-2] passes.", "The earth [R-earth-2] is within its limits."):
        assert_fires(
            "verdict-text-differs",
            [TWO, says(text)],
            at=("conclusion.yml", "The earth [R-earth-2]"),
            says="whose computed verdict is pass and fail",
        )
    # Told apart, each is true.
    for text in (
        "The earth [R-earth-2] is within the limit of the standard IEC 62353 and outside the house's.",
        "The earth [R-earth-2] passes the one and fails the other.",
        "The earth [R-earth-2] fails.",
    ):
        assert_silent("verdict-text-differs", [TWO, says(text)])
    near = (LIMITS, "\n  touch:\n", HOUSE.replace("100", "151.5") + "  touch:\n")
    assert_fires(
        "plain-verdict-under-guard-band",
        [near, says("The earth [R-earth-2] passes.")],
        at=("conclusion.yml", "The earth [R-earth-2]"),
        says="a pass and conditional pass",
    )
    assert_silent("verdict-text-differs", [near, says("The earth [R-earth-2] passes.")])
