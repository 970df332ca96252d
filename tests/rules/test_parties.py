"""Rules about the other parties: notices, consents, holds, releases."""

from __future__ import annotations

import pytest

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent

STEP = """steps:
  B-1:
    items: [I-1]
    what: the case was cut open
    tier: destroys
    at: 2026-03-06 13:00 -06:00
    by: examiner
    why: To see the capacitor.
    procedure: [E-5]
    video: [E-1]
    residue: in a bag of its own, sealed
"""
LAST_GATE = "  G-13: {gate: rechecked, at: 2026-03-10 10:00 -05:00, by: reviewer}\n"


def step(text: str = STEP) -> Edit:
    return ("gates.yml", LAST_GATE, LAST_GATE + text)


FLOW_CHANGES: Edit = (
    ".asfound/protocols/base-pump.yml",
    "connects: analyser\n    alters: none",
    "connects: analyser\n    alters: changes",
)
OWNER_AGREES = (
    "N-3:\n  to: the risk manager\n  parties: [owner]\n  what: The step.\n  sent_at: 2026-03-04 10:00 -06:00\n"
    "  reply: Agreed.\n  answer: consents\n  answered_at: 2026-03-04 16:00 -06:00\n  consents_to: [{0}]\n"
)
MAKER_AGREES: Edit = (
    "notices.yml",
    "  answer: declines to attend\n  answered_at: 2026-03-04 12:00 -06:00\n",
    "  answer: consents\n  answered_at: 2026-03-04 12:00 -06:00\n  consents_to: [{0}]\n",
)


def all_agree(ref: str, **changed: str) -> list[Edit]:
    """Edits by which every party of the base case agrees to an act."""
    maker = changed.get("maker", MAKER_AGREES[2]).replace("{0}", ref)
    patient = (
        "  answer: declines to attend\n  answered_at: 2026-03-04 15:00 -06:00\n",
        f"  answer: does not object\n  answered_at: 2026-03-04 15:00 -06:00\n  consents_to: [{ref}]\n"
        + OWNER_AGREES.replace("{0}", ref),
    )
    return [("notices.yml", MAKER_AGREES[1], maker), ("notices.yml", *patient)]


# --- consent

CONSENT = "altering-step-without-consent"


def test_a_step_that_destroys_needs_every_party() -> None:
    problem = assert_fires(
        "altering-step-without-consent",
        [step()],
        at=("gates.yml", "B-1: >     at:"),
        says="something of I-1 was destroyed at 2026-03-06 13:00 -06:00 (the case was cut open) without the consent of "
        "the owner, the maker of the pump and the injured side",
    )
    assert problem.subject == "B-1"


def test_it_is_refused_in_an_open_case_too() -> None:
    edits = [step(), ("case.yml", "stage: in review", "stage: open")]
    assert_fires("altering-step-without-consent", edits, at=("gates.yml", "B-1: >     at:"))


@pytest.mark.parametrize("named", ["B-1", "I-1"])
def test_the_consent_of_all_is_enough(named: str) -> None:
    assert_silent("altering-step-without-consent", [step(), *all_agree(named)])


def test_a_step_may_cite_the_notices_itself() -> None:
    edits = [step(STEP + "    consents: [N-1, N-2, N-3]\n"), *all_agree("I-4")]
    assert_silent("altering-step-without-consent", edits)


@pytest.mark.parametrize(
    ("answer", "when"),
    [
        ("objects", "2026-03-04 12:00 -06:00"),
        ("no answer", "2026-03-04 12:00 -06:00"),
        ("consents", "2026-03-09 12:00 -05:00"),
    ],
)
def test_an_objection_silence_and_a_late_answer_are_no_consent(answer: str, when: str) -> None:
    said = f"  answer: {answer}\n  answered_at: {when}\n  consents_to: [B-1]\n"
    assert_fires(
        "altering-step-without-consent",
        [step(), *all_agree("B-1", maker=said)],
        at=("gates.yml", "B-1: >     at:"),
        says="without the consent of the maker of the pump;",
    )


def test_a_party_that_is_gone_is_not_asked() -> None:
    edits = [step(), *all_agree("B-1", maker="  answer: gone\n  answered_at: 2026-03-04 12:00 -06:00\n")]
    assert_silent("altering-step-without-consent", edits)


