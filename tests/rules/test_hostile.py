"""What a hostile reader turns: times, states and words that pass one by one and mislead together.

Common practice, no source, but where a test names one.
"""

from __future__ import annotations

import hashlib

import pytest

from asfound.problems import Level
from tests.rules.support import BASE, CASE, Edit, assert_fires, assert_silent, run_with

# --- gates and their grounds

SAFE = "G-10: {gate: safe to connect, items: [I-1], at: 2026-03-05 14:00 -06:00, by: examiner, outcome: yes}"
GROUND = SAFE.replace("yes}", "yes, rests_on: [R-touch-1]}")


def test_a_leave_older_than_its_ground_is_refused() -> None:
    edit = ("gates.yml", SAFE, GROUND.replace("14:00", "13:15"))
    assert_fires(
        "gate-before-its-ground", [edit], at=("gates.yml", "G-10"), says="rests on R-touch-1, which was not there yet"
    )


def test_a_leave_behind_its_ground_passes() -> None:
    assert_silent("gate-before-its-ground", [("gates.yml", SAFE, GROUND)])


def test_a_weighing_before_the_last_reading_is_refused_and_a_second_one_heals_it() -> None:
    early = (
        "gates.yml",
        "G-12: {gate: weighed, at: 2026-03-09 10:00 -05:00",
        "G-12: {gate: weighed, at: 2026-03-06 08:00 -06:00",
    )
    says = "S-flow-again was read and W-1 was taken in after that"
    assert_fires("gate-before-its-ground", [early], at=("gates.yml", "G-12"), says=says)
    again = "  G-20: {gate: weighed, at: 2026-03-09 10:00 -05:00, by: examiner}\n  G-13:"
    assert_silent("gate-before-its-ground", [early, ("gates.yml", "  G-13:", again)])


LETTER = (
    "E-90:\n  file: evidence/letter.txt\n  sha256: {sha}\n  kind: document\n  shows: A letter of the maker.\n{more}"
)
AGAIN = "  G-20: {gate: weighed, at: 2026-03-12 10:00 -05:00, by: examiner}\n  G-13:"
RECHECKED = "  G-21: {gate: rechecked, at: 2026-03-12 15:00 -05:00, by: reviewer}\n  G-20:"


def letter(taken: str) -> dict[str, str | bytes]:
    """A letter that came in after the weighing of 9 March, and that a finding rests on."""
    text = b"The message has two causes (invented).\n"
    home = BASE / CASE
    more = (home / "evidence.yml").read_text("utf-8"), (home / "findings.yml").read_text("utf-8")
    record = LETTER.format(sha=hashlib.sha256(text).hexdigest(), more=taken)
    finding = "F-9:\n  text: The maker wrote a letter.\n  about: [I-1]\n  rests_on: [E-90]\n"
    return {"evidence/letter.txt": text, "evidence.yml": more[0] + record, "findings.yml": more[1] + finding}


def test_what_came_in_after_the_weighing_is_weighed_again_and_rechecked() -> None:
    """An amendment: a letter, an account and a second look come after everything was weighed."""
    at = "  taken_at: 2026-03-11 09:00 -05:00\n"
    says = "weighed at 2026-03-09 10:00 -05:00, and E-90 was taken in after that"
    assert_fires("gate-before-its-ground", extra=letter(at), at=("gates.yml", "G-12"), says=says)
    assert_silent("gate-before-its-ground", extra=letter(""))
    # The clock of a camera may be wrong by as much.
    assert_silent("gate-before-its-ground", extra=letter(f"{at}  clock: K-1\n"))
    again = ("gates.yml", "  G-13:", AGAIN)
    says = "rechecked at 2026-03-10 10:00 -05:00, and weighed again at 2026-03-12 10:00 -05:00 (G-20)"
    assert_fires("gate-before-its-ground", [again], at=("gates.yml", "G-13"), extra=letter(at), says=says)
    healed = ("gates.yml", "  G-13:", AGAIN.replace("  G-20:", RECHECKED))
    assert_silent("gate-before-its-ground", [healed], extra=letter(at))


def test_a_statement_opened_after_the_weighing_is_weighed_again() -> None:
    opened = "opened_to_examiner_at: 2026-03-09 09:00 -05:00"
    later: Edit = ("statements.yml", opened, opened.replace("09 09:00", "11 09:00"))
    says = "and W-1 was taken in after that"
    assert_fires("gate-before-its-ground", [later], at=("gates.yml", "G-12"), says=says)
    healed: Edit = ("gates.yml", "  G-13:", AGAIN.replace("  G-20:", RECHECKED))
    assert_silent("gate-before-its-ground", [later, healed])


