"""The edges of rules about things, instruments and duties: the one more or one less at which each speaks or is silent.

Where a number or an hour decides, it is worked by hand beside the check (common practice, no source).
"""

from __future__ import annotations

import datetime as dt

import pytest

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent
from tests.rules.test_duties import DUE_DAY, INJURY, RECORD, SENT, US, duties
from tests.rules.test_identity import ALL, ended

REGISTER = ".asfound/instruments.yml"
THREE = "rests_on: [R-flow-4, R-flow-5, R-flow-6]"
TWO = ("readings/flow.csv", "6,100,112.0,2026-03-05 16:10 -06:00\n", "")


# --- how often a reading was repeated


def test_two_readings_are_fewer_than_three() -> None:
    assert_fires(
        "few-repeats", [TWO, ("findings.yml", THREE, "rests_on: [R-flow-4, R-flow-5]"),
                        ("findings.yml", "[=R-flow-4], [=R-flow-5] and [=R-flow-6]", "[=R-flow-4] and [=R-flow-5]")],
        delete=["readings/flow-again.csv"], at=("readings/flow.csv", "4,100"), level=Level.WARN,
        says="rests on R-flow-4 and R-flow-5, read fewer than 3 times",
    )  # fmt: skip
    assert_silent("few-repeats", delete=["readings/flow-again.csv"])


def test_a_row_that_says_what_it_repeats_is_a_repeat_whatever_its_conditions_say() -> None:
    head = ("readings/flow.csv", "row,setting [mL/h],value [mL/h],at", "row,setting [mL/h],value [mL/h],at,repeat_of")
    fifty = [
        ("readings/flow.csv", f"{number},50,{rest}", f"{number},50,{rest},")
        for number, rest in enumerate(
            ("50.4,2026-03-05 14:40 -06:00", "50.6,2026-03-05 14:55 -06:00", "50.5,2026-03-05 15:10 -06:00"), 1
        )
    ]
    rows = [
        ("readings/flow.csv", f"{number},100,{rest}", f"{number},{setting},{rest},{repeats}")
        for number, setting, rest, repeats in (
            (4, "100", "111.9,2026-03-05 15:30 -06:00", ""),
            (5, "100.5", "112.3,2026-03-05 15:50 -06:00", "R-flow-4"),
            (6, "99.5", "112.0,2026-03-05 16:10 -06:00", "R-flow-4"),
        )
    ]
    assert_silent("few-repeats", [head, *fifty, *rows], delete=["readings/flow-again.csv"])
    apart = [head, *fifty, *rows[:2], (rows[2][0], rows[2][1], rows[2][2].replace("R-flow-4", ""))]
    assert_fires(
        "few-repeats", apart, delete=["readings/flow-again.csv"], at=("readings/flow.csv", "4,100"), level=Level.WARN,
        says="read fewer than 3 times",
    )  # fmt: skip


def test_two_repeats_that_scatter_are_told_too() -> None:
    """(118.0 - 111.9) / 2 = 3.05 mL/h, far more than the 1.4 mL/h of the instrument."""
    later = ("readings/flow.csv", "5,100,112.3,2026-03-05 15:50 -06:00\n6,100,112.0,2026-03-05 16:10 -06:00\n",
             "5,100,118.0,2026-03-05 15:50 -06:00\n")  # fmt: skip
    cites = ("findings.yml", THREE, "rests_on: [R-flow-4, R-flow-5]")
    text = ("findings.yml", "[=R-flow-4], [=R-flow-5] and [=R-flow-6]", "[=R-flow-4] and [=R-flow-5]")
    assert_fires(
        "few-repeats", [later, cites, text], at=("readings/flow.csv", "4,100"), level=Level.WARN,
        says="2 repeats of R-flow-4 spread by 3.05 mL/h to either side",
    )  # fmt: skip


def test_a_check_of_the_bench_is_known_by_half_of_its_words() -> None:
    """`leads nulled` has two words: one of them is half, none of them is nothing."""
    assert_silent("bench-unchecked", [("sheets.yml", "what: leads nulled", "what: leads looked at")])
    assert_fires(
        "bench-unchecked", [("sheets.yml", "what: leads nulled", "what: cables looked at")],
        at=("sheets.yml", "S-earth: > checks"), level=Level.WARN, says="leads nulled",
    )  # fmt: skip