def test_an_order_stands_for_all_consents() -> None:
    assert_silent("altering-step-without-consent", [step(STEP + "    order: [E-4]\n")])


def test_a_reversible_step_needs_the_leave_of_the_client_alone() -> None:
    assert_silent("altering-step-without-consent", [step(STEP.replace("destroys", "reversible"))])


def test_what_is_done_to_an_exemplar_alters_no_evidence() -> None:
    assert_silent("altering-step-without-consent", [step(STEP.replace("[I-1]", "[I-4]"))])


def test_a_sheet_of_a_test_that_alters_counts_as_a_step() -> None:
    """Both sheets of the flow are acts; without the second there is one problem."""
    edits = [
        FLOW_CHANGES,
        ("plan.yml", "  pump-flow:", "  pump-flow--again:\n    item: I-1\n    why: Again.\n  pump-flow:"),
    ]
    edits += [
        ("sheets.yml", "S-flow-again:\n  test: pump-flow", "S-flow-again:\n  test: pump-flow--again\n  order: [E-4]")
    ]
    assert_fires(
        "altering-step-without-consent",
        edits,
        at=("sheets.yml", "S-flow: > from"),
        says="something of I-1, I-2 and I-3 was changed at 2026-03-05 14:30 -06:00 (the test pump-flow)",
    )
    assert_silent("altering-step-without-consent", [*edits, *all_agree("P-pump-flow")])


def test_a_second_use_of_a_test_is_consented_to_by_its_own_name() -> None:
    """`P-pump-flow--again` is what the plan calls it; leave for the first use is none for the second."""
    edits = [
        FLOW_CHANGES,
        ("plan.yml", "  pump-flow:", "  pump-flow--again:\n    item: I-1\n    why: Again.\n  pump-flow:"),
        ("sheets.yml", "S-flow-again:\n  test: pump-flow", "S-flow-again:\n  test: pump-flow--again"),
    ]
    assert_fires(CONSENT, [*edits, *all_agree("P-pump-flow")], at=("sheets.yml", "S-flow-again: > from"))
    assert_silent(CONSENT, [*edits, *all_agree("P-pump-flow, P-pump-flow--again")])


def test_a_name_that_no_planned_test_bears_is_no_consent() -> None:
    maker, (file, old, new) = all_agree("P-pump-flow")
    before, _, after = new.rpartition("P-pump-flow")
    edits = [FLOW_CHANGES, maker, (file, old, f"{before}P-pump-flow--agian{after}")]
    assert_fires("citation-leads-nowhere", edits, at=("notices.yml", "N-3: > consents_to"))


# --- how it was done


def test_a_step_without_film_procedure_or_residue_warns() -> None:
    bare = STEP[: STEP.index("    procedure")]
    assert_fires(
        "altering-step-unrecorded",
        [step(bare)],
        at=("gates.yml", "B-1:"),
        level=Level.WARN,
        says="lacks its written procedure, a film and where the residue is kept",
    )
    assert_silent("altering-step-unrecorded", [step()])


def test_a_cord_that_was_flexed_has_its_cycles_counted() -> None:
    flexed = STEP.replace("the case was cut open", "the cord was flexed at both ends").replace("destroys", "changes")
    assert_fires(
        "altering-step-unrecorded",
        [step(flexed)],
        at=("gates.yml", "B-1:"),
        level=Level.WARN,
        says="lacks how many cycles",
    )
    assert_silent("altering-step-unrecorded", [step(flexed + "    cycles: 20\n")])


# --- who the parties are


def test_a_maker_nobody_looked_for_is_missed() -> None:
    edits = [
        ("case.yml", "    party: maker of the pump\n", ""),
        ("notices.yml", "  parties: [maker of the pump]\n", ""),
    ]
    assert_fires("parties-missing", edits, at=("case.yml", "people:"), says="nobody stands for the maker;")


def test_without_any_party_all_three_are_named() -> None:
    edits = [
        ("case.yml", "    party: maker of the pump\n", ""),
        ("case.yml", "    party: owner\n", ""),
        ("case.yml", "    party: injured side\n", ""),
    ]
    assert_fires(
        "parties-missing", edits, at=("case.yml", "people:"), delete=["notices.yml"], says="no party in interest"
    )


