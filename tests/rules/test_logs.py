"""Rules about device logs: how they are read, and events of the timeline that were taken from them."""

from __future__ import annotations

import hashlib

import pytest

from asfound.problems import Level
from tests.rules.support import assert_fires, assert_silent, run_with

LOG = """\
number,clock,code,words
1,2026-03-02 10:02:11,12,infusion started
2,2026-03-02 10:39:58,40,"air, or an empty bag"
3,2026-03-02 10:41:00,12,infusion started
"""
HEAD = "row,clock,at,doubt,event,source,by\n1,K-1,2026-03-02 10:40 -06:00,1 min,the bag is seen empty,W-1,examiner\n"
MAPPED = "    time: clock\n    number: number\n    code: code\n    text: words\n    events:\n"
EVENTS = "      '40': the pump tells of air\n"


def log(text: str = LOG, mapping: str = MAPPED + EVENTS, clock: str = "K-1", kind: str = "log") -> dict[str, str]:
    """A log with its record in front of the evidence of the base case."""
    digest = hashlib.sha256(text.encode()).hexdigest()
    return {
        "evidence/unit.csv": text,
        "record": (
            f"E-90:\n  file: evidence/unit.csv\n  sha256: {digest}\n  kind: {kind}\n  shows: The record of the pump.\n"
            f"  items: [I-1]\n  taken_at: 2026-03-03 09:20 -06:00\n  taken_by: examiner\n  clock: {clock}\n"
            "  exported_how: by the port of the pump\n  software: '1.0'\n" + (f"  log:\n{mapping}" if mapping else "")
        ),
    }


def case(made: dict[str, str], *rows: str) -> dict[str, object]:
    """Edits and files for `run_with`: the log, its record, and rows of the timeline with a log_row."""
    first = "E-1:\n"
    head, only = HEAD.splitlines()
    table = "\n".join([f"{head},log_row", f"{only},", *rows]) + "\n"
    return {
        "edits": [("evidence.yml", first, made["record"] + first)],
        "extra": {"evidence/unit.csv": made["evidence/unit.csv"], "timeline.csv": table},
    }


GOOD = "2,K-1,2026-03-02 10:39:58 -06:00,1 s,the pump tells of air,E-90,,E-90#2"


def test_an_event_taken_from_a_log_is_good() -> None:
    found = [one for one in run_with(**case(log(), GOOD)) if one.level in {Level.REJECT, Level.WARN}]
    assert {one.rule for one in found} <= {"power-cycled-before-log"}, "which the base case could not be asked"


# --- log-mapping-unfit


@pytest.mark.parametrize(
    ("mapping", "says"),
    [
        (MAPPED.replace("time: clock", "time: at") + EVENTS, "is called “at”"),
        (MAPPED.replace("code: code", "code: Code") + EVENTS, "is called “Code”"),
    ],
)
def test_a_column_that_is_not_in_the_log_is_refused(mapping: str, says: str) -> None:
    assert_fires("log-mapping-unfit", **case(log(mapping=mapping)), at=("evidence.yml", "  log:"), says=says)


def test_a_column_that_stands_twice_is_refused() -> None:
    made = log(
        LOG.replace("number,clock,code,words", "number,clock,code,code"),
        MAPPED.replace("    text: words\n", "") + EVENTS,
    )
    assert_fires("log-mapping-unfit", **case(made), at=("evidence.yml", "  log:"), says="more than one")


def test_a_key_that_no_entry_bears_is_a_warning() -> None:
    made = log(mapping=MAPPED + EVENTS + "      '41': the door is open\n")
    assert_fires(
        "log-mapping-unfit", **case(made, GOOD), at=("evidence.yml", "    events:"), level=Level.WARN,
        says="none of the 3 entries bears “41”",
    )  # fmt: skip


def test_events_without_a_column_to_find_them_by_are_refused() -> None:
    made = log(mapping="    time: clock\n    events:\n" + EVENTS)
    assert_fires("log-mapping-unfit", **case(made), at=("evidence.yml", "    events:"), says="no column of codes")


def test_a_mapping_on_another_kind_of_evidence_is_refused() -> None:
    assert_fires("log-mapping-unfit", **case(log(kind="data")), at=("evidence.yml", "  log:"), says="of the kind data")


def test_a_mapping_that_fits_or_no_mapping_passes() -> None:
    assert_silent("log-mapping-unfit", **case(log(), GOOD))
    assert_silent("log-mapping-unfit", **case(log(mapping="")))


