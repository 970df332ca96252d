"""Rules about files, citations and the words of the text."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator

import pytest
from pydantic import BaseModel, TypeAdapter

from asfound.limits import packaged
from asfound.limits.word_lists import put_together
from asfound.model.base import Moment, Record
from asfound.model.things import CustodyKind, CustodyLine
from asfound.model.walk import walk
from asfound.model.work import Sheet
from asfound.problems import Level
from asfound.rules.evidence.citation_leads_nowhere import ALLOWED
from asfound.rules.evidence.person_named import Looked
from tests.rules.support import BASE, CASE, assert_fires, assert_silent, run_with

EVIDENCE = BASE / CASE / "evidence"
LOOKED = Looked.of(put_together(packaged().words, {})[0])


def digest(name: str) -> str:
    """SHA-256 of a file of the base case's evidence, by the standard library."""
    return hashlib.sha256((EVIDENCE / name).read_bytes()).hexdigest()


# --- photographs


def test_a_photograph_without_a_time_is_refused() -> None:
    edit = ("evidence.yml", "  taken_at: 2026-03-02 11:12 -06:00\n", "")
    assert_fires("photograph-without-time", [edit], at=("evidence.yml", "E-2:"), says="when")


def test_a_photograph_whose_time_was_stripped_warns() -> None:
    edit = ("evidence.yml", "taken_at: 2026-03-02 11:12 -06:00", "time_not_obtainable: stripped by the messenger")
    at = ("evidence.yml", "time_not_obtainable")
    assert_fires("photograph-without-time", [edit], at=at, level=Level.WARN, says="offered as found")


def test_a_photograph_on_no_clock_is_refused() -> None:
    edit = ("evidence.yml", "11:10 -06:00\n  taken_by: risk-manager\n  clock: K-2", "11:10 -06:00")
    assert_fires("photograph-without-time", [edit], at=("evidence.yml", "taken_at: 2026-03-02 11:10"), column=13)


CAMERA = "\n  comparisons:\n    - {at: 2026-03-03 09:15 -06:00, reference: network time, offset: -12 s, doubt: 2 s}"


def test_a_camera_that_was_not_compared_is_refused_once_for_all_its_pictures() -> None:
    edit = ("clocks.yml", CAMERA, "")
    assert_fires("photograph-without-time", [edit], at=("clocks.yml", "K-2:"), says="E-1, E-2, E-7 and E-8")


def test_a_camera_that_could_not_be_compared_warns() -> None:
    edit = ("clocks.yml", CAMERA, "\n  not_compared: the camera was replaced before anyone asked")
    assert_fires("photograph-without-time", [edit], at=("clocks.yml", "K-2:"), level=Level.WARN)


def test_a_log_needs_no_time_of_capture() -> None:
    assert_silent("photograph-without-time", [("evidence.yml", "kind: statement", "kind: log")])


# --- files


def test_one_byte_that_differs_is_refused() -> None:
    changed = (EVIDENCE / "bay.jpg").read_bytes()[:-1] + b"\x00"
    problem = assert_fires(
        "evidence-altered", extra={"evidence/bay.jpg": changed}, at=("evidence.yml", digest("bay.jpg")), column=11
    )
    assert digest("bay.jpg")[:12] in problem.found and problem.subject == "E-1"


def test_no_exception_lifts_altered_evidence() -> None:
    changed = (EVIDENCE / "bay.jpg").read_bytes()[:-1] + b"\x00"
    exception = (
        "Q-1:\n  rule: evidence-altered\n  by: examiner\n  at: 2026-03-06 09:00 -06:00\n"
        "  why: The card was damaged.\n  effect: None.\n"
    )
    assert_fires(
        "evidence-altered",
        extra={"evidence/bay.jpg": changed, "exceptions.yml": exception},
        at=("evidence.yml", digest("bay.jpg")),
    )


def test_line_ends_alone_are_named_as_such() -> None:
    text = (EVIDENCE / "service.txt").read_bytes().replace(b"\n", b"\r\n")
    assert_fires(
        "evidence-altered",
        extra={"evidence/service.txt": text},
        at=("evidence.yml", digest("service.txt")),
        says="the text is the same",
    )