def test_a_reason_stands_for_a_party() -> None:
    edits = [
        ("case.yml", "    party: maker of the pump\n", ""),
        ("notices.yml", "  parties: [maker of the pump]\n", ""),
        ("case.yml", "storage:\n", "parties_missing:\n  maker: {not_known: the label is gone}\nstorage:\n"),
    ]
    assert_silent("parties-missing", edits)


def test_where_nobody_was_harmed_there_is_no_injured_side() -> None:
    edits = [
        ("case.yml", "    party: injured side\n", ""),
        ("notices.yml", "  parties: [injured side]\n", ""),
        ("case.yml", "harmed: patient", "harmed: none"),
    ]
    assert_silent("parties-missing", edits)


# --- notices

LATE: Edit = ("notices.yml", "sent_at: 2026-03-03 10:00 -06:00", "sent_at: 2026-03-05 12:00 -06:00")


def test_a_notice_after_the_examination_began_is_refused() -> None:
    assert_fires(
        "notice-after-examination",
        [LATE],
        at=("notices.yml", "sent_at: 2026-03-05 12:00"),
        says="the examination began at 2026-03-05 09:40 -06:00 (V-1)",
    )


def test_an_answer_asked_for_by_a_day_after_the_examination_is_no_time_to_answer() -> None:
    edit = (
        "notices.yml",
        "reply_by: 2026-03-05 08:00 -06:00\n  reply: Will not attend tests",
        "reply_by: 2026-03-06 08:00 -06:00\n  examination_at: 2026-03-05 09:00 -06:00\n  reply: Will not attend tests",
    )
    assert_fires("notice-after-examination", [edit], at=("notices.yml", "reply_by: 2026-03-06"), says="time to answer")


def test_an_examination_earlier_than_announced_is_refused() -> None:
    edit = (
        "notices.yml",
        "reply: Will not attend tests",
        "examination_at: 2026-03-06 09:00 -06:00\n  reply: Will not attend tests",
    )
    assert_fires(
        "notice-after-examination", [edit], at=("notices.yml", "examination_at"), says="it was announced for 2026-03-06"
    )


def test_a_party_without_a_notice_is_named_and_the_one_who_asked_is_not() -> None:
    problem = assert_fires(
        "notice-after-examination",
        at=("notices.yml", None),
        delete=["notices.yml"],
        says="the maker of the pump and the injured side had no notice",
    )
    assert "owner" not in problem.found


@pytest.mark.parametrize(("said", "fires"), [("independent", False), ("None", False), ("insurer", True)])
def test_who_stands_for_no_party_is_not_to_be_told(said: str, fires: bool) -> None:
    """An examiner from outside is no party in interest (ASTM E1138-89, party in interest); an insurer is one."""
    edit: Edit = ("case.yml", "  examiner:\n", f"  examiner:\n    party: {said}\n")
    if fires:
        at = ("notices.yml", "N-1:")
        assert_fires("notice-after-examination", [edit], at=at, says=f"the {said} had no notice")
    else:
        assert_silent("notice-after-examination", [edit])


def test_counsels_letter_stands_for_the_notices() -> None:
    letter = (
        "notices.yml",
        "  parties: [maker of the pump]\n",
        "  parties: [maker of the pump]\n  from_counsel: yes\n",
    )
    assert_silent("notice-after-examination", [LATE, letter])


def test_a_later_notice_to_the_same_party_is_not_asked() -> None:
    edit = (
        "notices.yml",
        "N-2:",
        "N-3: {to: the representative of the maker, parties: [maker of the pump], what: More., "
        "sent_at: 2026-03-06 08:00 -06:00}\nN-2:",
    )
    assert_silent("notice-after-examination", [edit])


def test_a_notice_to_the_representative_by_title_is_one_to_the_party() -> None:
    edits = [
        ("notices.yml", "  parties: [maker of the pump]\n", ""),
        ("notices.yml", "  parties: [injured side]\n", ""),
    ]
    assert_silent("notice-after-examination", edits)


# --- time to answer

WAITING: Edit = (
    "notices.yml",
    "  reply_by: 2026-03-05 08:00 -06:00\n  reply: Will not attend tests that alter nothing.\n"
    "  answer: declines to attend\n  answered_at: 2026-03-04 12:00 -06:00\n",
    "  reply_by: 2026-03-09 17:00 -05:00\n",
)


