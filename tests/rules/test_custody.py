"""Rules about things and who held them."""

from __future__ import annotations

import pytest

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent

NINE = "2026-03-05 09:00 -06:00"
LINE_5 = f"5,I-4,transfer,{NINE},{NINE},store,examiner,locked store,bench,examination"
LINE_6 = (
    f"6,I-1 I-2 I-3,transfer,{NINE},{NINE},store,examiner,locked store,bench,examination,"
    "2001,,as before,risk-manager,examiner,,"
)
COLLECTED = (
    "2,I-1 I-2 I-3,collected,2026-03-02 12:05 -06:00,2026-03-02 12:05 -06:00,,risk-manager,ward,risk office,impound,"
    ",2001,clean and whole,,risk-manager,E-1,"
)
BEFORE = "0,I-1 I-2 I-3,before custody,,2026-03-02 11:55 -06:00,,risk-manager,bin,ward,found,,,wet,,risk-manager,E-1,\n"
AFTER_THAT = COLLECTED.replace("collected", "transfer").replace(
    ",,risk-manager,ward,", ",risk-manager,risk-manager,ward,"
)


# --- things named


def test_a_connection_to_something_not_listed_is_refused() -> None:
    edit = ("scene.yml", "to: U-1", "to: extension lead")
    assert_fires("thing-named-not-listed", [edit], at=("scene.yml", "to: extension lead"), column=9)


def test_a_connection_to_an_id_that_is_no_item_is_refused() -> None:
    edit = ("scene.yml", "to: U-1", "to: I-9")
    assert_fires("thing-named-not-listed", [edit], at=("scene.yml", "to: I-9"))


@pytest.mark.parametrize("end", ["wall socket 3", "power cord", "the patient's left forearm", "ward nurse", "I-2"])
def test_a_connection_to_a_person_a_place_or_a_listed_thing_passes(end: str) -> None:
    assert_silent("thing-named-not-listed", [("scene.yml", "to: U-1", f"to: {end}")])


def test_a_name_given_to_an_item_makes_it_listed() -> None:
    edits = [
        ("scene.yml", "to: U-1", "to: extension lead"),
        ("items.yml", "what: Power cord", "what: Power cord\n  names: [extension lead]"),
    ]
    assert_silent("thing-named-not-listed", edits)


def test_a_thing_named_in_the_account_warns() -> None:
    edit = ("case.yml", "The pump was stopped and", "A foot switch lay beside it. The pump was stopped and")
    assert_fires("thing-named-not-listed", [edit], at=("case.yml", "account:"), level=Level.WARN, says="foot switch")


def test_a_verb_that_looks_like_a_thing_does_not_warn() -> None:
    edit = (
        "statements.yml",
        "The bag was empty at 10:40.",
        "That may lead to alarm; no cable was seen. It led to nothing.",
    )
    assert_silent("thing-named-not-listed", [edit])


# --- impounded


def test_a_thing_not_kept_needs_a_reason() -> None:
    edit = ("items.yml", "  why_not_impounded: needed for the patient; photographed in place\n", "")
    problem = assert_fires("not-impounded-unexplained", [edit], at=("items.yml", "impounded: no"))
    assert problem.subject == "I-5"


def test_a_thing_not_in_use_needs_none() -> None:
    edits: list[Edit] = [
        ("items.yml", "  why_not_impounded: needed for the patient; photographed in place\n", ""),
        ("items.yml", "role: other device\n  in_use_at_event: yes", "role: other device\n  in_use_at_event: no"),
    ]
    assert_silent("not-impounded-unexplained", edits)


# --- gaps


def test_another_holder_on_the_next_line_is_a_gap() -> None:
    edit = ("custody.csv", LINE_5, LINE_5.replace("store,examiner", "reviewer,examiner"))
    assert_fires(
        "custody-gap", [edit], at=("custody.csv", "5,I-4"), says='by "reviewer", the receipt before it (C-3) by "store"'
    )


def test_another_place_on_the_next_line_is_a_gap() -> None:
    edit = ("custody.csv", LINE_5, LINE_5.replace("locked store", "canteen"))
    assert_fires("custody-gap", [edit], at=("custody.csv", "5,I-4"), says='starts at "canteen"')


def test_one_gap_of_three_things_is_one_problem() -> None:
    edit = ("custody.csv", LINE_6, LINE_6.replace("locked store", "canteen"))
    assert_fires("custody-gap", [edit], at=("custody.csv", "6,I-1 I-2 I-3"), says="I-1, I-2 and I-3")


