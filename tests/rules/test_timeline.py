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


# --- order-not-supported

SEEN = "2,K-1,2026-03-02 10:41 -06:00,1 min,the alarm is heard,W-1,examiner"
LATER = "2,K-1,2026-03-02 10:55 -06:00,1 min,the alarm is heard,W-1,examiner"


def says(text: str) -> tuple[str, str, str]:
    """A finding with these words."""
    return ("findings.yml", "F-1:\n", f"F-9:\n  text: {text}\n  about: [I-1]\n  rests_on: [T-1, T-2]\nF-1:\n")


def test_an_order_that_the_times_do_not_settle_is_refused() -> None:
    """A minute apart, each known to a minute: sqrt(60² + 60²) = 85 s of doubt on a gap of 60 s."""
    edits = [log(SEEN), says("The bag was empty [T-1] before the alarm was heard [T-2].")]
    assert_fires("order-not-supported", edits, at=("findings.yml", "F-9: > text"), says="1\u00a0min apart")


def test_an_order_against_the_clocks_is_refused() -> None:
    edits = [log(LATER), says("The alarm was heard [T-2] before the bag was empty [T-1].")]
    assert_fires("order-not-supported", edits, at=("findings.yml", "F-9: > text"), says="the clocks put it after")


def test_an_order_with_a_clock_nobody_compared_is_refused() -> None:
    other = ("clocks.yml", "K-2:\n", "K-9:\n  what: Log\n  not_compared: {not_accessible: it is lost}\nK-2:\n")
    row = LATER.replace("K-1", "K-9")
    edits = [other, log(row), says("The bag was empty [T-1] before the alarm was heard [T-2].")]
    assert_fires("order-not-supported", edits, at=("findings.yml", "F-9: > text"), says="offset of K-9 is not known")


def test_an_order_that_is_settled_left_open_or_quoted_passes() -> None:
    assert_silent(
        "order-not-supported", [log(LATER), says("The bag was empty [T-1] before the alarm was heard [T-2].")]
    )
    assert_silent("order-not-supported", [log(SEEN), says("Whether [T-1] came before [T-2] is not known.")])
    quoted = says("The nurse said “the bag was empty [T-1] before the alarm [T-2]”.")
    assert_silent("order-not-supported", [log(SEEN), quoted])


def test_an_answer_is_held_to_it_and_what_an_explanation_would_show_is_not() -> None:
    answer = ("explanations.yml", "X-1:\n", "X-1:\n  answer: The bag was empty [T-1] before the alarm [T-2].\n")
    assert_fires("order-not-supported", [log(SEEN), answer], at=("explanations.yml", "X-1: > answer"))


# --- daylight-saving-open

# The United States set their clocks forward on 2026-03-08 at 02:00 (15 U.S.C. 260a; IANA time zone database, tzdata
# 2026: confirmed).
AFTER = ("clocks.yml", "{at: 2026-03-03 09:10 -06:00", "{at: 2026-03-09 09:10 -05:00")
FOLLOWS = ("clocks.yml", "  what: Ward clock\n", "  what: Ward clock\n  daylight_saving: Changes by itself.\n")


def test_a_change_between_reading_and_comparison_is_asked_about() -> None:
    assert_fires("daylight-saving-open", [AFTER], at=("clocks.yml", "K-1:"), level=Level.WARN, says="2026-03-08")
    assert_silent("daylight-saving-open", [AFTER, FOLLOWS])


def test_an_offset_of_an_hour_across_a_change_looks_like_a_clock_nobody_set() -> None:
    at_once = ", reference: network time, offset: "
    hour = ("clocks.yml", f"{AFTER[1]}{at_once}1 min 10 s", f"{AFTER[2]}{at_once}-1 h 1 min")
    place = ("clocks.yml", "K-1: > comparisons")
    assert_fires("daylight-saving-open", [hour, FOLLOWS], at=place, level=Level.WARN, says="about an hour")
    standard = ("clocks.yml", "  what: Ward clock\n  zone: America/Chicago\n", '  what: Ward clock\n  zone: "-06:00"\n')
    assert_silent("daylight-saving-open", [hour, standard])


def test_a_time_that_never_came_or_has_another_offset_is_asked_about() -> None:
    never = ("timeline.csv", ROW, ROW.replace("03-02 10:40", "03-08 02:30"))
    assert_fires(
        "daylight-saving-open", [never, FOLLOWS], at=("timeline.csv", "1,K-1"), level=Level.WARN, says="never came"
    )
    other = ("timeline.csv", ROW, ROW.replace("10:40 -06:00", "11:40 -05:00"))
    assert_fires("daylight-saving-open", [other], at=("timeline.csv", "1,K-1"), level=Level.WARN, says="offset written")
    zone = ("clocks.yml", "  what: Ward clock\n  zone: America/Chicago", "  what: Ward clock\n  zone: Central time")
    assert_fires("daylight-saving-open", [zone], at=("clocks.yml", "Central time"), level=Level.WARN, says="is no zone")
    assert_silent("daylight-saving-open", [("timeline.csv", ROW, ROW.replace("03-02 10:40", "03-08 01:59"))])


# --- event-out-of-time


def test_an_event_after_the_statement_that_tells_it_or_after_the_check_is_refused() -> None:
    told = ("timeline.csv", ROW, ROW.replace("2026-03-02 10:40", "2026-03-04 10:40"))
    assert_fires("event-out-of-time", [told], at=("timeline.csv", "1,K-1"), says="W-1 tells it")
    future = (
        "timeline.csv",
        ROW,
        ROW.replace("2026-03-02 10:40 -06:00", "2026-03-22 10:40 -05:00").replace("W-1", "E-1"),
    )
    assert_fires("event-out-of-time", [future], at=("timeline.csv", "1,K-1"), says="the date of this check")


def test_doubt_counts_in_its_favour() -> None:
    told = ("timeline.csv", ROW, ROW.replace("2026-03-02 10:40", "2026-03-04 10:40").replace("1 min", "3 d"))
    assert_silent("event-out-of-time", [told])


# --- clock-base-twice, timeline-too-long

BASE_1 = ("clocks.yml", "  what: Ward clock\n", "  what: Ward clock\n  base: yes\n")
BASE_2 = ("clocks.yml", "  what: Camera\n", "  what: Camera\n  base: yes\n")


def test_two_bases_are_refused_and_one_passes() -> None:
    assert_fires("clock-base-twice", [BASE_1, BASE_2], at=("clocks.yml", "K-2: > base"), says="K-1 and K-2")
    assert_silent("clock-base-twice", [BASE_1])


def test_a_log_in_the_timeline_is_refused() -> None:
    rows = [
        f"{n},K-1,2026-03-02 {10 + n // 60 % 10}:{n % 60:02d} -06:00,1 min,again,W-1,examiner" for n in range(2, 1002)
    ]
    assert_fires("timeline-too-long", [log(*rows)], at=("timeline.csv", "1001,K-1"), says="1001 events")
    assert_silent("timeline-too-long", [log(*rows[:-1])])