def test_a_plan_sealed_when_its_results_were_known_is_refused() -> None:
    edit = ("gates.yml", "plan sealed, at: 2026-03-05 11:20 -06:00", "plan sealed, at: 2026-03-05 13:05 -06:00")
    assert_fires("gate-before-its-ground", [edit], at=("gates.yml", "G-8"), says="and S-earth began at")


# --- before the event

TOLD = "told_at: 2026-03-02 10:40 -06:00"


def early(at: str) -> list[tuple[str, str, str]]:
    """The event told later than it was, and nothing of case.yml that would be impossible by that."""
    return [
        ("case.yml", TOLD, f"told_at: {at}"),
        ("case.yml", "  aware_at: 2026-03-02 10:42 -06:00\n", ""),
    ]


def test_what_was_kept_before_the_event_was_not_kept_after_it() -> None:
    found = [one for one in run_with(early("2026-03-02 14:00 -06:00")) if one.rule == "before-the-event"]
    assert {one.subject for one in found} >= {"G-1", "G-2", "C-2", "E-1", "E-2"}
    assert all(one.level is Level.REJECT for one in found if one.subject in {"G-1", "C-2", "E-1"})
    assert "C-1" not in {one.subject for one in found}, "the exemplar lay in the stock room all along"


def test_clocks_of_a_ward_that_differ_are_a_warning() -> None:
    # Pa Patient Saf Advis 2012;9(4):143-4 (confirmed): clocks of devices were wrong by 24 min on average.
    assert_fires(
        "before-the-event",
        early("2026-03-02 10:55 -06:00"),
        at=("gates.yml", "G-1:"),
        level=Level.WARN,
        says='"made safe" was passed at 2026-03-02 10:45 -06:00, before the event as told',
    )


def test_what_came_a_minute_after_the_event_passes() -> None:
    assert_silent("before-the-event", early("2026-03-02 10:44 -06:00"))


# --- work on the thing since the event

REPAIR = "H-9:\n  items: [I-1]\n  kind: repair\n  on: {on}\n  by: the workshop\n  result: door latch replaced\n"


def service(on: str, kind: str = "repair") -> list[tuple[str, str, str]]:
    """An entry more in the history of the pump."""
    return [("service.yml", "H-1:", REPAIR.format(on=on).replace("repair", kind, 1) + "H-1:")]


def test_a_repair_between_event_and_reading_is_refused() -> None:
    assert_fires(
        "repaired-before-as-found",
        service("2026-03-04"),
        at=("service.yml", "H-9: > on"),
        says="H-9 tells of repair on 2026-03-04, since the event, and S-earth, S-flow, S-flow-again and 1 more",
    )


def test_a_repair_on_the_day_of_the_event_is_a_warning() -> None:
    assert_fires("repaired-before-as-found", service("2026-03-02"), at=("service.yml", "H-9: > on"), level=Level.WARN)


@pytest.mark.parametrize(
    ("on", "kind"), [("2026-03-01", "repair"), ("2026-03-09", "repair"), ("2026-03-04", "recall search")]
)
def test_work_before_the_event_or_after_the_readings_passes(on: str, kind: str) -> None:
    assert_silent("repaired-before-as-found", service(on, kind))


# --- the examiner

DECLARED = "  at: 2026-03-04 08:30 -06:00\n  maintained"


def test_ties_declared_when_the_work_had_begun_are_told() -> None:
    edit = ("case.yml", DECLARED, DECLARED.replace("03-04", "03-06"))
    assert_fires(
        "declared-late",
        [edit],
        at=("case.yml", "declaration: > at"),
        level=Level.WARN,
        says="the examination had begun",
    )


def test_ties_declared_before_it_pass() -> None:
    assert_silent("declared-late", [("case.yml", DECLARED, DECLARED.replace("03-04 08", "03-05 08"))])


def test_an_examiner_does_not_recheck_himself() -> None:
    edit = ("gates.yml", "10:00 -05:00, by: reviewer}", "10:00 -05:00, by: examiner}")
    assert_fires("reviewer-is-examiner", [edit], at=("gates.yml", "G-13"), says='"rechecked" was passed by "examiner"')


# --- instruments

CALIBRATED = "      due: 2026-11-10\n      by: an accredited laboratory\n      as_found: in tolerance\n"
LATER = (
    "    - certificate: C-2026-300\n      on: {on}\n      due: 2027-03-10\n      by: an accredited laboratory\n"
    "      as_found: {as_found}\n"
)


def calibrated(on: str, as_found: str) -> list[tuple[str, str, str]]:
    """A calibration of the flow analyser more."""
    return [(".asfound/instruments.yml", CALIBRATED, CALIBRATED + LATER.format(on=on, as_found=as_found))]


