"""Rules about reporting duties and about others at risk.

The base case's event is of 2 March 2026, of which staff became aware that day: ten work days end on Monday 16 March.
"""

from __future__ import annotations

import datetime as dt

import pytest

from asfound.problems import Level
from asfound.rules import discover
from tests.rules.support import Edit, assert_fires, assert_silent, run_with

US: Edit = ("case.yml", "jurisdiction: [none, invented]", "jurisdiction: [United States]")
EU: Edit = ("case.yml", "jurisdiction: [none, invented]", "jurisdiction: [European Union]")
INJURY: Edit = ("case.yml", "severity: minor", "severity: serious\noutcome_class: serious injury")
DEATH: Edit = ("case.yml", "severity: minor", "severity: catastrophic\noutcome_class: death")
RECORD = """\
D-1:
  duty: us-user-facility-report
  decision: report to the maker
  report: yes
  reasons: Treatment was charted, and the pump was in use.
  by: risk-manager
  at: 2026-03-03 09:00 -06:00
  device_available: yes, held by the examiner
  device_returned: not returned
"""
SENT = RECORD + "  sent_at: 2026-03-16 16:00 -05:00\n  sent_to: [maker]\n"
DUE_DAY = dt.date(2026, 3, 16)


def duties(text: str) -> dict[str, str | bytes]:
    return {"duties.yml": text}


# --- decisions


def test_nobody_wrote_down_what_was_decided() -> None:
    assert_fires(
        "duty-undecided", [US, INJURY], at=("case.yml", "  aware_at:"), level=Level.WARN, on=dt.date(2026, 3, 12),
        says='the duty "us-user-facility-report" applies (serious injury), and no record in duties.yml says what was '
        "decided; the decision and its reasons are needed.",
    )  # fmt: skip


def test_a_malfunction_is_decided_too() -> None:
    edits = [US, ("case.yml", "severity: minor", "severity: minor\noutcome_class: malfunction")]
    assert_fires("duty-undecided", edits, at=("case.yml", "  aware_at:"), level=Level.WARN, says="asks for no report")


def test_a_decision_not_to_report_is_a_decision() -> None:
    text = RECORD.replace("report: yes", "report: no")
    for rule in ("duty-report-overdue", "duty-report-near", "duty-recipient-missing", "duty-report-part-missing"):
        assert not [one for one in run_with([US, INJURY], duties(text), on=dt.date(2026, 6, 1)) if one.rule == rule]
    assert_silent("duty-undecided", [US, INJURY], duties(text))


# --- late, and nearly


def test_a_report_nobody_sent_is_overdue_the_day_after() -> None:
    assert_fires(
        "duty-report-overdue", [US, INJURY], at=("duties.yml", "D-1:"), level=Level.WARN, extra=duties(RECORD),
        on=dt.date(2026, 3, 17),
        says="nothing says that the report to the maker was sent, on Tuesday 2026-03-17; that is 1 day after it was "
        'due; "us-user-facility-report" was due by Monday 2026-03-16 (10 work days from 2026-03-02).',
    )  # fmt: skip


def test_a_report_sent_late_stays_late() -> None:
    text = SENT.replace("2026-03-16 16:00", "2026-03-19 16:00")
    assert_fires(
        "duty-report-overdue", [US, INJURY], at=("duties.yml", "sent_at:"), level=Level.WARN, extra=duties(text),
        says="the report to the maker was sent on Thursday 2026-03-19; that is 3 days after it was due",
    )  # fmt: skip


def test_a_report_sent_on_the_due_day_is_in_time() -> None:
    assert_silent("duty-report-overdue", [US, INJURY], duties(SENT))
    assert_silent("duty-report-overdue", [US, INJURY], duties(RECORD), on=DUE_DAY)


def test_an_unknown_outcome_is_counted_with_the_shortest_clock() -> None:
    edits = [US, ("case.yml", "severity: minor", "severity: minor\noutcome_class: not yet known")]
    assert_fires(
        "duty-report-overdue",
        edits,
        at=("duties.yml", "D-1:"),
        level=Level.WARN,
        extra=duties(RECORD),
        says="2026-03-16",
    )


