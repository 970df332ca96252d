"""Rules about people."""

from __future__ import annotations

from asfound.problems import Level
from tests.rules.support import assert_fires, assert_silent

TWO_PERSON_SHOP = (".asfound/settings.yml", "organisation:", "two_person_shop: yes\norganisation:")
DECLARATION = """declaration:
  by: examiner
  at: 2026-03-04 08:30 -06:00
  maintained: no
  set_up: no
  used: no
  bought: no
  sold: no
  supervised_user: no
  paid_by: the hospital, at an hourly rate
"""
AUTHORITY = """authority:
  by: risk-manager
  at: 2026-03-02 15:10 -06:00
  how: written
"""


def test_a_declared_tie_is_refused() -> None:
    edit = ("case.yml", "maintained: no", "maintained: yes\n  mitigation: an outside engineer reviews all of it")
    assert_fires("examiner-with-ties", [edit], at=("case.yml", "maintained: yes"), column=15, says="maintained it")


def test_in_a_shop_of_two_a_declared_tie_warns() -> None:
    edit = ("case.yml", "maintained: no", "maintained: yes\n  mitigation: an outside engineer reviews all of it")
    assert_fires("examiner-with-ties", [edit, TWO_PERSON_SHOP], at=("case.yml", "maintained: yes"), level=Level.WARN)


def test_a_tie_the_service_history_shows_is_refused_even_in_a_shop_of_two() -> None:
    edit = ("service.yml", "by_role: maintainer", "by_role: examiner")
    assert_fires(
        "examiner-with-ties", [edit, TWO_PERSON_SHOP], at=("service.yml", "by_role"), says="maintenance of I-1"
    )


def test_a_tie_in_the_words_of_the_last_maintenance_is_refused() -> None:
    edit = ("items.yml", "by: the hospital's maintenance technician", "by: the examiner")
    assert_fires("examiner-with-ties", [edit], at=("items.yml", "by: the examiner"))


def test_an_examiner_who_owns_a_thing_in_use_is_refused() -> None:
    edit = ("items.yml", '  software: "3.2"\n  owner: the hospital', '  software: "3.2"\n  owner: the examiner')
    assert_fires("examiner-with-ties", [edit], at=("items.yml", "owner: the examiner"), says="owns I-1")


def test_an_examiner_who_was_a_witness_is_refused() -> None:
    edit = ("statements.yml", "by: ward-nurse", "by: examiner")
    assert_fires("examiner-with-ties", [edit], at=("statements.yml", "  by: examiner"), says="witness")


def test_somebody_elses_maintenance_of_a_thing_not_in_use_is_no_tie() -> None:
    edits = [
        ("service.yml", "by_role: maintainer", "by_role: examiner"),
        ("service.yml", "items: [I-1]", "items: [I-4]"),
    ]
    assert_silent("examiner-with-ties", edits)


def test_a_missing_declaration_is_asked_for() -> None:
    assert_fires("interest-undeclared", [("case.yml", DECLARATION, "")], at=("case.yml", "case: base"))


def test_in_an_open_case_the_declaration_is_still_needed() -> None:
    edits = [("case.yml", DECLARATION, ""), ("case.yml", "stage: in review", "stage: open")]
    assert_fires("interest-undeclared", edits, at=("case.yml", "case: base"), level=Level.NEEDED)


def test_somebody_elses_declaration_does_not_count() -> None:
    edit = ("case.yml", "by: examiner\n  at: 2026-03-04", "by: reviewer\n  at: 2026-03-04")
    assert_fires("interest-undeclared", [edit], at=("case.yml", "  by: reviewer"))


def test_a_yes_without_mitigation_is_refused() -> None:
    assert_fires("interest-undeclared", [("case.yml", "bought: no", "bought: yes")], at=("case.yml", "bought: yes"))


def test_a_yes_with_mitigation_is_declared() -> None:
    edit = ("case.yml", "bought: no", "bought: yes\n  mitigation: an outside engineer reviews all of it")
    assert_silent("interest-undeclared", [edit])


def test_one_person_cannot_be_examiner_and_reviewer() -> None:
    edit = ("case.yml", "reviewer: reviewer", "reviewer: examiner")
    assert_fires("reviewer-is-examiner", [edit], at=("case.yml", "reviewer: examiner"), column=11)


def test_in_a_shop_of_two_one_person_may_and_the_report_says_so() -> None:
    edits = [("case.yml", "reviewer: reviewer", "reviewer: examiner"), TWO_PERSON_SHOP]
    assert_fires("reviewer-is-examiner", edits, at=("case.yml", "reviewer: examiner"), level=Level.WARN)