@pytest.mark.parametrize("words", ["out of tolerance", "not in tolerance", "outside tolerance at 100 mL/h", "failed"])
def test_an_instrument_found_out_afterwards_takes_the_reading_along(words: str) -> None:
    # ISO/IEC 17025:2017, 6.4.9 and 7.10 (from memory).
    assert_fires(
        "instrument-found-out",
        calibrated("2026-03-10", words),
        at=("sheets.yml", "S-flow: > instrument"),
        says="the calibration C-2026-300 of 2026-03-10 found it out of tolerance",
    )


@pytest.mark.parametrize(
    ("on", "words"),
    [("2026-03-10", "in tolerance"), ("2026-03-10", "not out of tolerance"), ("2026-02-10", "out of tolerance")],
)
def test_one_found_in_tolerance_or_put_right_before_passes(on: str, words: str) -> None:
    assert_silent("instrument-found-out", calibrated(on, words))


# --- a test that was done


def test_a_test_that_is_called_undone_and_has_readings_is_refused() -> None:
    edit = ("plan.yml", "    why: Safety before power.\n", "    why: Safety before power.\n    not_done: no time\n")
    assert_fires("not-done-yet-measured", [edit], at=("plan.yml", "pump-earth: > not_done"), says="R-earth-1")


def test_a_test_without_readings_may_be_undone() -> None:
    edit = (
        "plan.yml",
        "  pump-flow:\n",
        "  pump-alarm:\n    item: I-1\n    why: The alarm is part of it.\n    not_done: no time\n  pump-flow:\n",
    )
    assert_silent("not-done-yet-measured", [edit])


# --- power after damage

DAMAGE = ("gates.yml", "    outcome: no damage\n", "    outcome: significant damage\n")


@pytest.mark.parametrize(("answered", "fires"), [("2026-03-04 12:00 -06:00", False), ("2026-03-07 12:00 -06:00", True)])
def test_an_answer_that_came_when_the_power_was_on_was_not_waited_for(answered: str, fires: bool) -> None:
    notice = (
        "N-9:\n  to: risk-manager\n  parties: [owner]\n  what: Power will be applied.\n"
        f"  sent_at: 2026-03-03 12:00 -06:00\n  answer: consents\n  answered_at: {answered}\n"
        "  consents_to: [I-1, I-2, I-3]\nN-1:"
    )
    said = [one for one in run_with([DAMAGE, ("notices.yml", "N-1:", notice)]) if one.rule == "damaged-and-energised"]
    assert bool(said) is fires
    assert all("consents_to: [I-1" in one.mend for one in said)


# --- slips of a hand that is tired


def test_records_below_a_heading_of_their_own_are_told_where_they_belong() -> None:
    edit = ("notices.yml", "N-1:\n  to:", "notices:\n  N-1:\n    to: x\nN-3:\n  to:")
    said = [one for one in run_with([edit]) if one.rule == "id-malformed"]
    assert [one.mend for one in said] == [
        "Take this line out, and the two spaces before what follows: in notices.yml the records stand at the left edge."
    ]


def test_a_quantity_that_ends_so_comes_before_one_that_is_spelled_alike() -> None:
    edit = (".asfound/instruments.yml", "quantity: electric current", "quantity: current")
    said = [one for one in run_with([edit]) if one.rule == "function-other-quantity"]
    assert len(said) == 1 and 'measures "current", perhaps meant as "electric current"' in said[0].found


# --- a device cleared in passing

MECHANISM = "mechanism:\n  text: "


@pytest.mark.parametrize(
    "words", ["The pump worked as intended.", "The pump was without fault.", "No fault was found."]
)
def test_a_device_is_not_cleared_by_a_sentence(words: str) -> None:
    # IMDRF/AE WG/N43, annexes B and D (confirmed): no problem detected needs the device tested, and nothing outside.
    edit = ("conclusion.yml", MECHANISM, f"{MECHANISM}{words} ")
    assert_fires("no-fault-found-unearned", [edit], at=("conclusion.yml", "mechanism: > text"), says="are outside")


def test_a_part_that_carries_the_conclusion_may_be_sound() -> None:
    edit = ("conclusion.yml", MECHANISM, f"{MECHANISM}The pump delivered more than it was set to. ")
    assert_silent("no-fault-found-unearned", [edit])


# --- reasons

ALARM = "  pump-alarm:\n    item: I-1\n    why: It is part of it.\n    not_done: '{}'\n  pump-flow:\n"


@pytest.mark.parametrize("words", ["not yet", "tbd", "to do", "?", "pending.", "N/A"])
def test_a_stand_in_for_a_reason_is_none(words: str) -> None:
    edit = ("plan.yml", "  pump-flow:\n", ALARM.format(words))
    assert_fires("reason-left-open", [edit], at=("plan.yml", "pump-alarm: > not_done"), says=f'"{words}"')


def test_a_short_reason_is_one() -> None:
    assert_silent("reason-left-open", [("plan.yml", "  pump-flow:\n", ALARM.format("no key"))])