def test_a_closing_by_order_is_counted_where_the_organisation_names_it() -> None:
    closing = "reporting: closings\ntitle: Closings by order\ndocument: an order of the day\nedition: '2026'\n"
    closing += "calendar: US federal\nclosings:\n  - {day: 2026-03-10, why: closed by order}\n"
    extra: dict[str, str | bytes] = {**duties(RECORD), ".asfound/reporting/closings.yml": closing}
    assert_silent("duty-report-overdue", [US, INJURY], extra, on=dt.date(2026, 3, 17))
    on = dt.date(2026, 3, 18)
    assert_fires(
        "duty-report-overdue", [US, INJURY], at=("duties.yml", "D-1:"), level=Level.WARN, extra=extra, on=on,
        says="was due by Tuesday 2026-03-17",
    )  # fmt: skip


def test_hours_of_a_worker_in_hospital() -> None:
    edits: list[Edit] = [
        US,
        ("case.yml", "harmed: patient", "harmed: staff\nstaff_harm: [in-patient admission]\noutcome_class: none"),
    ]
    text = RECORD.replace("us-user-facility-report", "us-work-injury-report")
    late = text + "  sent_at: 2026-03-03 10:43 -06:00\n"
    assert_fires(
        "duty-report-overdue", edits, at=("duties.yml", "sent_at:"), level=Level.WARN, extra=duties(late),
        says='"us-work-injury-report" was due by Tuesday 2026-03-03, 10:42 (24 hours from 2026-03-02)',
    )  # fmt: skip
    assert_silent("duty-report-overdue", edits, duties(late.replace("10:43", "10:42")))


def test_the_cause_is_not_waited_for() -> None:
    assert_fires(
        "duty-report-near", [US, INJURY], at=("duties.yml", "D-1: >   duty:"), level=Level.WARN, extra=duties(RECORD),
        delete=["conclusion.yml"], on=dt.date(2026, 3, 12),
        says='"us-user-facility-report" is due by Monday 2026-03-16, 2 work days are left, and nothing was sent to the '
        "maker; what is reasonably known is to be sent; that the cause is open is no reason to wait.",
    )  # fmt: skip


def test_the_last_day_is_named() -> None:
    assert_fires(
        "duty-report-near", [US, INJURY], at=("duties.yml", "D-1: >   duty:"), level=Level.WARN, extra=duties(RECORD),
        on=DUE_DAY, says="today is the last day",
    )  # fmt: skip


def test_four_work_days_before_nobody_is_reminded() -> None:
    """Tuesday 10 March: four work days are left; the weekend does not count."""
    assert_silent("duty-report-near", [US, INJURY], duties(RECORD), on=dt.date(2026, 3, 10))
    assert_silent("duty-report-near", [US, INJURY], duties(SENT))


# --- to whom


def test_a_death_told_to_the_maker_alone() -> None:
    assert_fires(
        "duty-recipient-missing", [US, DEATH], at=("duties.yml", "sent_to:"), level=Level.WARN, extra=duties(SENT),
        says="the report went to the maker, and not to the agency; ",
    )  # fmt: skip


def test_a_record_that_does_not_say_to_whom() -> None:
    text = SENT.replace("  sent_to: [maker]\n", "  to: all who must know\n")
    assert_fires(
        "duty-recipient-missing", [US, DEATH], at=("duties.yml", "sent_at:"), level=Level.WARN, extra=duties(text),
        says="D-1 was sent, and sent_to does not say to whom",
    )  # fmt: skip


def test_both_or_the_one_that_is_known() -> None:
    unknown: Edit = (DEATH[0], DEATH[1], DEATH[2] + "\nmaker_known: no")
    assert_silent("duty-recipient-missing", [US, DEATH], duties(SENT.replace("[maker]", "[maker, agency]")))
    assert_silent("duty-recipient-missing", [US, unknown], duties(SENT.replace("[maker]", "[agency]")))
    assert_silent("duty-recipient-missing", [US, INJURY], duties(SENT))