# --- near a limit


def test_a_reading_above_its_limit_is_near_it_as_one_below() -> None:
    """Within a fifth of 100 uA on either side: 120.0 is, 120.1 is not. A failure without doubt is as open as a pass."""
    unknown = ("sheets.yml", "function: touch current", "function: touch")
    over = ("readings/touch.csv", "61.2", "120.0")
    assert_fires("doubt-missing", [unknown, over], at=("readings/touch.csv", "120.0"), says="base-limits/touch")
    assert_silent("doubt-missing", [unknown, ("readings/touch.csv", "61.2", "120.1")])


def test_a_failure_read_in_steps_too_coarse_is_told_as_a_pass_is() -> None:
    """138.8 uA stands 38.8 uA above 100 uA, as 61.2 uA stands below it."""
    over = ("readings/touch.csv", "61.2", "138.8")
    steps = (REGISTER, "resolution: 0.1 uA", "resolution: 3.9 uA")
    assert_fires(
        "resolution-too-coarse", [over, steps], at=("readings/touch.csv", "138.8"), level=Level.WARN,
        says="in steps of 3.9 uA and stands 38.8 uA from the limit base-limits/touch",
    )  # fmt: skip
    assert_silent("resolution-too-coarse", [over, (REGISTER, "resolution: 0.1 uA", "resolution: 3.8 uA")])


# --- custody and what becomes of things


def test_a_line_from_the_store_that_nobody_signed_lacks_both_signatures() -> None:
    line = "locked store,bench,examination,2002,,as before,risk-manager,examiner,,"
    edit = ("custody.csv", line, "locked store,bench,examination,2002,,as before,,,,")
    found = assert_fires("custody-line-unsigned", [edit], at=("custody.csv", "5,I-4"), says="whoever received it")
    assert "the signature of whoever let it go" in found.found
    # One signature of two is enough where the other end is a store.
    one = ("custody.csv", line, "locked store,bench,examination,2002,,as before,,examiner,,")
    assert_silent("custody-line-unsigned", [one])


def test_a_line_without_the_place_it_came_from_says_so() -> None:
    edit = ("custody.csv", ",,risk-manager,stock room,risk office,comparison", ",,risk-manager,,risk office,comparison")
    found = assert_fires("custody-line-unsigned", [edit], at=("custody.csv", "1,I-4"))
    assert found.found == "the line lacks the place it came from"


def test_readings_by_somebody_else_need_the_holder_or_the_examiner() -> None:
    """Whoever has charge of a thing may read it, and so may whoever the examiner let do so while holding it."""
    by = ("sheets.yml", "  by: examiner\n  from: 2026-03-05 13:00", "  by: reviewer\n  from: 2026-03-05 13:00")
    assert_silent("reading-while-elsewhere", [by])


def test_a_finding_by_a_sheet_a_result_or_a_picture_of_the_exemplar_is_refused() -> None:
    swap = ("sheets.yml", "  item: I-1\n  accessories: [I-2, I-3]\n  instrument: M-3", "  item: I-4\n  instrument: M-3")
    for ref in ("S-flow-again", "R-flow-again-1"):
        cites = ("findings.yml", "rests_on: [R-flow-again-1, R-flow-again-2, R-flow-again-3]", f"rests_on: [{ref}]")
        assert_fires("exemplar-as-subject", [swap, cites], at=("findings.yml", f"rests_on: [{ref}]"), says=ref)


@pytest.mark.parametrize(("answered", "fires"), [("10:00", False), ("10:01", True)])
def test_a_release_comes_before_the_thing_goes(answered: str, fires: bool) -> None:
    """It went on the 18th at 10:00 -05:00."""
    more = (
        "N-3:\n  to: the representative of the maker\n  parties: [maker of the pump]\n  what: The release.\n"
        f"  sent_at: 2026-03-17 10:00 -05:00\n  reply: Agreed.\n  answered_at: 2026-03-18 {answered} -05:00\nN-2:"
    )
    edits = [ended("destroyed", ALL.replace("[N-1]", "[N-3]")), ("notices.yml", "N-2:", more)]
    if fires:
        assert_fires(
            "disposition-without-releases", edits, at=("items.yml", "disposition:"),
            says="I-2 was destroyed without the release of the maker of the pump",
        )  # fmt: skip
    else:
        assert_silent("disposition-without-releases", edits)