def test_the_same_place_in_other_letters_is_no_gap() -> None:
    assert_silent("custody-gap", [("custody.csv", LINE_5, LINE_5.replace("locked store", "Locked  store"))])


def test_hours_between_the_two_ends_without_a_seal_are_a_gap() -> None:
    late = LINE_6.replace("-06:00,2026-03-05 09:00", "-06:00,2026-03-05 11:00").replace("2001,,", ",,")
    assert_fires("custody-gap", [("custody.csv", LINE_6, late)], at=("custody.csv", "6,I-1"), says="without a seal")


def test_hours_under_a_seal_are_none() -> None:
    late = LINE_6.replace("-06:00,2026-03-05 09:00", "-06:00,2026-03-05 09:20")
    assert_silent("custody-gap", [("custody.csv", LINE_6, late)])


def test_a_log_that_starts_with_a_transfer_is_refused() -> None:
    edit = ("custody.csv", COLLECTED, COLLECTED.replace("collected", "transfer"))
    assert_fires("custody-gap", [edit], at=("custody.csv", "2,I-1 I-2 I-3"), says="starts with")


def test_an_item_without_a_line_is_named() -> None:
    edit = ("items.yml", "  in_use_at_event: yes\n  impounded: no", "  in_use_at_event: yes\n  impounded: yes")
    assert_fires("custody-gap", [edit], at=("items.yml", "I-5: > impounded"), says="I-5 was impounded")


def test_without_a_log_there_is_one_problem_for_all() -> None:
    assert_fires("custody-gap", delete=["custody.csv"], at=("custody.csv", None), says="I-1, I-2, I-3 and I-4")


def test_a_signed_account_of_the_time_before_custody_warns() -> None:
    edit = ("custody.csv", COLLECTED, BEFORE + AFTER_THAT)
    at = ("custody.csv", "before custody")
    assert_fires("custody-gap", [edit], at=at, level=Level.WARN, says="nobody had charge")


def test_collecting_what_was_found_is_not_collecting_it_again() -> None:
    """Only the time before custody is spoken of, not a second collection."""
    edit = ("custody.csv", COLLECTED, BEFORE + COLLECTED)
    problem = assert_fires("custody-gap", [edit], at=("custody.csv", "before custody"), level=Level.WARN)
    assert "second collection" not in problem.found


def test_collecting_what_somebody_holds_is_a_gap() -> None:
    edit = ("custody.csv", LINE_5, LINE_5.replace("transfer", "collected"))
    assert_fires("custody-gap", [edit], at=("custody.csv", "5,I-4"), says="a second collection of I-4")


def test_an_unsigned_account_of_the_time_before_custody_is_a_hole() -> None:
    edit = ("custody.csv", COLLECTED, BEFORE.replace("wet,,risk-manager", "wet,,") + AFTER_THAT)
    assert_fires("custody-gap", [edit], at=("custody.csv", "before custody"), says="not accounted for")


# --- overlap


def test_a_receipt_before_the_release_is_impossible() -> None:
    edit = ("custody.csv", LINE_5, LINE_5.replace("-06:00,2026-03-05 09:00", "-06:00,2026-03-05 08:50"))
    assert_fires("custody-overlap", [edit], at=("custody.csv", "5,I-4"), says="before it was let go")


def test_a_thing_let_go_twice_by_one_holder_is_in_two_places() -> None:
    edit = ("custody.csv", LINE_5, LINE_5.replace("store,examiner,locked store", "risk-manager,examiner,risk office"))
    assert_fires("custody-overlap", [edit], at=("custody.csv", "5,I-4"), says="a second release")
    assert_silent("custody-gap", [edit])


def test_a_thing_that_moves_on_before_it_arrived_is_in_two_places() -> None:
    edit = ("custody.csv", LINE_5, LINE_5.replace("2026-03-05 09:00", "2026-03-02 12:10"))
    assert_fires("custody-overlap", [edit], at=("custody.csv", "5,I-4"), says="the next move")


def test_one_moment_for_two_lines_is_no_overlap() -> None:
    assert_silent("custody-overlap", [("custody.csv", LINE_5, LINE_5.replace("2026-03-05 09:00", "2026-03-02 12:30"))])


# --- signatures


def test_a_transfer_with_one_signature_is_refused() -> None:
    edit = ("custody.csv", LINE_6, LINE_6.replace("as before,risk-manager,examiner", "as before,risk-manager,"))
    assert_fires("custody-line-unsigned", [edit], at=("custody.csv", "6,I-1"), says="whoever received it")