def test_a_serious_injury_by_an_unknown_maker_goes_to_the_agency() -> None:
    unknown: Edit = (INJURY[0], INJURY[1], INJURY[2] + "\nmaker_known: no")
    found = [one for one in run_with([US, unknown], duties(RECORD)) if one.rule == "duty-report-overdue"]
    assert len(found) == 1 and "the report to the agency" in found[0].found


# --- the file, the parts, the ground


def test_a_file_thrown_away_a_day_too_early() -> None:
    assert_fires(
        "duty-file-kept-too-short", [US, INJURY], at=("duties.yml", "keep_until:"), level=Level.WARN,
        extra=duties(SENT + "  keep_until: 2028-03-01\n"),
        says="the file is to be kept until 2028-03-01; until 2028-03-02 is needed: 2 years from the event",
    )  # fmt: skip


def test_a_file_kept_two_years_from_the_event() -> None:
    assert_silent("duty-file-kept-too-short", [US, INJURY], duties(SENT + "  keep_until: 2028-03-02\n"))


def test_a_report_says_where_the_device_is() -> None:
    text = SENT.replace("  device_returned: not returned\n", "")
    assert_fires(
        "duty-report-part-missing", [US, INJURY], at=("duties.yml", "D-1: >   duty:"), level=Level.WARN,
        extra=duties(text), says="of the parts of the report of D-1, device_returned was not found",
    )  # fmt: skip


def test_a_reason_is_a_part_of_a_report() -> None:
    text = SENT.replace("not returned", "{not_known: the store is closed today}")
    assert_silent("duty-report-part-missing", [US, INJURY], duties(text))


@pytest.mark.parametrize(
    ("edits", "line", "says"),
    [
        ([("case.yml", "jurisdiction: [none, invented]\n", "")], "harmed:", "no jurisdiction is stated"),
        ([US], "harmed:", "the class of the outcome is not stated"),
        (
            [US, INJURY, ("case.yml", "  aware_at: 2026-03-02 10:42 -06:00\n", "")],
            "event:",
            "nothing says when staff became aware",
        ),
        (
            [US, ("case.yml", "harmed: patient", "harmed: staff\noutcome_class: none")],
            "harmed:",
            "a worker was harmed, and in which way is not stated",
        ),
    ],
)
def test_what_a_clock_is_counted_from_is_asked_for(edits: list[Edit], line: str, says: str) -> None:
    assert_fires("duty-ground-missing", edits, at=("case.yml", line), level=Level.WARN, says=says)


def test_not_yet_known_is_an_answer() -> None:
    edits = [US, ("case.yml", "severity: minor", "severity: minor\noutcome_class: not yet known")]
    assert_silent("duty-ground-missing", edits)


def test_a_date_counted_by_hand_past_the_computed_one() -> None:
    assert_fires(
        "stated-due-date-later", [US, INJURY], at=("duties.yml", "  due:"), level=Level.WARN,
        extra=duties(SENT + "  due: 2026-03-17\n"),
        says="D-1 says due on Tuesday 2026-03-17; Monday 2026-03-16 follows from 10 work days from 2026-03-02",
    )  # fmt: skip


def test_the_computed_date_or_an_earlier_one() -> None:
    for date in ("2026-03-16", "2026-03-09"):
        assert_silent("stated-due-date-later", [US, INJURY], duties(SENT + f"  due: {date}\n"))


# --- the manufacturer's clock

TOLD = """\
D-1:
  duty: eu-manufacturer-vigilance
  decision: the manufacturer was informed
  reasons: The duty is the manufacturer's.
  by: risk-manager
  at: 2026-03-03 09:00 -06:00
"""
CLASS = "  class: death or unanticipated serious deterioration\n"
INFORMED = "  manufacturer_informed_at: 2026-03-03 08:30 -06:00\n"


