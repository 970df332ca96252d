"""Which duties a case has, the clock that is taken, and what the records make of it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.duties.counting import left
from asfound.duties.reckon import _late, _Term
from asfound.measure import show_date
from asfound.model.duties import Duties, DutyLine, Standing
from asfound.model.reporting import WorkCalendar
from asfound.pages.view_duties import state_words
from tests.rules.support import CASE, ON, Copy, Edit

HEAD: Edit = ("case.yml", "jurisdiction: [none, invented]", "jurisdiction: [{}]")


def duties(root: Path, where: str, *edits: Edit, records: str = "", on: dt.date = ON) -> Duties:
    changed = (HEAD[0], HEAD[1], HEAD[2].format(where))
    Copy(root, [changed, *edits], {"duties.yml": records} if records else None)
    made = assess_case(root, root / CASE, on).dossier
    assert made is not None
    return made.duties


def line(found: Duties, kind: str) -> DutyLine:
    (one,) = [line for line in found.lines if line.kind == kind]
    return one


def outcome(word: str, harmed: str = "patient", more: str = "") -> list[Edit]:
    return [
        ("case.yml", "severity: minor", f"severity: minor\noutcome_class: {word}{more}"),
        ("case.yml", "harmed: patient", f"harmed:  {harmed}"),
    ]


FACILITY, ANNUAL, WORK = "us-user-facility-report", "us-user-facility-annual-report", "us-work-injury-report"
EU = "eu-manufacturer-vigilance"


def test_a_jurisdiction_nobody_wrote_clocks_for_has_no_duties(tmp_path: Path) -> None:
    found = duties(tmp_path, "invented")
    assert (found.lines, found.kept, found.codes, found.sets, found.problems) == ((), None, (), (), ())


@pytest.mark.parametrize("where", ["United States", "united states"])
def test_a_patient_in_the_united_states(tmp_path: Path, where: str) -> None:
    found = duties(tmp_path, where, *outcome("serious injury"))
    assert {one.kind for one in found.lines} == {FACILITY, ANNUAL}  # no worker was harmed
    one = line(found, FACILITY)
    assert (one.standing, one.word, one.due) == (Standing.APPLIES, "serious injury", dt.date(2026, 3, 16))
    assert [sending.to for sending in one.sendings] == ["maker"] and one.late == 4
    assert one.notes == ("The maker is taken as known, since the case says nothing else.",)
    assert line(found, ANNUAL).due == dt.date(2027, 1, 1)
    assert found.kept is not None and found.kept.until == dt.date(2028, 3, 2)


def test_a_death_goes_to_both_and_each_is_followed(tmp_path: Path) -> None:
    record = "D-1:\n  duty: us-user-facility-report\n  decision: report\n  report: yes\n  reasons: A death.\n"
    record += (
        "  by: risk-manager\n  at: 2026-03-03 09:00 -06:00\n  sent_at: 2026-03-04 09:00 -06:00\n  sent_to: [agency]\n"
    )
    one = line(
        duties(tmp_path, "United States", *outcome("death", more="\nmaker_known: yes"), records=record), FACILITY
    )
    assert [(sending.to, sending.sent_at is not None, sending.late) for sending in one.sendings] == [
        ("agency", True, 0),
        ("maker", False, 4),
    ]
    said = state_words(one)
    assert "was due by 2026-03-16 (Mon)" in said and "sent to the maker; sent to the agency at 2026-03-04 09:00" in said


def test_what_nobody_knows_yet_is_counted_with_the_shortest_clock_and_says_so(tmp_path: Path) -> None:
    edits = outcome("not yet known", "staff")
    found = duties(tmp_path, "United States", *edits, on=dt.date(2026, 3, 2))
    one = line(found, WORK)
    assert one.standing is Standing.MAY_APPLY and one.within == "8 hours"
    assert one.due_at == dt.datetime.fromisoformat("2026-03-02T18:42-06:00") and one.left == 0 and one.near
    assert [(other.word, other.within) for other in one.alternatives][:2] == [
        ("death", "8 hours"),
        ("in-patient admission", "24 hours"),
    ]
    assert state_words(one).startswith("If it is owed, it is due to the labour safety authority by 2026-03-02 18:42")
    assert found.open[0].kind == WORK  # the next due stands first


def test_a_malfunction_asks_for_no_report(tmp_path: Path) -> None:
    found = duties(tmp_path, "United States", *outcome("malfunction"))
    one = line(found, FACILITY)
    assert one.standing is Standing.NOT_ASKED and one.unsent == () and one.late == 0 and one.sendings == ()
    assert state_words(one) == "No report is asked for (malfunction)" and found.open == ()


def test_a_visitor_may_be_meant_and_the_page_says_who_decides(tmp_path: Path) -> None:
    one = line(duties(tmp_path, "United States", *outcome("death", "visitor"), on=dt.date(2026, 3, 10)), FACILITY)
    assert (one.standing, one.word, one.alternatives) == (Standing.MAY_APPLY, "death", ())
    assert state_words(one).startswith("If it is owed, it is due to the agency and the maker by 2026-03-16")
    assert "Whether the harm of a visitor is meant is for whoever is licensed to say." in one.notes


def test_without_a_beginning_nothing_is_counted(tmp_path: Path) -> None:
    edits = [*outcome("death"), ("case.yml", "  aware_at: 2026-03-02 10:42 -06:00\n", "")]
    one = line(duties(tmp_path, "United States", *edits), FACILITY)
    assert (one.start, one.due, one.left, one.late, one.counted) == (None, None, None, 0, ())
    assert state_words(one).startswith(
        "When it is due cannot be counted: the case does not say when staff became aware"
    )


EU_RECORD = """\
D-1:
  duty: eu-manufacturer-vigilance
  decision: the manufacturer was informed
  reasons: The duty is the manufacturer's.
  by: risk-manager
  at: 2026-11-25 12:00 +01:00
  class: {}
  manufacturer_informed_at: 2026-11-25 09:00 +01:00
