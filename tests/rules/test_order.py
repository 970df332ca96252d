"""Rules about the order of work."""

from __future__ import annotations

import datetime as dt

import pytest

from asfound.problems import Level
from tests.rules.support import CASE, assert_fires, assert_silent, run_with

INSPECTED = "at: 2026-03-05 10:30 -06:00"
SAFE = "at: 2026-03-05 14:00 -06:00"
OPEN = ("case.yml", "stage: in review", "stage: open")


# --- power


def test_power_before_the_inspection_is_refused() -> None:
    edit = ("gates.yml", INSPECTED, "at: 2026-03-05 13:30 -06:00")
    assert_fires(
        "power-before-inspection", [edit], at=("sheets.yml", "S-touch: > from"), column=9, says="inspected only at"
    )


def test_it_is_refused_in_an_open_case_and_no_exception_lifts_it() -> None:
    exception = (
        "Q-1:\n  rule: power-before-inspection\n  by: examiner\n  at: 2026-03-06 09:00 -06:00\n"
        "  why: The gate was written later.\n  effect: None.\n"
    )
    edits = [("gates.yml", INSPECTED, "at: 2026-03-05 13:30 -06:00"), OPEN]
    assert_fires(
        "power-before-inspection", edits, extra={"exceptions.yml": exception}, at=("sheets.yml", "S-touch: > from")
    )


def test_a_cord_that_was_not_inspected_counts() -> None:
    edit = (
        "gates.yml",
        "items: [I-1, I-2, I-3]\n    at: 2026-03-05 10:30",
        "items: [I-1, I-3]\n    at: 2026-03-05 10:30",
    )
    problems = [problem for problem in run_with([edit]) if problem.rule == "power-before-inspection"]
    assert [problem.subject for problem in problems] == ["S-touch", "S-flow", "S-flow-again"]
    assert all("I-2 was energised" in problem.found for problem in problems)


def test_what_was_measured_without_power_may_come_first() -> None:
    assert_silent("power-before-inspection", [("gates.yml", INSPECTED, "at: 2026-03-05 13:15 -06:00")])


# --- connection


def test_an_analyser_before_the_gate_is_refused() -> None:
    edit = ("gates.yml", SAFE, "at: 2026-03-05 14:45 -06:00")
    assert_fires("connected-before-safe", [edit], at=("sheets.yml", "S-flow: > from"), says="an analyser was connected")


def test_a_gate_that_says_no_is_no_leave() -> None:
    edit = ("gates.yml", "outcome: yes}", "outcome: no}")
    problems = [problem for problem in run_with([edit]) if problem.rule == "connected-before-safe"]
    assert [problem.subject for problem in problems] == ["S-flow", "S-flow-again"]
    assert 'G-10 says "no"' in problems[0].found


def test_a_later_no_withdraws_the_leave() -> None:
    later = "  G-14: {gate: safe to connect, at: 2026-03-05 18:00 -06:00, by: examiner, outcome: no}\n  G-11:"
    edit = ("gates.yml", "  G-11:", later)
    assert_fires("connected-before-safe", [edit], at=("sheets.yml", "S-flow-again: > from"), says="G-14")


def test_the_safety_tester_earns_the_gate_and_need_not_wait_for_it() -> None:
    assert_silent("connected-before-safe", [("gates.yml", SAFE, "at: 2026-03-05 14:30 -06:00")])


# --- damage

DAMAGED = ("gates.yml", "outcome: no damage", "outcome: significant damage at the door")
ONE_ENERGISED = [
    ("sheets.yml", "  test: pump-touch\n", "  test: pump-earth\n"),
    ("sheets.yml", "S-flow:\n  test: pump-flow\n", "S-flow:\n  test: pump-earth\n"),
]
NOTICE = (
    "N-1:\n  to: the maker\n  what: Examination of the pump under power.\n  sent_at: 2026-03-05 11:00 -06:00\n"
    "  reply: {not_accessible: the maker has ceased to trade}\n  consents_to: [I-1, I-2, I-3]\n"
)


def test_a_damaged_thing_under_power_is_refused() -> None:
    at = ("sheets.yml", "S-flow-again: > from")
    assert_fires("damaged-and-energised", [DAMAGED, *ONE_ENERGISED], at=at, says="significant damage")


def test_a_notice_without_an_answer_is_none() -> None:
    notice = NOTICE.replace("  reply: {not_accessible: the maker has ceased to trade}\n", "")
    at = ("sheets.yml", "S-flow-again: > from")
    assert_fires("damaged-and-energised", [DAMAGED, *ONE_ENERGISED], extra={"notices.yml": notice}, at=at)


def test_a_maker_that_is_gone_is_an_answer() -> None:
    assert_silent("damaged-and-energised", [DAMAGED], extra={"notices.yml": NOTICE})


# --- adjustment

