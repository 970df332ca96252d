"""Rules about clocks and the events read off them."""

from __future__ import annotations

from asfound.problems import Level
from tests.rules.support import assert_fires, assert_silent, run_with

ROW = "1,K-1,2026-03-02 10:40 -06:00,1 min,the bag is seen empty,W-1,examiner\n"
WARD = "    - {at: 2026-03-03 09:10 -06:00, reference: network time, offset: 1 min 10 s, doubt: 5 s}\n"
BARE = ("clocks.yml", f"  comparisons:\n{WARD}", "")


def log(*rows: str) -> tuple[str, str, str]:
    """Further rows of the timeline, below its only one."""
    return ("timeline.csv", ROW, ROW + "".join(f"{row}\n" for row in rows))


CITED = ("findings.yml", "F-1:\n", "F-9:\n  text: The bag was empty [T-1].\n  about: [I-1]\n  rests_on: [T-1]\nF-1:\n")


def test_the_base_holds_what_these_edits_count_on() -> None:
    assert not [problem for problem in run_with([CITED]) if problem.level in {Level.REJECT, Level.WARN}]


# --- clock-not-compared


def test_a_clock_that_nobody_compared_is_refused_where_an_event_on_it_is_cited() -> None:
    assert_fires("clock-not-compared", [BARE, CITED], at=("clocks.yml", "K-1:"), says="and the case cites T-1")


def test_it_is_a_warning_where_no_event_on_it_is_cited_or_a_reason_is_given() -> None:
    assert_fires("clock-not-compared", [BARE], at=("clocks.yml", "K-1:"), level=Level.WARN)
    why = ("clocks.yml", BARE[1], "  not_compared: {not_accessible: it was thrown away}\n")
    assert_fires("clock-not-compared", [why, CITED], at=("clocks.yml", "K-1:"), level=Level.WARN, says="thrown away")


def test_a_clock_with_one_comparison_or_without_events_passes() -> None:
    assert_silent("clock-not-compared", [CITED])
    assert_silent("clock-not-compared", [BARE, ("timeline.csv", ROW, ROW.replace("K-1", "K-2"))])


def test_a_clock_compared_with_an_unknown_one_is_not_compared() -> None:
    other = ("clocks.yml", WARD, WARD.replace("network time", "K-9") + "K-9:\n  what: Another clock\n")
    assert_fires("clock-not-compared", [other, CITED], at=("clocks.yml", "K-1:"), says="clocks nobody knows")
    nowhere = ("clocks.yml", WARD, WARD.replace("network time", "K-9"))
    assert_fires("clock-not-compared", [nowhere, CITED], at=("clocks.yml", "K-1:"), says="clocks nobody knows")


# --- clock-compared-once


def test_one_comparison_a_fortnight_off_asks_for_a_note_on_drift() -> None:
    edit = ("clocks.yml", "{at: 2026-03-03 09:10 -06:00", "{at: 2026-03-17 09:10 -05:00")
    assert_fires("clock-compared-once", [edit], at=("clocks.yml", "2026-03-17"), level=Level.WARN, says="15 days")
    note = ("clocks.yml", "  what: Ward clock\n", "  what: Ward clock\n  drift_note: The maker states 2 s a day.\n")
    assert_silent("clock-compared-once", [edit, note])


def test_seven_days_or_a_second_comparison_pass() -> None:
    assert_silent("clock-compared-once", [("clocks.yml", "{at: 2026-03-03 09:10", "{at: 2026-03-09 10:40")])
    twice = WARD.replace("2026-03-03 09:10", "2026-03-17 09:10") + WARD.replace("2026-03-03 09:10", "2026-03-18 09:10")
    assert_silent("clock-compared-once", [("clocks.yml", WARD, twice)])


# --- told-time-too-fine


def test_seconds_on_a_remembered_time_are_asked_about() -> None:
    fine = ("timeline.csv", ROW, ROW.replace("1 min", "5 s"))
    assert_fires("told-time-too-fine", [fine], at=("timeline.csv", "1,K-1"), level=Level.WARN, says="W-1 alone")
    written = ("timeline.csv", ROW, ROW.replace("10:40 ", "10:40:20 ").replace("1 min", ""))
    assert_fires("told-time-too-fine", [written], at=("timeline.csv", "1,K-1"), level=Level.WARN, says="to the second")


def test_a_record_beside_the_statement_or_a_minute_of_doubt_passes() -> None:
    beside = ("timeline.csv", ROW, ROW.replace("1 min", "5 s").replace("W-1", "W-1 E-1"))
    assert_silent("told-time-too-fine", [beside])
    assert_silent("told-time-too-fine", [("timeline.csv", ROW, ROW.replace("1 min", ""))])
    assert_silent("told-time-too-fine", [("timeline.csv", ROW, ROW.replace("1 min", "60 s"))])