"""


@pytest.mark.parametrize(
    ("word", "due"),
    [
        ("serious incident", "2026-12-10 (Thu)"),
        ("death or unanticipated serious deterioration", "2026-12-05 (Sat)"),
        ("serious public health threat", "2026-11-27 (Fri)"),
    ],
)
def test_the_manufacturers_clock_runs_from_when_it_was_informed(tmp_path: Path, word: str, due: str) -> None:
    """Regulation (EU) 2017/745, article 87 (confirmed): fifteen, ten and two days; a Saturday is not moved."""
    found = duties(tmp_path, "Germany", records=EU_RECORD.format(word), on=dt.date(2026, 11, 26))
    one = line(found, EU)
    assert one.due is not None and show_date(one.due) == due and not one.ours
    assert [day.number for day in one.counted] == [*range(1, len(one.counted) + 1)]
    moved = "The last day is a Saturday; it is not moved here."
    assert (moved in one.notes) == due.endswith("(Sat)")


def test_a_class_that_does_not_exist_chooses_nothing(tmp_path: Path) -> None:
    one = line(duties(tmp_path, "Germany", records=EU_RECORD.format("grave"), on=dt.date(2026, 11, 26)), EU)
    assert one.standing is Standing.MAY_APPLY and one.word == ""
    assert {other.word: other.due for other in one.alternatives} == {
        "serious incident": dt.date(2026, 12, 10),
        "death or unanticipated serious deterioration": dt.date(2026, 12, 5),
        "serious public health threat": dt.date(2026, 11, 27),
    }


def test_codes_are_suggested_from_records_and_only_where_the_number_was_read(tmp_path: Path) -> None:
    found = duties(tmp_path, "United States", *outcome("serious injury"))
    codes = {one.code: one.refs for one in found.codes}
    assert codes["B01"] and codes["B13"] and "B17" not in codes
    assert all(one.refs and one.term and one.why for one in found.codes)
    assert not {"D14", "D15", "D16"} & set(codes)


def test_what_was_measured_of_another_thing_alone_calls_for_no_code(tmp_path: Path) -> None:
    """B01 is of the device that was in use; a sheet of the unused set for comparison is none of it."""
    every = {f"S-{name}" for name in ("earth", "touch", "flow", "flow-again")}
    (whole,) = [one for one in duties(tmp_path / "a", "United States").codes if one.code == "B01"]
    assert set(whole.refs) == every
    swap: Edit = (
        "sheets.yml",
        "  item: I-1\n  accessories: [I-2, I-3]\n  instrument: M-3",
        "  item: I-4\n  instrument: M-3",
    )
    (less,) = [one for one in duties(tmp_path / "b", "United States", swap).codes if one.code == "B01"]
    assert set(less.refs) == every - {"S-flow-again"}


@pytest.mark.parametrize(
    ("on", "calendar", "days"),
    [
        # Due on Monday 16 March 2026; the 16th itself counts, Saturday and Sunday do not.
        ("2026-03-12", WorkCalendar.WEEKENDS, 2),
        ("2026-03-13", WorkCalendar.WEEKENDS, 1),
        ("2026-03-15", WorkCalendar.WEEKENDS, 1),
        ("2026-03-16", WorkCalendar.WEEKENDS, 0),
        ("2026-03-17", WorkCalendar.WEEKENDS, -1),
        ("2026-03-23", WorkCalendar.WEEKENDS, -7),
        ("2026-03-12", None, 4),
        ("2026-03-09", WorkCalendar.WEEKENDS, 4),
    ],
)
def test_how_many_days_are_left_is_counted_by_hand(on: str, calendar: WorkCalendar | None, days: int) -> None:
    closed = {dt.date(2026, 3, 10): "a day of the house"}
    assert left(dt.date(2026, 3, 16), dt.date.fromisoformat(on), calendar, closed) == days


def test_a_log_a_history_and_a_thing_that_is_gone_call_for_their_codes(tmp_path: Path) -> None:
    """B11, B24 and one of B17, B18 and B20 of the list, each only where a record calls for it."""
    log: Edit = ("evidence.yml", "E-4:\n", "E-9:\n  kind: log\n  file: evidence/log.csv\n  shows: The log.\n"
                 f"  sha256: {'0' * 64}\nE-4:\n")  # fmt: skip
    whole = {one.code: one.refs for one in duties(tmp_path / "a", "United States").codes}
    more = {one.code: one.refs for one in duties(tmp_path / "b", "United States", log).codes}
    assert "B24" not in whole and more["B24"] == ("E-9",) and whole["B11"]
    used = "  role: main device\n  in_use_at_event: yes\n  impounded: "
    gone: Edit = ("items.yml", f"{used}yes", f"{used}no\n  why_not_impounded: lost")
    lost = {one.code: one.refs for one in duties(tmp_path / "c", "United States", gone).codes}
    three = {"B17", "B18", "B20"}
    assert {lost[code] for code in three} == {("I-1",)} and not three & whole.keys()
    other = (gone[0], gone[1], gone[2].replace("in_use_at_event: yes", "in_use_at_event: no"))
    assert not three & {one.code for one in duties(tmp_path / "d", "United States", other).codes}


def test_a_year_whose_holidays_nobody_knows_is_said(tmp_path: Path) -> None:
    """The library's table ends; a count beyond it passes over weekends alone, and does not pretend otherwise."""
    edits = [
        *outcome("death"),
        ("case.yml", "  aware_at: 2026-03-02 10:42 -06:00\n", "  aware_at: 2198-12-20 10:00 Z\n"),
    ]
    one = line(duties(tmp_path, "United States", *edits), FACILITY)
    assert one.due is not None and any("only weekends were passed over in it" in note for note in one.notes)
    near = line(duties(tmp_path / "b", "United States", *outcome("death")), FACILITY)
    assert not any("only weekends" in note for note in near.notes)