def test_nothing_is_altered_while_an_answer_is_awaited() -> None:
    assert_fires(
        "reply-window-open",
        [step(), WAITING],
        at=("gates.yml", "B-1: >     at:"),
        says="while an answer to N-1 was awaited until 2026-03-09 17:00 -05:00",
    )


def test_work_that_alters_nothing_goes_on() -> None:
    assert_silent("reply-window-open", [WAITING])


def test_an_answer_before_the_step_closes_the_window() -> None:
    answered = WAITING[2] + "  answer: objects\n  answered_at: 2026-03-06 12:00 -06:00\n"
    assert_silent("reply-window-open", [step(), (*WAITING[:2], answered)])


# --- holds

HELD = "held:\n  since: 2026-03-05 12:00 -06:00\n  why: The door is burnt.\n  items: [I-1]\n"


def held(text: str = HELD) -> Edit:
    return ("case.yml", "storage:\n", text + "storage:\n")


def test_a_held_thing_is_not_altered() -> None:
    assert_fires(
        "altered-while-held",
        [step(), held()],
        at=("gates.yml", "B-1: >     at:"),
        says="I-1, held since 2026-03-05 12:00 -06:00, was altered",
    )


@pytest.mark.parametrize(
    "text",
    [
        HELD + "  ended_at: 2026-03-06 12:00 -06:00\n",
        HELD.replace("[I-1]", "[I-2]"),
        HELD.replace("03-05 12:00", "03-07 12:00"),
    ],
)
def test_after_the_hold_before_it_and_on_another_thing_it_may_be(text: str) -> None:
    assert_silent("altered-while-held", [step(), held(text)])


def test_the_stage_needs_its_hold() -> None:
    stage = ("case.yml", "stage: in review", "stage: held for joint examination")
    assert_fires("altered-while-held", [stage], at=("case.yml", "stage:"), says="nothing says since when and why")
    assert_silent("altered-while-held", [stage, held()])


def test_the_stage_ends_with_its_hold() -> None:
    stage = ("case.yml", "stage: in review", "stage: held for joint examination")
    over = held(HELD + "  ended_at: 2026-03-06 12:00 -06:00\n")
    assert_fires("altered-while-held", [stage, over], at=("case.yml", "stage:"), says="its hold has ended")


# --- to the maker

TO_MAKER = (
    "8,I-1,transfer,2026-03-07 09:00 -06:00,2026-03-07 09:00 -06:00,store,makers-agent,examiner's store,the maker,"
    "examination by the maker,2003,2003,as before,examiner,makers-agent,,\n"
)
LINE_7 = "7,I-1 I-2 I-3 I-4,stored"
TERMS = (
    "N-3:\n  to: the risk manager\n  parties: [owner]\n  what: The terms.\n  sent_at: 2026-03-06 09:00 -06:00\n"
    "  concerns: {0}\n  release: {by_counsel: yes, procedure: [E-5], right_to_attend: yes, copy_of_results: yes}\nN-2:"
)


def to_maker() -> list[Edit]:
    tail = "examiner,store,bench,examiner's store,safe keeping,,2003,as received,examiner,examiner,,\n"
    return [("custody.csv", tail, tail + TO_MAKER)]


def test_a_thing_that_goes_to_its_maker_needs_terms() -> None:
    assert_fires(
        "released-to-maker",
        to_maker(),
        at=("custody.csv", "8,I-1,transfer"),
        says="I-1 went to the representative of the maker, and the release lacks its terms",
    )


@pytest.mark.parametrize("named", ["C-8", "I-1"])
def test_terms_that_are_whole_are_enough(named: str) -> None:
    assert_silent("released-to-maker", [*to_maker(), ("notices.yml", "N-2:", TERMS.replace("{0}", named))])


def test_terms_without_the_right_to_attend_are_refused() -> None:
    terms = TERMS.replace("{0}", "C-8").replace("right_to_attend: yes", "right_to_attend: no")
    assert_fires(
        "released-to-maker",
        [*to_maker(), ("notices.yml", "N-2:", terms)],
        at=("custody.csv", "8,I-1,transfer"),
        says="the release lacks the right to attend;",
    )
