"""What a finding is made of: what it cites, what other findings it names, what is void, what no longer comes out.

A finding that lost part of what it stood on does not show the same (our own rule; common practice, no source).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from asfound.model.facts import Facts
from asfound.model.reasoning import Status
from asfound.model.weighing import NeedOutcome, Standing
from asfound.weigh import weigh

from .bench import AT, Change, drop, facts, links, put, weighed

SHOWN_BY = "explanations.X-1.needs.0.shown_by"
PICTURE = {"sha256": "0", "kind": "photograph", "shows": "The bench.", "items": ["I-1"]}


def status(*changes: Change) -> Status:
    return next(one.status for one in weighed(*changes).standings if one.ref == "X-1")


def standing(ref: str, *changes: Change) -> Standing:
    return next(one for one in weighed(*changes).standings if one.ref == ref)


def voided(found: Facts, *refs: str) -> Status:
    """How X-1 stands where some readings are void."""
    tables = {
        name: replace(
            table,
            rows=tuple(row._replace(void="leads swapped" if row.id in refs else "") for row in table.rows),
        )
        for name, table in found.case.readings.items()
    }
    weighing = weigh(replace(found, case=replace(found.case, readings=tables)))
    assert weighing is not None
    return next(one.status for one in weighing.standings if one.ref == "X-1")


def test_a_finding_stands_on_findings_its_text_names_and_on_nothing_else_in_its_text() -> None:
    leak_alone = put("findings.F-1.rests_on", ["R-leak-1"])
    assert status(leak_alone) is not Status.SUPPORTED
    assert status(leak_alone, put("findings.F-1.text", "It is hot, as [V-1] looks.")) is not Status.SUPPORTED
    third = put("findings.F-3", {"text": "So it read.", "about": ["I-1"], "rests_on": ["R-glow-1"]})
    assert status(leak_alone, third) is not Status.SUPPORTED
    assert status(leak_alone, third, put("findings.F-1.text", "It is hot, as [F-3] says.")) is Status.SUPPORTED


def test_a_finding_that_names_itself_stands_on_nothing_by_that() -> None:
    alone = {"text": "It is hot, as [F-1] says.", "about": ["I-1"], "rests_on": []}
    assert status(put("findings.F-1", alone)) is not Status.SUPPORTED


def test_a_sheet_a_planned_test_and_a_reading_are_evidence_by_themselves() -> None:
    for ref in ("R-glow-1", "S-glow", "P-glow"):
        assert status(put(SHOWN_BY, [ref])) is Status.SUPPORTED, ref
        # What is wrong with the sheet is wrong with it.
        assert "instrument-unfit" in links(put(SHOWN_BY, [ref]), put("sheets.S-glow.instrument", "M-9")), ref
    assert status(put(SHOWN_BY, ["S-glow"]), put("readings.glow", ["not measured: no time"])) is not Status.SUPPORTED


def test_a_result_that_does_not_come_out_takes_its_finding_along() -> None:
    assert status(put("findings.F-1.rests_on", ["R-glow-1", "Y-glow-repeatability-1"])) is not Status.SUPPORTED


def test_one_void_reading_of_two_leaves_the_finding_and_both_take_it() -> None:
    assert voided(facts()) is Status.SUPPORTED
    assert voided(facts(), "R-glow-1") is Status.SUPPORTED
    assert voided(facts(), "R-glow-1", "R-glow-2") is not Status.SUPPORTED
    # Of two tests it cites, each must have a reading that stands.
    both = facts(put("findings.F-1.rests_on", ["R-glow-1", "R-leak-1"]))
    assert voided(both, "R-leak-1") is not Status.SUPPORTED


def test_a_test_was_done_where_one_of_its_sheets_says_something() -> None:
    again = {"test": "glow", "item": "I-1", "instrument": "M-1", "function": "f", "by": "examiner",
             "from": AT.format("11"), "to": AT.format("12")}  # fmt: skip
    needs = put("explanations.X-1.needs", [{"claim": "a", "shown_by": ["F-1"]}, {"claim": "b", "tested_by": ["glow"]}])
    found = weighed(needs, put("sheets.S-again", again), put("readings.again", ["not measured: no time"]))
    assert next(one for one in found.standings if one.ref == "X-1").needs[1].state is NeedOutcome.NOT_SHOWN


def test_a_picture_of_a_thing_as_found_is_its_own_though_it_was_filed_with_a_bench() -> None:
    changes = [put(SHOWN_BY, ["E-1"]), put("sheets.S-leak.evidence", ["E-1"])]
    assert status(put("evidence.E-1", PICTURE), *changes) is not Status.SUPPORTED
    assert status(put("evidence.E-1", {**PICTURE, "as_found": "yes"}), *changes) is Status.SUPPORTED


def test_a_place_where_one_could_not_look_shows_nothing() -> None:
    looked = put(SHOWN_BY, ["V-1"])
    assert status(looked) is Status.SUPPORTED
    blind = put("inspection", [{"id": "V-1", "item": "I-1", "seen": "could not look"}])
    assert status(looked, blind) is not Status.SUPPORTED


def test_a_void_reading_shows_nothing_by_itself() -> None:
    assert voided(facts(put(SHOWN_BY, ["R-glow-1"])), "R-glow-2") is Status.SUPPORTED
    assert voided(facts(put(SHOWN_BY, ["R-glow-1"])), "R-glow-1") is not Status.SUPPORTED


def test_a_record_of_the_scene_or_of_custody_is_evidence_by_itself_and_one_that_is_not_there_is_none() -> None:
    told = put("statements.W-1", {"by": "nurse", "taken_at": AT.format("08"), "taken_by": "examiner"})
    for ref in ("A-1", "C-1", "W-1"):
        assert status(told, put(SHOWN_BY, [ref])) is Status.SUPPORTED, ref
    for ref in ("A-9", "C-9", "W-9", "E-9", "V-9", "R-glow-9", "Y-glow-9", "X-2", "I-1", "M-1", "K-1"):
        found = standing("X-1", told, put(SHOWN_BY, [ref]))
        assert found.status is not Status.SUPPORTED, ref
        assert found.weights[0].why == "it rests on nothing that was measured, seen, recorded or told", ref


@pytest.mark.parametrize("text", ["", "not measured: no time", "not obtainable: the door stuck"])
def test_a_sheet_that_says_nothing_shows_nothing(text: str) -> None:
    assert status(put(SHOWN_BY, ["S-glow"]), put("readings.glow", [text])) is not Status.SUPPORTED
    assert status(put(SHOWN_BY, ["S-glow"]), put("readings.glow", [text, "88"])) is Status.SUPPORTED


def test_a_picture_has_a_time_where_it_was_read_off_a_clock_that_was_compared() -> None:
    compared = [{"at": AT.format("07"), "reference": "r", "offset": "0 s", "doubt": "1 s"}]
    clock = put("clocks.K-1", {"what": "camera", "comparisons": compared})
    timed = {**PICTURE, "taken_at": AT.format("07"), "clock": "K-1"}
    shown = put(SHOWN_BY, ["E-1"])
    assert "time-not-provable" not in links(shown, clock, put("evidence.E-1", timed))
    bare = put("clocks.K-1", {"what": "camera"})
    for changes in (
        [clock, put("evidence.E-1", {**PICTURE, "clock": "K-1"})],
        [clock, put("evidence.E-1", {**PICTURE, "taken_at": AT.format("07")})],
        [bare, put("evidence.E-1", timed)],
    ):
        assert "time-not-provable" in links(shown, *changes)
    # Of two pictures of the same, one that is timed is enough.
    both = put("findings.F-1", {"text": "Hot.", "about": [], "rests_on": ["E-1", "E-2"]})
    found = links(clock, both, put("evidence.E-1", timed), put("evidence.E-2", PICTURE))
    assert "time-not-provable" not in found


def test_a_file_is_a_picture_a_record_or_what_somebody_told() -> None:
    """A log carries its own times and was there before anybody had charge of the thing; a letter is what was told."""
    changes = [put(SHOWN_BY, ["E-1"]), put("custody", [])]
    of = {kind: set(links(put("evidence.E-1", {**PICTURE, "kind": kind}), *changes)) for kind in
          ("photograph", "video", "drawing", "log", "document", "data", "statement")}  # fmt: skip
    for kind in ("photograph", "video", "drawing"):
        assert {"time-not-provable", "custody-unaccounted"} <= of[kind] and "only-told" not in of[kind], kind
    for kind in ("log", "document", "data", "statement"):
        assert not {"time-not-provable", "custody-unaccounted"} & of[kind], kind
        assert ("only-told" in of[kind]) == (kind == "statement"), kind


# --- how an explanation stands, in words


def test_nobody_refers_to_a_clinician_but_the_author() -> None:
    untested = put("explanations.X-3.status", "not tested"), put("explanations.X-3.not_tested", "no time")
    assert standing("X-3").status is Status.REFERRED
    assert standing("X-3", *untested).status is Status.NOT_TESTED


def test_a_need_says_what_shows_it_and_a_standing_which_tests_cannot() -> None:
    assert standing("X-1").needs[0].by == ("F-1",)
    assert standing("X-1").needs[0].capable == ("glow",) and standing("X-1").unable == ()
    assert standing("X-1", put("explanations.X-1.reached_by", ["glow", "leak"])).unable == ("leak",)
    # What is no planned test is listed neither as able nor as unable.
    needs = standing("X-1", put("explanations.X-1.needs.0.tested_by", ["glow", "leak", "nothing"])).needs[0]
    assert (needs.capable, needs.incapable) == (("glow",), ("leak",))


def test_why_it_stands_so_is_told_in_whole_sentences() -> None:
    assert standing("X-2").why == "It would have to be true that “It leaked”; F-2 shows that it is not."
    both = put("explanations.X-2.needs.0.shown_false_by", ["F-2", "V-1"])
    assert standing("X-2", both).why == "It would have to be true that “It leaked”; F-2 and V-1 show that it is not."
    bare = standing("X-1", put("explanations.X-1.needs", []), put("explanations.X-1.supports", ["F-1"]))
    assert bare.why == "It says nothing that would have to be true, so nothing can show it."
    half = put("explanations.X-1.needs", [{"claim": "a", "shown_by": ["F-1"]}, {"claim": "b."}, {"claim": "c."}])
    assert standing("X-1", half).why == "Of what would have to be true, “b” is not tested; “c” is not tested."
    mixed = standing("X-1", put("findings.F-1.rests_on", ["R-glow-1", "R-leak-1"]))
    assert mixed.weights[0].why == "it speaks by glow only; leak cannot reach this"


def test_a_contradiction_that_was_answered_leaves_it_open_where_nothing_speaks_for_it() -> None:
    answered = {"explanation": "Sound.", "line": "use", "status": "undetermined", "contradicts": ["V-1"],
                "answer": "It was off then."}  # fmt: skip
    found = standing("X-4", put("explanations.X-4", answered))
    assert found.status is Status.UNDETERMINED
    assert found.why == "What speaks against it was answered, and nothing speaks for it."
    assert standing("X-4", put("explanations.X-4", answered), drop("explanations.X-4.answer")).status is Status.WEAKENED