def test_the_same_case_gives_the_same_duties(tmp_path: Path) -> None:
    edits = outcome("death")
    assert duties(tmp_path / "a", "United States", *edits) == duties(tmp_path / "b", "United States", *edits)


OWN = """\
reporting: house
title: A set of the house
document: An invented order
edition: "2026"
jurisdictions: [invented]
calendar: weekends only
duties:
  house-report:
    title: A report of the house
    owed_by: the house
    decided_by: outcome_class in case.yml
    start: staff became aware
    status: common practice, no source
    clocks:
      death: {{within: {{count: {0[0]}, counted_in: {0[1]}}}, to: [agency]}}
      serious injury: {{within: {{count: {1[0]}, counted_in: {1[1]}}}, to: [agency]}}
"""


@pytest.mark.parametrize(
    ("aware", "first", "second", "due"),
    [
        # Monday 2 March 2026: ten work days end on Monday the 16th, twelve days on Saturday the 14th.
        ("2026-03-02 10:42", (10, "work days"), (12, "calendar days"), "2026-03-14"),
        ("2026-03-02 10:42", (12, "calendar days"), (10, "work days"), "2026-03-14"),
        ("2026-03-02 10:42", (10, "work days"), (15, "calendar days"), "2026-03-16"),
        # Friday 6 March: one work day is Monday the 9th, two days are Sunday the 8th, 49 hours too, and 73 Monday's.
        ("2026-03-06 10:42", (1, "work days"), (2, "calendar days"), "2026-03-08"),
        ("2026-03-06 10:42", (1, "work days"), (49, "hours"), "2026-03-08"),
        ("2026-03-06 10:42", (2, "work days"), (73, "hours"), "2026-03-09"),
        # A day runs out at midnight: 30 hours end on Saturday the 7th at 16:42, before that day does.
        ("2026-03-06 10:42", (1, "calendar days"), (30, "hours"), "2026-03-07T16:42:00-06:00"),
        ("2026-03-06 10:42", (1, "calendar days"), (38, "hours"), "2026-03-07"),
        # The next 1 January is never a year off in March, and ten days off in December.
        ("2026-03-02 10:42", (1, "to the next 1 January"), (300, "calendar days"), "2026-12-27"),
        ("2025-12-22 10:42", (1, "to the next 1 January"), (15, "calendar days"), "2026-01-01"),
    ],
)
def test_of_clocks_counted_otherwise_the_one_that_ends_first_is_taken(
    tmp_path: Path, aware: str, first: tuple[int, str], second: tuple[int, str], due: str
) -> None:
    """Days are those of the calendar, looked up by hand."""
    Copy(
        tmp_path,
        [
            ("case.yml", "  aware_at: 2026-03-02 10:42 -06:00", f"  aware_at: {aware} -06:00"),
            ("case.yml", "jurisdiction: [none, invented]", "jurisdiction: [invented]"),
        ],
        {".asfound/reporting/house.yml": OWN.format(first, second)},
    )
    made = assess_case(tmp_path, tmp_path / CASE, ON).dossier
    assert made is not None
    one = line(made.duties, "house-report")
    ends = one.due_at.isoformat() if one.due_at is not None and "T" in due else str(one.due)
    assert (one.standing, ends) == (Standing.MAY_APPLY, due)


@pytest.mark.parametrize(
    ("sent", "late"),
    [
        # Eight hours from 03:30 end at 11:30 -06:00, which is 17:30 by the clock of Greenwich.
        ("2026-03-02 11:30 -06:00", 0),
        ("2026-03-02 11:31 -06:00", 1),
        ("2026-03-02 23:59 -06:00", 1),
        ("2026-03-02 17:30 +00:00", 0),
        ("2026-03-02 17:31 +00:00", 1),
        ("2026-03-03 02:29 +09:00", 0),
        ("2026-03-03 08:00 -06:00", 1),
        ("2026-03-04 08:00 -06:00", 2),
        (None, 2),
    ],
)
def test_a_report_that_is_owed_in_hours_is_late_by_the_hour(sent: str | None, late: int) -> None:
    """29 CFR 1904.39(a)(1), from memory: within eight hours. Within the day and past the hour counts as a day late."""
    due_at = dt.datetime.fromisoformat("2026-03-02 11:30:00-06:00")
    at = None if sent is None else dt.datetime.strptime(sent, "%Y-%m-%d %H:%M %z")
    day = dt.date(2026, 3, 4) if at is None else at.date()
    assert _late(_Term(due_at.date(), due_at), at, day) == late
