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


# --- a reading that is judged with the highest of its group (IEC 62353:2014, 5.3.1: the highest value is recorded and
# --- compared with the limit; from memory). The limit of all of them is 100 µA here.

HIGHEST: Edit = (LIMITS, "    bound: {kind: fixed, value: 100 uA}\n", "    bound: {kind: fixed, value: 100 uA}\n"
                 "    highest_of: [polarity]\n")  # fmt: skip


def touch(normal: str, reversed_: str) -> Edit:
    return (
        "readings/touch.csv",
        "3,open,normal,61.2\n4,open,reversed,60.3",
        f"3,open,normal,{normal}\n4,open,reversed,{reversed_}",
    )


@pytest.mark.parametrize(
    ("text", "normal", "reversed_", "true"),
    [
        # The highest, 120, fails; the other lies at 80. Judged with it, it is not beyond the limit for that.
        ("The current [R-touch-3] exceeds its limit.", "80", "120", False),
        ("The current [R-touch-3] lies below its limit.", "80", "120", True),
        ("The current [R-touch-3] does not exceed its limit.", "80", "120", True),
        ("The current [R-touch-3] fails.", "80", "120", False),
        ("The current [R-touch-3], [R-touch-4] fails.", "80", "120", True),
        # It does not pass either: it is the highest that passes or fails.
        ("The current [R-touch-3] passes.", "80", "120", False),
        ("The current [R-touch-4] exceeds its limit.", "80", "120", True),
        ("The current [R-touch-4] passes.", "80", "120", False),
        # Both beyond: each of them is.
        ("The current [R-touch-3] exceeds its limit.", "110", "120", True),
        ("The current [R-touch-3] fails.", "110", "120", True),
        ("The current [R-touch-3] lies below its limit.", "110", "120", False),
        # Both within.
        ("The current [R-touch-3] passes.", "80", "90", True),
        ("The current [R-touch-3] lies below its limit.", "80", "90", True),
        ("The current [R-touch-3] exceeds its limit.", "80", "90", False),
        ("The current [R-touch-3] fails.", "80", "90", False),
        # The other way round: the size counts.
        ("The current [R-touch-3] exceeds its limit.", "-110", "120", True),
        ("The current [R-touch-3] lies below its limit.", "-80", "120", True),
        # At the limit itself a limit of "at most" is kept.
        ("The current [R-touch-3] exceeds its limit.", "100", "120", False),
    ],
)
def test_what_is_judged_with_another_lies_where_it_lies(text: str, normal: str, reversed_: str, true: bool) -> None:
    edits = [HIGHEST, touch(normal, reversed_), says(text)]
    if true:
        assert_silent("verdict-text-differs", edits)
    else:
        assert_fires("verdict-text-differs", edits, at=("conclusion.yml", "The current [R-touch-"))


def test_whose_verdict_it_is_is_said() -> None:
    assert_fires(
        "verdict-text-differs",
        [HIGHEST, touch("80", "120"), says("The current [R-touch-3] exceeds its limit.")],
        at=("conclusion.yml", "The current [R-touch-3]"),
        says='says "exceeds its limit" of R-touch-3, whose computed verdict is fail, that of R-touch-4, with which it '
        "is judged; it lies below its upper limit",
    )


EACH = """
  touch-each:
    title: Touch current, each
    test: pump-touch
    quantity: electric current
    sense: at most
    bound: {kind: fixed, value: 500 uA}
    clause: "4"
    kind: in-service limit
    status: confirmed
"""


def test_a_limit_met_by_itself_does_not_hide_one_that_the_reading_breaks_in_its_group() -> None:
    both = (LIMITS, "\n  flow:\n", EACH + "  flow:\n")
    text = says("The current [R-touch-3] passes.")
    assert_fires(
        "verdict-text-differs", [HIGHEST, both, touch("110", "120"), text], at=("conclusion.yml", "The current [R-t")
    )
    assert_silent("verdict-text-differs", [HIGHEST, both, touch("80", "120"), text])


NEAR: Edit = (LIMITS, "value: 300 mohm", "value: 151.5 mohm")
"""151 mohm is a conditional pass there: its doubt is more than half a milliohm."""


@pytest.mark.parametrize(
    "text",
    [
        "The earth [R-earth-2] is not a pass but a conditional pass.",
        "The earth [R-earth-2] is not a plain pass, but only a conditional pass.",
        "The earth [R-earth-2] did not pass but passed conditionally.",
        "The earth [R-earth-2] is no pass but a conditional one, a conditional pass.",
        "The earth [R-earth-2] is a conditional pass, not a pass.",
    ],
)
def test_what_is_put_right_in_the_same_breath_is_no_claim(text: str) -> None:
    assert_silent("verdict-text-differs", [NEAR, says(text)])
    assert_silent("plain-verdict-under-guard-band", [NEAR, says(text)])
    # Where it passes plainly, the same sentence is untrue.
    assert_fires("verdict-text-differs", [says(text)], at=("conclusion.yml", "The earth [R-earth-2]"))


def test_what_is_not_put_right_is_a_claim() -> None:
    for text in ("The earth [R-earth-2] is not a pass.", "The earth [R-earth-2] is not a pass but a fail."):
        assert_fires("verdict-text-differs", [NEAR, says(text)], at=("conclusion.yml", "The earth [R-earth-2]"))