STEP = (
    "steps:\n  B-1: {items: [I-1], what: drive adjusted, tier: changes, at: 2026-03-06 08:00 -06:00, by: examiner, "
    "why: asked for by the maker}\ngates:\n"
)
ADJUSTED = ("sheets.yml", "  repeats_of: S-flow\n", "  repeats_of: S-flow\n  moment: after adjustment\n")


def test_readings_after_an_adjustment_that_nobody_logged_are_refused() -> None:
    assert_fires("adjustment-unlogged", [ADJUSTED], at=("sheets.yml", "moment: after adjustment"), column=11)


def test_a_step_after_the_readings_is_none() -> None:
    step = STEP.replace("2026-03-06 08:00", "2026-03-06 13:00")
    edits = [ADJUSTED, ("gates.yml", "gates:\n", step)]
    assert_fires("adjustment-unlogged", edits, at=("sheets.yml", "moment: after adjustment"))


def test_a_step_before_the_readings_is_their_log() -> None:
    assert_silent("adjustment-unlogged", [ADJUSTED, ("gates.yml", "gates:\n", STEP)])


def test_readings_after_an_adjustment_only_are_refused() -> None:
    edits = [
        ADJUSTED,
        ("sheets.yml", "  test: pump-flow\n  item: I-1\n  accessories: [I-2, I-3]\n  instrument: M-2",
         "  test: pump-earth\n  item: I-1\n  accessories: [I-2, I-3]\n  instrument: M-2"),
    ]  # fmt: skip
    assert_fires("only-after-adjustment", edits, at=("sheets.yml", "moment: after adjustment"), says="pump-flow of I-1")


def test_readings_before_and_after_pass() -> None:
    assert_silent("only-after-adjustment", [ADJUSTED])


# --- gates


def test_missing_gates_are_listed_in_one_problem() -> None:
    edits = [
        ("gates.yml", "  G-8: {gate: plan sealed, at: 2026-03-05 11:20 -06:00, by: examiner}\n", ""),
        ("gates.yml", "gate: received", "gate: room surveyed"),
    ]
    assert_fires("gates-missing", edits, at=("gates.yml", "gates:"), says="received and plan sealed")


def test_without_sheets_nothing_need_be_safe_to_connect() -> None:
    edit = ("gates.yml", "gate: safe to connect", "gate: room surveyed")
    assert_fires("gates-missing", [edit], at=("gates.yml", "gates:"), says="safe to connect")
    assert_silent("gates-missing", [edit], delete=["sheets.yml", "readings"])


def test_a_thing_that_is_neither_energised_nor_joined_to_anything_waits_for_nothing() -> None:
    edit = ("gates.yml", "gate: safe to connect", "gate: room surveyed")
    by_foot = [
        ("../../.asfound/protocols/base-pump.yml", f"    energised: {energised}\n    connects: {joins}\n",
         "    energised: no\n    connects: nothing\n")
        for energised, joins in (("no", "safety tester"), ("yes", "safety tester"), ("yes", "analyser"))
    ]  # fmt: skip
    assert_silent("gates-missing", [edit, *by_foot])
    assert_fires("gates-missing", [edit, *by_foot[:2]], at=("gates.yml", "gates:"), says="safe to connect")


# --- inspection


def test_a_line_of_the_checklist_without_an_answer_is_refused() -> None:
    edit = ("inspection.csv", "I-2,plug,plug", "I-2,,plug")
    assert_fires("inspection-unanswered", [edit], at=("items.yml", "I-2:"), says="answered for I-2: plug")


def test_a_line_that_cannot_be_asked_of_a_thing_is_not_missing() -> None:
    """It is asked again where the item says nothing of itself, or another word; and where another protocol asks it."""
    gone = ("inspection.csv", "1,I-1,outside,", "1,I-1,,")
    protocol = "../../.asfound/protocols/base-pump.yml"
    unless = (protocol, "  outside:\n", "  outside:\n    unless: {cord: [none, detachable]}\n")
    assert_silent("inspection-unanswered", [gone, unless])
    for said in ("cord: fixed", "note: none"):
        edit = ("items.yml", "cord: detachable", said)
        assert_fires("inspection-unanswered", [gone, unless, edit], at=("items.yml", "I-1:"), says="outside")
    both = [gone, unless, (protocol, "device_kinds:", "includes: [second]\ndevice_kinds:")]
    second = (
        "protocol: second\ntitle: A second one\ndevice_kinds: [second]\nchecklist:\n"
        "  outside: {look: Case, why: Cracks.}\n"
    )
    assert_fires(
        "inspection-unanswered", both, at=("items.yml", "I-1:"), says="outside",
        extra={".asfound/protocols/second.yml": second},
    )  # fmt: skip


def test_a_place_one_could_not_look_at_needs_a_reason() -> None:
    edit = ("inspection.csv", "the door needs a key the hospital keeps", "")
    assert_fires("inspection-unanswered", [edit], at=("inspection.csv", "behind the door"), says="without a reason")