def test_a_digest_that_is_none_is_named_as_such() -> None:
    edit = ("evidence.yml", digest("plan.txt"), "abc123")
    assert_fires("evidence-altered", [edit], at=("evidence.yml", "sha256: abc123"), says="6 characters")


def test_a_digest_in_capitals_is_the_same_digest() -> None:
    assert_silent("evidence-altered", [("evidence.yml", digest("plan.txt"), digest("plan.txt").upper())])


def test_a_registered_file_that_is_not_there_is_refused() -> None:
    assert_fires("evidence-missing", delete=["evidence/plan.txt"], at=("evidence.yml", "evidence/plan.txt"), column=9)


def test_an_entry_without_file_and_keeper_is_refused() -> None:
    edit = ("evidence.yml", "  file: evidence/plan.txt\n", "")
    assert_fires("evidence-missing", [edit], at=("evidence.yml", "E-5:"), says="neither")


def test_evidence_kept_elsewhere_is_not_missed() -> None:
    kept = "  kept_elsewhere: {keeper: risk-manager, place: records office, size: 31 bytes, why: holds names}\n"
    edit = ("evidence.yml", "  file: evidence/plan.txt\n", kept)
    assert_silent("evidence-missing", [edit], delete=["evidence/plan.txt"])


def test_a_file_that_nobody_registered_warns() -> None:
    at = ("evidence/extra.txt", None)
    assert_fires("evidence-unregistered", extra={"evidence/extra.txt": "a\n"}, at=at, level=Level.WARN)


def test_without_a_register_there_is_one_problem_for_all_files() -> None:
    at = ("evidence.yml", None)
    says = "7 files lie in evidence/"
    assert_fires("evidence-unregistered", delete=["evidence.yml"], at=at, level=Level.WARN, says=says)


def test_a_registered_file_in_a_folder_passes() -> None:
    entry = f"E-6:\n  file: evidence/more/a.txt\n  sha256: {hashlib.sha256(b'a').hexdigest()}\n  kind: document\n"
    edit = ("evidence.yml", "E-5:\n", f"{entry}  shows: A letter.\nE-5:\n")
    assert_silent("evidence-unregistered", [edit], extra={"evidence/more/a.txt": "a"})


# --- citations


def test_an_id_that_leads_nowhere_is_refused_with_the_nearest_one() -> None:
    edit = ("findings.yml", "rests_on: [A-1, V-3, E-2]", "rests_on: [A-1, V-3, E-20]")
    assert_fires("citation-leads-nowhere", [edit], at=("findings.yml", "E-20"), column=24, says="there is E-2")


def test_a_citation_in_a_text_is_held_to_the_same() -> None:
    edit = ("conclusion.yml", "than it was set to [F-1].", "than it was set to [F-1], as in [=R-flow-40].")
    assert_fires("citation-leads-nowhere", [edit], at=("conclusion.yml", "R-flow-40"), says="R-flow-40 leads nowhere")


def test_a_fact_does_not_rest_on_an_explanation() -> None:
    edit = ("findings.yml", "rests_on: [A-1, V-3, E-2]", "rests_on: [A-1, V-3, X-1]")
    assert_fires("citation-leads-nowhere", [edit], at=("findings.yml", "X-1"), says="an explanation")


def test_an_item_field_names_an_item() -> None:
    edit = ("scene.yml", "item: I-1\n    control: volume", "item: E-1\n    control: volume")
    assert_fires("citation-leads-nowhere", [edit], at=("scene.yml", "item: E-1"), says="an item is needed")


def test_what_has_no_value_cannot_be_printed() -> None:
    edit = ("findings.yml", "as in [V-3].", "as in [=V-3].")
    assert_fires("citation-leads-nowhere", [edit], at=("findings.yml", "[=V-3]"), says="prints the value")


def test_a_test_that_is_not_planned_cannot_be_needed() -> None:
    edit = ("explanations.yml", "tested_by: [pump-flow]", "tested_by: [pump-flows]")
    assert_fires("citation-leads-nowhere", [edit], at=("explanations.yml", "pump-flows"), says="there is pump-flow")