def test_a_line_without_purpose_place_and_time_lists_all_three() -> None:
    edit = (
        "custody.csv",
        LINE_6,
        LINE_6.replace("bench,examination", ",").replace("2026-03-05 09:00 -06:00,2026", ",2026"),
    )
    assert_fires(
        "custody-line-unsigned",
        [edit],
        at=("custody.csv", "6,I-1"),
        says="the time it was let go, the place it went to and its purpose",
    )


def test_a_store_does_not_sign_and_a_collection_has_nobody_who_let_go() -> None:
    edit = ("custody.csv", LINE_6, LINE_6.replace("as before,risk-manager,examiner", "as before,,examiner"))
    assert_silent("custody-line-unsigned", [edit])


# --- seals


def test_another_seal_than_was_put_on_is_refused() -> None:
    edit = ("custody.csv", LINE_6, LINE_6.replace("2001,,as", "2010,,as"))
    assert_fires(
        "seal-mismatch",
        [edit],
        at=("custody.csv", "6,I-1"),
        says="seal 2001 was put on I-1, I-2 and I-3 at C-4, seal 2010",
    )


def test_a_seal_nobody_read_warns() -> None:
    edit = ("custody.csv", LINE_6, LINE_6.replace("2001,,as", ",,as"))
    assert_fires("seal-mismatch", [edit], at=("custody.csv", "6,I-1"), level=Level.WARN, says="none was read")


def test_another_seal_at_receipt_is_refused() -> None:
    edit = ("items.yml", 'seal_on_receipt: "2001"', 'seal_on_receipt: "2010"')
    assert_fires("seal-mismatch", [edit], at=("items.yml", "seal_on_receipt"), column=20, says="log has seal 2001")


def test_no_seal_anywhere_is_no_mismatch() -> None:
    edits = [
        ("custody.csv", "comparison,,2002", "comparison,,none"),
        ("custody.csv", "safe keeping,2002,2002", "safe keeping,,"),
        ("custody.csv", "examination,2002,", "examination,no seal,"),
    ]
    assert_silent("seal-mismatch", edits)


# --- readings while elsewhere


def test_a_reading_of_a_thing_in_the_store_is_refused() -> None:
    edits = [
        ("sheets.yml", "from: 2026-03-06 09:00 -06:00", "from: 2026-03-06 16:30 -06:00"),
        ("sheets.yml", "to: 2026-03-06 12:00 -06:00", "to: 2026-03-06 19:30 -06:00"),
    ]
    assert_fires(
        "reading-while-elsewhere", edits, at=("sheets.yml", "from: 2026-03-06 16:30"), says="sealed store (C-7)"
    )


def test_a_reading_that_runs_on_after_the_thing_left_is_refused() -> None:
    edit = ("sheets.yml", "to: 2026-03-06 12:00 -06:00", "to: 2026-03-06 17:00 -06:00")
    assert_fires("reading-while-elsewhere", [edit], at=("sheets.yml", "from: 2026-03-06 09:00"), says="leaving for")


def test_a_reading_by_another_than_the_holder_is_refused() -> None:
    edits = [
        ("custody.csv", LINE_5, LINE_5.replace("store,examiner", "store,reviewer")),
        ("custody.csv", "7,I-1 I-2 I-3 I-4", "7,I-1 I-2 I-3"),
        (
            "sheets.yml",
            "[I-2]\n  instrument: M-1\n  function: earth",
            "[I-2, I-4]\n  instrument: M-1\n  function: earth",
        ),
    ]
    assert_fires("reading-while-elsewhere", edits, at=("sheets.yml", "from: 2026-03-05 13:00"), says="with reviewer")


def test_a_reading_that_ends_as_the_thing_leaves_passes() -> None:
    assert_silent(
        "reading-while-elsewhere", [("sheets.yml", "to: 2026-03-06 12:00 -06:00", "to: 2026-03-06 16:00 -06:00")]
    )


# --- exemplar

ROW_OF_EXEMPLAR = (
    "inspection.csv",
    "4,I-1,,behind",
    "5,I-4,,fluid path,found,no kink,,relevant,,,examiner\n4,I-1,,behind",
)


def test_a_finding_about_the_thing_that_rests_on_its_exemplar_is_refused() -> None:
    edits = [ROW_OF_EXEMPLAR, ("findings.yml", "rests_on: [A-1, V-3, E-2]", "rests_on: [A-1, V-3, E-2, V-5]")]
    assert_fires("exemplar-as-subject", edits, at=("findings.yml", "V-5"), column=29, says="I-4")