def test_nobody_told_the_manufacturer() -> None:
    assert_fires("manufacturer-clock-not-set", [EU], at=("case.yml", "jurisdiction:"), level=Level.WARN)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (TOLD + INFORMED, "does not say the class of the time limit"),
        (TOLD + CLASS, "does not say when the manufacturer was informed"),
    ],
)
def test_half_a_clock_of_the_manufacturer(text: str, says: str) -> None:
    at = ("duties.yml", "D-1: >   duty:")
    assert_fires("manufacturer-clock-not-set", [EU], at=at, level=Level.WARN, says=says, extra=duties(text))


def test_a_manufacturers_clock_that_is_set_and_never_the_facilitys_lateness() -> None:
    extra = duties(TOLD + CLASS + INFORMED)
    assert_silent("manufacturer-clock-not-set", [EU], extra)
    assert_silent("duty-report-overdue", [EU], extra, on=dt.date(2026, 4, 30))


# --- codes

CONTRADICT = SENT + "  codes:\n    B17: Device not returned\n    D14: No problem detected\n"


def test_a_device_that_never_came_back_is_not_cleared() -> None:
    problem = assert_fires(
        "event-codes-contradict", [US, INJURY], at=("duties.yml", "    D14:"), extra=duties(CONTRADICT),
        says="D-1 holds B17 (Device not returned) and D14 (No problem detected)",
    )  # fmt: skip
    assert problem.subject == "D-1"


def test_the_term_is_read_too_since_a_release_may_number_it_otherwise() -> None:
    text = CONTRADICT.replace("B17: Device not returned", "b18: Device discarded").replace("D14:", "D19:")
    assert_fires("event-codes-contradict", [US, INJURY], at=("duties.yml", "    D19:"), extra=duties(text))


def test_codes_that_can_be_true_together() -> None:
    tested = CONTRADICT.replace("B17: Device not returned", "B01: Testing of the device")
    assert_silent("event-codes-contradict", [US, INJURY], duties(tested))
    unknown = CONTRADICT.replace("D14: No problem detected", "D15: Cause not established")
    assert_silent("event-codes-contradict", [US, INJURY], duties(unknown))


@pytest.mark.parametrize("code", ["D1", "H02", "B0102", "D010101", "A07010101"])
def test_a_code_with_a_slip(code: str) -> None:
    extra = duties(SENT + f"  codes:\n    {code}: Some term\n")
    assert_fires("event-code-malformed", [US, INJURY], at=("duties.yml", f"    {code}:"), level=Level.WARN, extra=extra)


def test_codes_of_every_depth() -> None:
    extra = duties(SENT + "  codes:\n    B01: a\n    D1001: b\n    A070101: c\n    E2006: d\n    G04: e\n")
    assert_silent("event-code-malformed", [US, INJURY], extra)


def test_a_duty_nobody_knows_stops_no_clock() -> None:
    extra = duties(SENT.replace("facility-report", "facility-reprot"))
    problem = assert_fires(
        "duty-unknown", [US, INJURY], at=("duties.yml", "  duty:"), level=Level.WARN, extra=extra,
        says='D-1 names the duty "us-user-facility-reprot", which no set of duties holds',
    )  # fmt: skip
    assert problem.mend.startswith('Perhaps "us-user-facility-report" was meant.')
    assert [one for one in run_with([US, INJURY], extra) if one.rule == "duty-report-overdue"]


def test_a_duty_of_the_organisations_own() -> None:
    own = "reporting: ours\ntitle: Ours\ndocument: our policy\nedition: '3'\njurisdictions: [United States]\nduties:\n"
    own += "  notice-to-insurer:\n    title: Notice\n    owed_by: us\n    decided_by: outcome_class in case.yml\n"
    own += "    start: the event\n    status: confirmed\n"
    own += "    clocks: {serious injury: {within: {count: 30, counted_in: calendar days}, to: [maker]}}\n"
    text = SENT + RECORD.replace("D-1", "D-2").replace("us-user-facility-report", "notice-to-insurer")
    extra: dict[str, str | bytes] = {**duties(text), ".asfound/reporting/ours.yml": own}
    assert_silent("duty-unknown", [US, INJURY], extra)
    late = [one for one in run_with([US, INJURY], extra, on=dt.date(2026, 4, 2)) if one.rule == "duty-report-overdue"]
    assert [(one.subject, "Wednesday 2026-04-01" in one.needed) for one in late] == [("D-2", True)]