def test_a_column_of_the_custody_log_is_held_to_the_same() -> None:
    edit = ("custody.csv", "risk-manager,E-1,", "risk-manager,E-9,")
    assert_fires("citation-leads-nowhere", [edit], at=("custody.csv", "E-9"))


def test_a_file_of_records_that_is_gone_is_one_problem_for_all_who_cite_it() -> None:
    assert_fires(
        "citation-leads-nowhere", delete=["clocks.yml"], at=("clocks.yml", None), says="6 citations name K-1 and K-2"
    )


def test_a_derived_result_a_gate_and_a_reading_can_be_cited() -> None:
    edits = [
        ("findings.yml", "rests_on: [A-1, V-3, E-2]", "rests_on: [A-1, V-3, E-2, Y-flow-repeatability-1, G-7]"),
        ("conclusion.yml", "than it was set to [F-1].", "than it was set to [F-1], as in [=R-flow-4]."),
    ]
    assert_silent("citation-leads-nowhere", edits)


def test_a_record_that_cannot_be_read_is_not_missed_as_well() -> None:
    edit = ("findings.yml", "F-2:\n  text:", "F-2:\n  txt:")
    problems = run_with([edit])
    assert [problem.rule for problem in problems if problem.rule.startswith("field-")]
    assert_silent("citation-leads-nowhere", [edit])


# --- words


def test_a_name_in_a_text_is_refused_and_not_repeated() -> None:
    edit = ("statements.yml", "The bag was empty", "Nurse Example said that the bag was empty")
    problem = assert_fires("person-named", [edit], at=("statements.yml", "Nurse Example"))
    assert "Example" not in problem.headline()


def test_a_name_in_a_row_of_a_table_is_refused() -> None:
    edit = ("custody.csv", "clean and whole", "clean and whole says Dr Example")
    assert_fires("person-named", [edit], at=("custody.csv", "Dr Example"))


def test_a_role_is_no_name() -> None:
    edit = (
        "statements.yml",
        "The bag was empty",
        "The nurse on Monday said the Nurse Call was off and the bag was empty",
    )
    assert_silent("person-named", [edit])


@pytest.mark.parametrize(
    "text",
    [
        "Dr Example",
        "Dr. A. Example",
        "Mrs Example-Sample",
        "Prof. O'Example",
        "nurse Sample",
        "Staff Nurse Sample",
        "the technician, Mr Sample",
        "surgeon McSample",
    ],
)
def test_names_are_seen(text: str) -> None:
    assert LOOKED is not None and LOOKED.names(f"It was {text} who came.")


@pytest.mark.parametrize(
    "text",
    [
        "The nurse call was pressed.",
        "Sister units were measured.",
        "The engineer On call came.",
        "MR Conditional, Ms or ms, DR Congo.",
        "The assistant. Monitor alarms followed.",
        "A technician of Maker A was asked.",
        "The patient Monitor was on; Patient Leakage was measured.",
        "Examiner I-3, reviewer E-4.",
        "The surgeon's pencil and the Surgeon's Lamp.",
        "Doctor blade, resident set, intern table",
        "The consultant Report of March.",
    ],
)
def test_ordinary_sentences_hold_no_name(text: str) -> None:
    assert LOOKED is not None and LOOKED.names(text) == ()


def test_names_are_seen_however_their_accents_are_typed() -> None:
    assert LOOKED is not None
    for text in ("Frau U\u0308belho\u0308r kam", "Mme Lefe\u0300vre", "Dr O\u0308zer", "nurse S\u0301wia\u0328tek"):
        assert LOOKED.names(text), text


def test_word_of_two_scripts() -> None:
    clamp = "the clamp closed as in [V-3]."
    assert_fires(
        "word-of-two-scripts",
        [("findings.yml", clamp, "the cl\u0430mp closed as in [V-3].")],
        at=("findings.yml", "The rate was found"),
        says="one letter is cyrillic small letter a",
    )
    for text in (
        "the cl\u00e4mp at 61 \u03bcA and 68 \u03a9",
        "\u0442\u0435\u0441\u0442 and test",
        "5 k\u03a9, 3 \u00b5V",
    ):
        assert_silent("word-of-two-scripts", [("findings.yml", clamp, f"{text}, as in [V-3].")])