def test_a_hold_that_ended_before_a_thing_went_holds_it_no_longer() -> None:
    """It went on the 18th at 10:00 -05:00."""
    hold = (
        "held: {{since: 2026-03-05 12:00 -06:00, ended_at: 2026-03-18 {0} -05:00, why: burnt, items: [I-2]}}\nstorage:"
    )
    assert_silent(
        "disposition-without-releases", [ended("returned", ALL), ("case.yml", "storage:", hold.format("09:59"))]
    )
    assert_fires(
        "disposition-without-releases", [ended("returned", ALL), ("case.yml", "storage:", hold.format("10:01"))],
        at=("items.yml", "what: returned"), says="while it was held",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("case", "thing", "when"), [("2026-03-18", "2026-03-19", "2026-03-19"), ("2026-03-19", "2026-03-18", "2026-03-19")]
)
def test_of_two_dates_until_which_a_thing_is_kept_the_later_counts(case: str, thing: str, when: str) -> None:
    """It went on the 18th; each of the two dates alone would allow that or forbid it."""
    edits = [ended("returned", ALL, f"  retain_until: {thing}\n"),
             ("case.yml", "storage:", f"retain_until: {case}\nstorage:")]  # fmt: skip
    assert_fires("disposition-without-releases", edits, at=("items.yml", "at: 2026-03-18"), says=f"until {when}")


# --- what was cleaned, what is named


def test_only_the_step_that_cleaned_it_parts_before_from_after() -> None:
    """Another step, earlier than the picture, altered nothing of what the picture shows."""
    cleaned = ("items.yml", "  biohazard: no\n  cleaned: no", "  biohazard: no\n  cleaned: yes\n  cleaned_why: blood")
    step = "steps:\n  B-1:\n    items: [I-1]\n    what: {0}\n    tier: reversible\n    at: 2026-03-02 09:00 -06:00\n" \
        "    by: examiner\n    why: To see.\n"  # fmt: skip
    last = "  G-13: {gate: rechecked, at: 2026-03-10 10:00 -05:00, by: reviewer}\n"
    assert_silent("cleaned-without-pictures", [cleaned, ("gates.yml", last, last + step.format("the lid was lifted"))])
    assert_fires(
        "cleaned-without-pictures", [cleaned, ("gates.yml", last, last + step.format("it was wiped"))],
        at=("items.yml", "cleaned: yes"),
        level=Level.WARN, says="from before 2026-03-02 09:00",
    )  # fmt: skip


@pytest.mark.parametrize("field", ["saw", "did"])
def test_a_thing_named_in_either_part_of_a_statement_warns(field: str) -> None:
    old = {"saw": "The bag was empty at 10:40.", "did": "I stopped the pump and clamped the set."}[field]
    edit = ("statements.yml", old, f"{old} A warming blanket lay on it.")
    assert_fires(
        "thing-named-not-listed", [edit], at=("statements.yml", f"  {field}:"), level=Level.WARN,
        says="warming blanket",
    )  # fmt: skip


# --- reports to an authority


def test_a_report_that_was_decided_lacks_its_parts_before_it_is_sent() -> None:
    text = RECORD.replace("  device_returned: not returned\n", "")
    assert_fires(
        "duty-report-part-missing", [US, INJURY], at=("duties.yml", "D-1: >   duty:"), level=Level.WARN,
        extra=duties(text), on=DUE_DAY, says="device_returned was not found",
    )  # fmt: skip


def test_a_report_lacks_the_outcome_where_the_case_has_none() -> None:
    gone: Edit = ("case.yml", "outcome: observed for four hours, no treatment charted\n", "")
    assert_fires(
        "duty-report-part-missing", [US, INJURY, gone], at=("duties.yml", "D-1: >   duty:"), level=Level.WARN,
        extra=duties(SENT), on=dt.date(2026, 3, 20), says="the outcome (case.yml) was not found",
    )  # fmt: skip
