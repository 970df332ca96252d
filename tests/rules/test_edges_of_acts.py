"""The edges of rules about acts and parties: what came just before or just after, what was answered and what was not.

Hours are worked by hand beside the base case's own (common practice, no source).
"""

from __future__ import annotations

import pytest

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent
from tests.rules.test_order import DAMAGED, NOTICE, ONE_ENERGISED
from tests.rules.test_parties import TERMS, to_maker
from tests.rules.test_stop_rules import ERASES

POWERED = ("sheets.yml", "S-flow-again: > from")
SHEET = "2026-03-06 09:00 -06:00"
"""When the one sheet began that energised a damaged thing."""


# --- a damaged thing under power


@pytest.mark.parametrize(
    "outcome",
    [
        "significant damage at the door",
        "Significant heat damage",
        "no plug left, significant heat damage at the inlet",
        "not only scratches but significant damage",
        "no significant dirt, significant damage at the door",
    ],
)
def test_significant_damage_is_known_wherever_it_stands(outcome: str) -> None:
    edits = [(DAMAGED[0], DAMAGED[1], f'outcome: "{outcome}"'), *ONE_ENERGISED]
    assert_fires("damaged-and-energised", edits, at=POWERED)


@pytest.mark.parametrize(
    "outcome",
    ["no significant damage", "Not significant", "without any significant damage", "scratches, nothing significant",
     "insignificant scratches"],
)  # fmt: skip
def test_damage_that_is_denied_is_none(outcome: str) -> None:
    assert_silent("damaged-and-energised", [(DAMAGED[0], DAMAGED[1], f'outcome: "{outcome}"'), *ONE_ENERGISED])


@pytest.mark.parametrize(
    ("notice", "fires"),
    [
        (NOTICE + f"  answered_at: {SHEET}\n", False),
        (NOTICE + "  answered_at: 2026-03-06 09:01 -06:00\n", True),
        (NOTICE.replace("2026-03-05 11:00 -06:00", SHEET), False),
        (NOTICE.replace("2026-03-05 11:00 -06:00", "2026-03-06 09:01 -06:00"), True),
        (NOTICE + "  answer: declines to attend\n", False),
        (NOTICE + "  answer: no answer\n", True),
        (NOTICE + "  answer: objects\n", True),
        (NOTICE.replace("[I-1, I-2, I-3]", "[P-pump-flow]"), False),
        (NOTICE.replace("[I-1, I-2, I-3]", "[S-flow-again]"), False),
        (NOTICE.replace("[I-1, I-2, I-3]", "[P-pump-touch]"), True),
    ],
)
def test_an_answer_counts_from_when_it_came(notice: str, fires: bool) -> None:
    edits, extra = [DAMAGED, *ONE_ENERGISED], {"notices.yml": notice}
    if fires:
        assert_fires("damaged-and-energised", edits, extra=extra, at=POWERED)
    else:
        assert_silent("damaged-and-energised", edits, extra=extra)


def test_the_last_inspection_before_the_power_counts() -> None:
    more = "  G-14: {{gate: inspected, items: [I-1, I-2, I-3], at: {0}, by: examiner, outcome: significant damage}}\n"
    for at, fires in ((SHEET, True), ("2026-03-06 09:01 -06:00", False), ("2026-03-05 10:29 -06:00", False)):
        edit: Edit = ("gates.yml", "  G-13:", more.format(at) + "  G-13:")
        if fires:
            assert_fires("damaged-and-energised", [edit, *ONE_ENERGISED], at=POWERED)
        else:
            assert_silent("damaged-and-energised", [edit, *ONE_ENERGISED])


# --- a start that erases the log

ASKED: Edit = (ERASES[0], ERASES[1], ERASES[2] + "\n  asked: [N-1]")
ANSWERED = "  answer: declines to attend\n  answered_at: 2026-03-04 12:00 -06:00\n"


@pytest.mark.parametrize(
    "answer",
    ["  answer: no answer\n", "  answer: objects\n  answered_at: 2026-03-04 12:00 -06:00\n",
     "  answer: declines to attend\n  answered_at: 2026-03-05 13:21 -06:00\n"],
)  # fmt: skip
def test_silence_an_objection_and_a_late_answer_let_nobody_start_it(answer: str) -> None:
    """The device was started at 13:20 on 5 March."""
    edits = [ASKED, ("notices.yml", ANSWERED, answer)]
    if "answered_at" not in answer:
        edits.append(("notices.yml", "  reply: Will not attend tests that alter nothing.\n", ""))
    assert_fires("booted-though-log-erases", edits, at=("sheets.yml", "S-touch: > from"))


@pytest.mark.parametrize("erases", ["no", "not known"])
def test_a_start_that_erases_nothing_is_none(erases: str) -> None:
    assert_silent("booted-though-log-erases", [(ERASES[0], ERASES[1], ERASES[2].replace("yes", f'"{erases}"'))])


# --- to the maker, and who is a party


def test_of_two_terms_the_later_count_wherever_they_stand() -> None:
    """The thing went on the 7th at nine; whole terms of the 6th at nine, others of the 5th and of the 6th at ten."""
    whole = TERMS.replace("{0}", "I-1")
    short = whole.replace("right_to_attend: yes", "right_to_attend: no").replace("N-3:", "N-4:").removesuffix("N-2:")
    for day, fires in (("2026-03-05 09:00", False), ("2026-03-06 10:00", True)):
        for terms in (short.replace("2026-03-06 09:00", day) + whole, None):
            text = terms or whole.removesuffix("N-2:") + short.replace("2026-03-06 09:00", day) + "N-2:"
            edits = [*to_maker(), ("notices.yml", "N-2:", text)]
            if fires:
                assert_fires("released-to-maker", edits, at=("custody.csv", "8,I-1,transfer"), says="right to attend")
            else:
                assert_silent("released-to-maker", edits)


def test_terms_of_the_very_hour_count_and_later_ones_do_not() -> None:
    at = ("custody.csv", "8,I-1,transfer")
    same = TERMS.replace("{0}", "C-8").replace("2026-03-06 09:00", "2026-03-07 09:00")
    assert_silent("released-to-maker", [*to_maker(), ("notices.yml", "N-2:", same)])
    late = TERMS.replace("{0}", "C-8").replace("2026-03-06 09:00", "2026-03-07 09:01")
    assert_fires("released-to-maker", [*to_maker(), ("notices.yml", "N-2:", late)], at=at, says="lacks its terms")


def test_somebody_must_stand_for_whoever_was_hurt() -> None:
    edits = [("case.yml", "    party: injured side\n", ""), ("notices.yml", "  parties: [injured side]\n", "")]
    assert_fires("parties-missing", edits, at=("case.yml", "people:"), level=Level.REJECT, says="the injured side")
    assert_silent("parties-missing", [*edits, ("case.yml", "harmed: patient", "harmed: none")])