def test_html_in_a_text_is_refused() -> None:
    edit = ("findings.yml", "the clamp closed as in [V-3].", "the clamp <b>closed</b> as in [V-3].")
    problems = [problem for problem in run_with([edit]) if problem.rule == "prose-not-plain"]
    assert len(problems) == 1
    assert_fires("prose-not-plain", [edit], at=("findings.yml", "<b>"), column=9, says="HTML")


def test_a_picture_and_a_heading_are_refused() -> None:
    edit = ("case.yml", "scope: The pump,", "scope: |\n  # Scope\n\n  The pump,")
    assert_fires("prose-not-plain", [edit], at=("case.yml", "scope:"), says="a heading")


def test_lists_stress_links_and_comparisons_are_plain() -> None:
    edit = (
        "case.yml",
        "scope: The pump,",
        "scope: |\n  1. *Seen* and **noted**, 3 < 4, [here](https://example.org):\n  2. The pump,",
    )
    assert_silent("prose-not-plain", [edit])


# --- the walk behind these rules


def _models(base: type[BaseModel]) -> Iterator[type[BaseModel]]:
    for child in base.__subclasses__():
        yield child
        yield from _models(child)


def test_every_field_that_cites_says_what_it_may_cite() -> None:
    """A field added to the model with citations must be added here too, or anything could be cited in it."""
    import asfound.model.case
    import asfound.model.dossier  # noqa: F401 (defines the records)

    cites = set()
    for model in _models(Record):
        if not model.__module__.startswith("asfound.model"):
            continue
        for name, field in model.model_fields.items():
            text = str(TypeAdapter(field.rebuild_annotation()).json_schema().get("format", ""))
            inner = str(TypeAdapter(field.rebuild_annotation()).json_schema())
            if text == "record" or (
                "'format': 'record'" in inner and "$defs" not in inner and "Properties" not in inner
            ):
                cites.add((model.__name__, name))
    # Instruments have a rule of their own; of a sheet without readings the calculation tells that takes its rows.
    cites -= {("Sheet", "instrument"), ("PreparedSheet", "instrument"), ("FromRows", "sheet")}
    missing = {pair for pair in cites if pair not in ALLOWED and ("*", pair[1]) not in ALLOWED}
    assert missing == set() and len(cites) > 40


def test_the_walk_finds_citations_roles_times_and_texts_of_a_record() -> None:
    line = CustodyLine(
        "C-1", 2, ("I-1",), CustodyKind.COLLECTED, None, Moment.read("2026-03-02 12:05 -06:00"), "", "risk-manager",
        "ward", "office", "impound", "", "2001", "whole", "", "risk-manager", ("E-1",), "",
    )  # fmt: skip
    found = [(spot.kind.value, spot.field) for spot in walk(line, "C-1")]
    assert found == [
        ("record", "items"), ("record", "evidence"), ("role", "received_by"), ("role", "signed_in"),
        ("time", "received_at"), ("text", "from_place"), ("text", "to_place"), ("text", "purpose"),
        ("text", "condition"),
    ]  # fmt: skip
    sheet = Sheet.model_validate(
        {"test": "flow", "item": "I-1", "instrument": "M-1", "function": "f", "by": "examiner",
         "from": "2026-03-02 12:05 -06:00", "to": "2026-03-02 12:06 -06:00", "repeats_of": "S-a", "note": "as [E-1]"}
    )  # fmt: skip
    spots = {(spot.kind.value, spot.path) for spot in walk(sheet, "S-b")}
    assert {
        ("record", ("item",)), ("record", ("repeats_of",)), ("role", ("by",)), ("time", ("from",)),
        ("planned test", ("test",)), ("prose", ("note",)),
    } <= spots  # fmt: skip
    with pytest.raises(TypeError, match="no record"):
        list(walk("text", "S-b"))