# --- timeline-differs-from-log


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (GOOD.replace("E-90#2", "E-90#7"), "has 3 entries, and none is numbered 7"),
        (GOOD.replace("E-90#2", "E-1#2"), "E-1 says nothing of how its rows are read"),
        (GOOD.replace("E-90#2", "E-77#2"), "there is no E-77"),
        (GOOD.replace("10:39:58", "10:39:57"), "E-90#2 (line 3) says “2026-03-02 10:39:58”"),
        (GOOD.replace("10:39:58 -06:00", "10:40 -06:00"), "says “2026-03-02 10:39:58”"),
        (GOOD.replace("K-1", "K-2"), "the log is on K-1"),
        (GOOD.replace("tells of air", "tells of gas"), "“the pump tells of air” for E-90#2"),
        (GOOD.replace("E-90#2", "E-90#3").replace("10:39:58", "10:41:00"), "“12”, is no event"),
    ],
)
def test_an_event_that_says_otherwise_is_refused(row: str, says: str) -> None:
    assert_fires("timeline-differs-from-log", **case(log(), row), at=("timeline.csv", "2,K-"), says=says)


def test_a_number_that_stands_twice_or_a_time_that_cannot_be_read_is_refused() -> None:
    twice = log(LOG + "2,2026-03-02 10:50:00,12,infusion started\n")
    assert_fires("timeline-differs-from-log", **case(twice, GOOD), at=("timeline.csv", "2,K-"), says="2 entries")
    bare = log(LOG.replace("2026-03-02 10:39:58", "39:58"))
    assert_fires("timeline-differs-from-log", **case(bare, GOOD), at=("timeline.csv", "2,K-"), says="“39:58”, cannot")


@pytest.mark.parametrize(
    ("old", "new", "extra"),
    [
        ("2026-03-02 10:39:58", "10:39:58", "    date: 2026-03-02\n"),
        ("2026-03-02 10:39:58", "2026-03-02T10:39:58-06:00", ""),
        ("2026-03-02 10:39:58", "2026-03-02 11:39:58 -05:00", ""),
        ("2026-03-02 10:39:58", "2398", "    counts_from: 2026-03-02 10:00 -06:00\n"),
        ("2026-03-02 10:39:58", "2026-03-02 10:39:58.000", ""),
    ],
)
def test_other_ways_to_write_the_time_pass(old: str, new: str, extra: str) -> None:
    made = log(LOG.replace(old, new), extra + MAPPED + EVENTS)
    assert_silent("timeline-differs-from-log", **case(made, GOOD))


def test_a_timeline_in_minutes_is_held_to_the_minute() -> None:
    minute = GOOD.replace("10:39:58 -06:00", "10:39 -06:00")
    assert_silent("timeline-differs-from-log", **case(log(), minute))


def test_semicolons_lines_before_the_names_and_no_numbers_pass() -> None:
    text = "a pump;\n" + LOG.replace('"air, or an empty bag"', "air").replace(",", ";")
    mapping = "    separator: semicolon\n    names_on_line: 2\n" + MAPPED.replace("    number: number\n", "") + EVENTS
    assert_silent("timeline-differs-from-log", **case(log(text, mapping), GOOD))


# --- log-event-left-out


def test_an_entry_that_the_mapping_calls_an_event_and_nobody_cites_is_a_warning() -> None:
    assert_fires(
        "log-event-left-out", **case(log()), at=("evidence.yml", "    events:"), level=Level.WARN,
        says="entry 2 (“40”)",
    )  # fmt: skip


def test_a_cited_entry_passes_and_so_does_one_that_is_no_event() -> None:
    assert_silent("log-event-left-out", **case(log(), GOOD))
    assert_silent("log-event-left-out", **case(log(mapping=MAPPED.replace("    events:\n", ""))))


# --- what the reader refuses


@pytest.mark.parametrize(
    ("broken", "line", "says"),
    [
        (LOG.replace("12,infusion started\n2", "12\n2"), 2, "3 cells in a row of 4"),
        (LOG.replace('"air, or', '"air or" x"'), 3, "does not read as cells"),
        (LOG.replace('an empty bag"', "an empty bag"), 3, "a quote is opened"),
    ],
)
def test_a_row_that_cannot_be_read_is_named(broken: str, line: int, says: str) -> None:
    found = [one for one in run_with(**case(log(broken))) if one.rule == "log-row-unreadable"]
    assert [(one.span.path, one.span.line) for one in found] == [("cases/base/evidence/unit.csv", line)]
    assert says in found[0].found


def test_a_log_row_written_in_another_way_is_refused_with_its_column() -> None:
    found = [one for one in run_with(**case(log(), GOOD.replace("E-90#2", "E-90 2"))) if one.rule == "id-malformed"]
    assert [(one.span.path, one.span.line, one.span.column) for one in found] == [
        ("cases/base/timeline.csv", 3, GOOD.index("E-90#2") + 1)
    ]