def test_an_answer_to_no_line_of_the_checklist_is_refused() -> None:
    edit = ("inspection.csv", "4,I-1,,behind", "4,I-1,outsides,behind")
    assert_fires("inspection-unanswered", [edit], at=("inspection.csv", "outsides"), says="there is outside")


def test_without_an_inspection_there_is_one_problem() -> None:
    at = ("inspection.csv", None)
    assert_fires("inspection-unanswered", delete=["inspection.csv"], at=at, says="I-1, I-2 and I-3")


def test_could_not_look_is_an_answer() -> None:
    edit = (
        "inspection.csv",
        "plug and strain relief,nothing seen,,,not relevant,",
        "plug,could not look,,,not known,cut off",
    )
    assert_silent("inspection-unanswered", [edit])


# --- times


@pytest.mark.parametrize(
    ("file", "old", "new", "at", "says"),
    [
        ("sheets.yml", "to: 2026-03-05 13:10 -06:00", "to: 2026-03-05 12:10 -06:00", "12:10", "before it begins"),
        ("readings/flow.csv", "15:10", "17:10", "17:10", "its sheet runs"),
        ("gates.yml", INSPECTED, "at: 2026-03-05 08:31 -06:00", "08:31", "comes before"),
        ("gates.yml", "2026-03-05 11:20", "2026-03-05 10:50", "10:50", "the plan was sealed"),
        ("case.yml", "aware_at: 2026-03-02 10:42", "aware_at: 2026-03-02 09:42", "09:42", "staff learned of it"),
        ("injury.yml", "2026-03-02 10:45", "2026-03-01 10:45", "03-01", "the injury was seen"),
        ("statements.yml", "2026-03-09 09:00 -05:00", "2026-03-03 08:00 -06:00", "08:00", "the statement was opened"),
        (".asfound/instruments.yml", "due: 2026-11-10", "due: 2025-10-10", "2025-10-10", "due again"),
        ("case.yml", "at: 2026-03-03\n", "at: 2026-03-23\n", "2026-03-23", "lies after 2026-03-20"),
        ("clocks.yml", "2026-03-03 09:10", "2027-03-03 09:10", "2027", "lies after 2026-03-20"),
    ],
)
def test_an_impossible_time_is_refused(file: str, old: str, new: str, at: str, says: str) -> None:
    assert_fires("impossible-time", [(file, old, new)], at=(file, at), says=says)


def test_the_same_instant_in_another_zone_is_possible() -> None:
    assert_silent("impossible-time", [("readings/flow.csv", "2026-03-05 15:10 -06:00", "2026-03-05 22:10 +01:00")])


def test_a_due_date_and_a_wrong_camera_clock_may_lie_ahead() -> None:
    edits = [
        (".asfound/instruments.yml", "due: 2026-11-10", "due: 2029-11-10"),
        ("evidence.yml", "2026-03-02 11:10", "2031-03-02 11:10"),
    ]
    assert_silent("impossible-time", edits)


def test_the_day_of_the_check_is_not_after_it() -> None:
    assert_silent("impossible-time", on=dt.date(2026, 3, 10))


def test_the_day_before_is() -> None:
    at = ("gates.yml", "G-13:")
    assert_fires("impossible-time", on=dt.date(2026, 3, 9), at=at, says="lies after 2026-03-09")


# --- hour one

HOUR_ONE = """case: base
title: A bag emptied early on a ward
stage: open
event:
  kind: too much
  told_at: 2026-03-02 10:40 -06:00
  time_source: the ward clock
  where: a bed space of a medical ward
  account: The bag of saline was empty at 10:40.
harmed: patient
people:
  risk-manager: {title: risk manager}
"""


def test_a_case_of_the_first_hour_gets_a_short_helpful_list_and_nothing_is_refused() -> None:
    import shutil
    import tempfile
    from pathlib import Path

    from asfound.assess import assess_case
    from tests.rules.support import BASE, ON

    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        home = root / CASE
        (home / "evidence").mkdir(parents=True)
        shutil.copytree(BASE / ".asfound", root / ".asfound")
        for name in ("items.yml", "evidence/bay.jpg", "evidence/display.jpg"):
            shutil.copy(BASE / CASE / name, home / name)
        (home / "case.yml").write_text(HOUR_ONE)
        problems = assess_case(root, home, ON).problems
    shown = "\n".join(problem.headline() for problem in problems)
    assert {problem.level for problem in problems} <= {Level.NEEDED, Level.NOTE}, shown
    mine = [
        "as-found-settings-missing",
        "authority-missing",
        "custody-gap",
        "evidence-unregistered",
        "gates-missing",
        "inspection-unanswered",
        "interest-undeclared",
    ]
    rules = [problem.rule for problem in problems]
    assert [rule for rule in sorted(rules) if rule in mine] == mine, shown
    assert len(rules) == len(set(rules)) and len(rules) <= 15, shown