def test_a_reading_with_the_exemplar_fitted_in_its_place_is_refused() -> None:
    edits = [
        ("sheets.yml", "accessories: [I-2, I-3]\n  instrument: M-3", "accessories: [I-2, I-4]\n  instrument: M-3"),
        ("findings.yml", "  about: [I-1]\n  rests_on: [R-flow-again", "  about: [I-1, I-3]\n  rests_on: [R-flow-again"),
    ]
    assert_fires("exemplar-as-subject", edits, at=("findings.yml", "  rests_on: [R-flow-again"), says="R-flow-again-1")


def test_an_exemplar_that_is_named_as_one_passes() -> None:
    edits = [
        ROW_OF_EXEMPLAR,
        ("findings.yml", "rests_on: [A-1, V-3, E-2]", "rests_on: [A-1, V-3, E-2, V-5]"),
        (
            "findings.yml",
            "the clamp closed as in [V-3].",
            "the clamp closed as in [V-3]; the exemplar has no kink [V-5].",
        ),
    ]
    assert_silent("exemplar-as-subject", edits)


def test_a_finding_about_the_exemplar_itself_passes() -> None:
    edits = [
        ROW_OF_EXEMPLAR,
        ("findings.yml", "rests_on: [A-1, V-3, E-2]", "rests_on: [V-5]"),
        ("findings.yml", "about: [I-1, I-3]", "about: [I-4]"),
        ("findings.yml", "The rate was found set as in [A-1], the clamp closed as in [V-3].", "There is no kink."),
    ]
    assert_silent("exemplar-as-subject", edits)


# --- lots and tags


def test_a_single_use_thing_without_lot_or_packaging_warns() -> None:
    edit = ("items.yml", '  lot: "L-55"\n  packaging_kept: no\n', "")
    assert_fires("single-use-without-lot", [edit], at=("items.yml", "I-3: > single_use"), level=Level.WARN)


def test_a_reason_for_the_missing_lot_is_an_answer() -> None:
    edit = ("items.yml", '  lot: "L-55"\n  packaging_kept: no\n', "  lot: {not_recorded: the wrapper was discarded}\n")
    assert_silent("single-use-without-lot", [edit])


def test_a_tag_without_collector_and_description_is_refused() -> None:
    edits = [
        ("items.yml", "  description: Detachable cord of 2.5 m\n", ""),
        ("items.yml", "  collected_by: risk-manager\n  collected_at: 2026-03-02 12:05 -06:00\nI-3", "I-3"),
    ]
    problem = assert_fires("tag-incomplete", edits, at=("items.yml", "I-2:"), says="who collected it, when and a short")
    assert problem.mend.startswith("Copy collected_by, collected_at and description from the tag into items.yml")
    assert problem.subject == "I-2"


def test_a_thing_that_was_not_impounded_has_no_tag() -> None:
    assert_silent("tag-incomplete", [("items.yml", "what: Patient monitor", "what: Monitor of the patient")])


# --- late


def test_custody_that_begins_days_later_warns() -> None:
    edit = ("case.yml", "told_at: 2026-03-02 10:40 -06:00", "told_at: 2026-03-01 11:00 -06:00")
    assert_fires("custody-started-late", [edit], at=("custody.csv", "2,I-1 I-2 I-3"), level=Level.WARN, says="24 h")


def test_the_hours_are_the_organisations_own() -> None:
    edits = [
        ("case.yml", "told_at: 2026-03-02 10:40 -06:00", "told_at: 2026-03-01 11:00 -06:00"),
        (".asfound/settings.yml", "organisation:", 'first_custody_hours: "48"\norganisation:'),
    ]
    assert_silent("custody-started-late", edits)


def test_an_account_of_the_time_between_is_enough() -> None:
    edits = [
        ("case.yml", "told_at: 2026-03-02 10:40 -06:00", "told_at: 2026-03-01 11:00 -06:00"),
        ("custody.csv", COLLECTED, BEFORE + AFTER_THAT),
    ]
    assert_silent("custody-started-late", edits)


def test_braces_in_a_place_are_text() -> None:
    """A place that looks like a placeholder is printed as it stands."""
    edit = ("custody.csv", LINE_5, LINE_5.replace("locked store", "bin {3} {items} {"))
    assert_fires("custody-gap", [edit], at=("custody.csv", "5,I-4"), says="bin {3}")