def test_no_reviewer_warns() -> None:
    edit = ("case.yml", "reviewer: reviewer\n", "")
    assert_fires("reviewer-is-examiner", [edit], at=("case.yml", "case: base"), level=Level.WARN)


def test_another_reviewer_with_the_same_title_is_another_person() -> None:
    assert_silent("reviewer-is-examiner", [("case.yml", "title: second examiner", "title: examiner")])


def test_a_missing_authority_is_asked_for() -> None:
    assert_fires("authority-missing", [("case.yml", AUTHORITY, "")], at=("case.yml", "case: base"))


def test_an_authority_after_the_first_touch_is_refused() -> None:
    edit = ("case.yml", "2026-03-02 15:10 -06:00", "2026-03-05 09:10 -06:00")
    assert_fires("authority-missing", [edit], at=("case.yml", "2026-03-05 09:10"), column=7)


def test_an_authority_before_the_first_touch_in_another_zone_counts() -> None:
    assert_silent("authority-missing", [("case.yml", "2026-03-02 15:10 -06:00", "2026-03-05 15:00 +00:00")])


def test_a_first_touch_without_a_time_is_asked_for() -> None:
    edit = ("case.yml", "first_touch: 2026-03-05 09:00 -06:00\n", "")
    assert_fires("authority-missing", [edit], at=("case.yml", "case: base"), says="first touched")


def test_a_spoken_authority_warns_until_it_is_confirmed() -> None:
    edit = ("case.yml", "how: written", "how: by telephone")
    assert_fires("authority-missing", [edit], at=("case.yml", "how: by telephone"), level=Level.WARN)


def test_a_spoken_authority_confirmed_later_counts() -> None:
    edit = ("case.yml", "how: written", "how: by telephone\n  confirmed_at: 2026-03-06 09:00 -06:00")
    assert_silent("authority-missing", [edit])


def test_a_blank_qualification_warns() -> None:
    edit = (
        "case.yml",
        "    qualification: biomedical equipment technician, eleven years with infusion pumps\n",
        "",
    )
    assert_fires("qualification-blank", [edit], at=("case.yml", "  examiner:"), level=Level.WARN)


def test_a_reason_instead_of_a_qualification_is_an_answer() -> None:
    edit = (
        "case.yml",
        "qualification: clinical engineer, fifteen years",
        "qualification: {not_recorded: the reviewer has not answered yet}",
    )
    assert_silent("qualification-blank", [edit])


def test_a_role_that_nobody_knows_is_refused_once_where_it_first_stands() -> None:
    edits = [
        ("statements.yml", "by: ward-nurse", "by: ward-nurze"),
        ("gates.yml", "by: ward-nurse", "by: ward-nurze"),
    ]
    assert_fires("role-not-listed", edits, at=("gates.yml", "by: ward-nurze"), says="and in W-1")


def test_a_role_in_the_custody_log_is_asked_for_too() -> None:
    edit = ("custody.csv", "as received,examiner,examiner", "as received,examiner,porter")
    assert_fires("role-not-listed", [edit], at=("custody.csv", "porter"), says="porter")


def test_a_role_that_was_added_to_the_people_is_known() -> None:
    edits = [
        ("custody.csv", "as received,examiner,examiner", "as received,examiner,porter"),
        ("case.yml", "  maintainer:", "  porter:\n    title: porter\n  maintainer:"),
    ]
    assert_silent("role-not-listed", edits)


def exception(rule: str) -> dict[str, str]:
    """exceptions.yml with one exception for a rule."""
    return {
        "exceptions.yml": f"Q-1:\n  rule: {rule}\n  by: examiner\n  at: 2026-03-06 09:00 -06:00\n"
        "  why: It could not be had.\n  effect: None.\n"
    }


def test_an_exception_for_a_rule_nobody_knows_is_refused() -> None:
    at = ("exceptions.yml", "custody-gaps")
    assert_fires("exception-without-effect", extra=exception("custody-gaps"), at=at, says="there is custody-gap")


def test_an_exception_that_lifts_nothing_is_refused() -> None:
    at = ("exceptions.yml", "evidence-altered")
    assert_fires("exception-without-effect", extra=exception("evidence-altered"), at=at, says="no exception lifts")


def test_an_exception_lifts_a_reject_to_a_warning_and_is_named() -> None:
    edit = ("case.yml", AUTHORITY, "")
    assert_silent("exception-without-effect", [edit], extra=exception("authority-missing"))
    at = ("case.yml", "case: base")
    lifted = assert_fires("authority-missing", [edit], at=at, level=Level.WARN, extra=exception("authority-missing"))
    assert lifted.lifted == "Q-1"
