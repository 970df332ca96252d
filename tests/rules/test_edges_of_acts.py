"""The edges of rules about acts and parties: what came just before or just after, what was answered and what was not.

Hours are worked by hand beside the base case's own (common practice, no source).
"""

from __future__ import annotations

import pytest

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent
from tests.rules.test_order import DAMAGED, NOTICE, ONE_ENERGISED
from tests.rules.test_parties import TERMS, step, to_maker
from tests.rules.test_people import AUTHORITY, exception
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


def test_of_two_that_were_inspected_late_the_later_hour_is_told() -> None:
    """The pump at 15:00 and its cord at 15:30 one zone further east, which is half an hour earlier; power at 13:20."""
    gate = "  G-7:\n    gate: inspected\n    items: [I-1, I-2, I-3]\n    at: 2026-03-05 10:30 -06:00\n"
    split = "  G-7:\n    gate: inspected\n    items: [I-1]\n    at: 2026-03-05 15:00 -06:00\n"
    cord = "  G-14: {gate: inspected, items: [I-2, I-3], at: 2026-03-05 15:30 -05:00, by: examiner}\n"
    edits: list[Edit] = [("gates.yml", gate, split), ("gates.yml", "  G-13:", cord + "  G-13:"),
                         ("sheets.yml", "S-flow:\n  test: pump-flow\n", "S-flow:\n  test: pump-earth\n")]  # fmt: skip
    found = assert_fires("power-before-inspection", edits, at=("sheets.yml", "S-touch: > from"))
    assert "I-1 and I-2 were energised at 2026-03-05 13:20 -06:00" in found.found
    assert "inspected only at 2026-03-05 15:00 -06:00" in found.found


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


# --- what an exception lifts


def test_an_exception_lifts_its_own_rule_and_its_own_subject_only() -> None:
    edit: Edit = ("case.yml", AUTHORITY, "")
    at = ("case.yml", "case: base")
    assert_fires("authority-missing", [edit], at=at, extra=exception("custody-gap"))
    one = exception("authority-missing")["exceptions.yml"].replace("  by:", "  subject: I-4\n  by:")
    assert_fires("authority-missing", [edit], at=at, extra={"exceptions.yml": one})
    # Of a warning there is nothing to lift.
    warned = assert_fires(
        "bench-unchecked", [("sheets.yml", "what: leads nulled", "what: cables looked at")], level=Level.WARN,
        at=("sheets.yml", "S-earth: > checks"), extra=exception("bench-unchecked"),
    )  # fmt: skip
    assert not warned.lifted


# --- an act while an answer is awaited, and a notice that came late

ACT = "2026-03-06 13:00 -06:00"


@pytest.mark.parametrize(
    ("reply_by", "answered", "fires"),
    [
        ("2026-03-06 13:01", None, True),
        ("2026-03-06 13:00", None, False),
        ("2026-03-09 08:00", "2026-03-06 13:00", False),
        ("2026-03-09 08:00", "2026-03-06 13:01", True),
    ],
)
def test_an_act_waits_for_the_answer_or_for_the_end_of_its_time(
    reply_by: str, answered: str | None, fires: bool
) -> None:
    """The thing was cut open on the 6th at 13:00."""
    edits: list[Edit] = [
        step(),
        ("notices.yml", "  reply_by: 2026-03-05 08:00 -06:00\n  reply: Will not attend tests that alter nothing.\n"
         + ANSWERED, f"  reply_by: {reply_by} -06:00\n"
         + (f"  reply: Agreed.\n  answered_at: {answered} -06:00\n" if answered else "")),
    ]  # fmt: skip
    if fires:
        assert_fires("reply-window-open", edits, at=("gates.yml", f"at: {ACT}"), says="N-1")
    else:
        assert_silent("reply-window-open", edits)


def test_an_order_of_a_court_waits_for_nobody() -> None:
    reply = "  reply_by: 2026-03-05 08:00 -06:00\n  reply: Will not attend tests that alter nothing.\n" + ANSWERED
    waiting: Edit = ("notices.yml", reply, "  reply_by: 2026-03-06 13:01 -06:00\n")
    name, last, cut = step()
    ordered: Edit = (name, last, cut.replace("    residue:", "    order: [E-5]\n    residue:"))
    assert_fires("reply-window-open", [waiting, step()], at=("gates.yml", f"at: {ACT}"), says="N-1")
    assert_silent("reply-window-open", [waiting, ordered])


@pytest.mark.parametrize(("announced", "fires"), [("2026-03-05 09:40", False), ("2026-03-05 09:41", True)])
def test_an_examination_begins_no_earlier_than_it_was_announced(announced: str, fires: bool) -> None:
    """The first row of the inspection is of 5 March, 09:40."""
    edit: Edit = ("notices.yml", "  reply_by: 2026-03-05 08:00 -06:00\n  reply: Will not attend tests",
                  f"  reply_by: 2026-03-05 08:00 -06:00\n  examination_at: {announced} -06:00\n"
                  "  reply: Will not attend tests")  # fmt: skip
    if fires:
        assert_fires("notice-after-examination", [edit], at=("notices.yml", "examination_at"), says="announced for")
    else:
        assert_silent("notice-after-examination", [edit])


# --- what was adjusted


@pytest.mark.parametrize(
    ("items", "at", "tier", "fires"),
    [
        ("[I-1]", "2026-03-06 09:00", "changes", False),
        ("[I-1]", "2026-03-06 09:01", "changes", True),
        ("[I-1]", "2026-03-06 08:00", "none", True),
        ("[I-3]", "2026-03-06 08:00", "changes", False),
        ("[I-4]", "2026-03-06 08:00", "changes", True),
    ],
)
def test_readings_after_an_adjustment_need_its_step_before_them(items: str, at: str, tier: str, fires: bool) -> None:
    """The sheet began on 6 March at nine, with I-2 and I-3 fitted to I-1."""
    moment: Edit = ("sheets.yml", "  repeats_of: S-flow\n", "  repeats_of: S-flow\n  moment: after adjustment\n")
    text = (f"steps:\n  B-1: {{items: {items}, what: drive adjusted, tier: {tier}, at: {at} -06:00, by: examiner, "
            "why: To see.}\n")  # fmt: skip
    if fires:
        assert_fires("adjustment-unlogged", [moment, step(text)], at=("sheets.yml", "moment: after adjustment"))
    else:
        assert_silent("adjustment-unlogged", [moment, step(text)])