def test_a_set_of_the_organisations_with_the_name_of_ours_is_refused_at_its_line() -> None:
    own = "reporting: us-user-facility\ntitle: Ours\ndocument: our policy\nedition: '3'\n"
    extra: dict[str, str | bytes] = {".asfound/reporting/ours.yml": own}
    found = [one for one in run_with([US, INJURY], extra) if one.rule == "reporting-set-twice"]
    assert [(str(one.span), one.level) for one in found] == [(".asfound/reporting/ours.yml:1:12", Level.REJECT)]


# --- others at risk

RISK: Edit = ("case.yml", "others_at_risk: no\n", "others_at_risk: not known\n")
NO_WHY: Edit = (
    "case.yml",
    "others_at_risk_why: The other pumps of the ward were measured by the hospital and are within its own limits.\n",
    "",
)
WARNED = """\
N-9:
  to: the wards
  what: Do not use these pumps until they were measured.
  sent_at: 2026-03-04 11:00 -06:00
  urgent: yes
  hold: {models: [as labelled], sister_units: [the two pumps of the next bay]}
"""


def notices(more: str) -> Edit:
    last = "  answer: declines to attend\n  answered_at: 2026-03-04 15:00 -06:00\n"
    return ("notices.yml", last, last + more)


@pytest.mark.parametrize("said", ["yes", "not known"])
def test_others_at_risk_and_nobody_was_told(said: str) -> None:
    edits = [(RISK[0], RISK[1], f"others_at_risk: {said}\n"), NO_WHY]
    assert_fires("others-at-risk-unanswered", edits, at=("case.yml", "others_at_risk:"), level=Level.WARN)


def test_in_the_first_hour_it_is_still_needed() -> None:
    edits = [RISK, NO_WHY, ("case.yml", "stage: in review", "stage: open")]
    assert_fires("others-at-risk-unanswered", edits, at=("case.yml", "others_at_risk:"), level=Level.NEEDED)


def test_a_warning_that_went_out_or_a_reason() -> None:
    assert_silent("others-at-risk-unanswered", [RISK, NO_WHY, notices(WARNED)])
    assert_silent("others-at-risk-unanswered", [RISK])


HOLD = "  hold: {models: [as labelled], sister_units: [the two pumps of the next bay]}\n"


@pytest.mark.parametrize("hold", ["", "  hold: {until: it is understood}\n"])
def test_a_warning_of_nothing_in_particular(hold: str) -> None:
    edits = [notices(WARNED.replace(HOLD, hold))]
    at = ("notices.yml", "  urgent: yes")
    assert_fires("urgent-notice-unspecific", edits, at=at, level=Level.WARN, says="N-9 is urgent")


@pytest.mark.parametrize("what", ["lots: [7K2]", "models: [as labelled]", "items: [I-1]", "sister_units: [two pumps]"])
def test_a_warning_of_one_thing(what: str) -> None:
    assert_silent("urgent-notice-unspecific", [notices(WARNED.replace(HOLD, f"  hold: {{{what}}}\n"))])


# --- what keeps them apart


def test_what_concerns_the_facilitys_own_duties_is_private_and_refuses_nothing() -> None:
    entries = {rule.entry.name: rule.entry for rule in discover()}
    mine = {name for name in entries if entries[name].private}
    assert {name for name in mine if entries[name].level is Level.REJECT} == set()
    assert {"duty-report-overdue", "duty-report-near", "duty-undecided", "duty-recipient-missing"} <= mine
    assert "event-codes-contradict" not in mine and "others-at-risk-unanswered" not in mine
