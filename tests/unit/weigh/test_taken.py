"""What goes with a record that is taken away, told record by record (our own rule; common practice, no source)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from asfound.model.verdict import Result
from asfound.model.worked import Worked, WorkedAnswer
from asfound.weigh import weigh, without
from asfound.weigh.strikes import taken

from .bench import AT, Change, Facts, facts, put

PEOPLE = {name: {"title": name, "qualification": "some years"} for name in ("examiner", "nurse", "reviewer")}


def picture(by: str, items: list[str], **more: str) -> dict[str, object]:
    return {"sha256": "0", "kind": "photograph", "shows": "It.", "items": items, "taken_by": by, **more}


WHOLE: list[Change] = [
    put("head.people", PEOPLE),
    put("scene.recorded_by", "nurse"),
    put("scene.connections", {"N-1": {"from": "I-1", "to": "I-2"}}),
    put("statements.W-1", {"by": "nurse", "taken_at": AT.format("08"), "taken_by": "examiner", "evidence": ["E-4"]}),
    put("evidence.E-1", picture("examiner", ["I-2"])),
    put("evidence.E-2", picture("reviewer", ["I-1", "I-2"])),
    put("evidence.E-3", picture("reviewer", ["I-2"], derived_from="E-1")),
    put("evidence.E-4", {"sha256": "0", "kind": "statement", "shows": "What was told."}),
    put("evidence.E-5", picture("reviewer", [], derived_from="E-3")),
    put("findings.F-3", {"text": "The tube is bent.", "about": ["I-2"], "rests_on": ["E-1"]}),
    put("sheets.S-leak.accessories", []),
    put("sheets.S-leak.instrument", "M-2"),
    put("sheets.S-leak.by", "reviewer"),
]


def found() -> Facts:
    return facts(*WHOLE)


@pytest.mark.parametrize(
    ("ref", "along"),
    [
        # A role: its sheets, its rows of the inspection, its pictures and what was made of them.
        ("examiner", "S-glow V-1 E-1 E-3 E-5"),
        ("reviewer", "S-leak E-2 E-3 E-5"),
        # What it told, the paper it was told on, and the scene it wrote down.
        ("nurse", "W-1 E-4 A-1 N-1"),
        ("M-1", "S-glow"),
        ("M-2", "S-leak"),
        # A thing: where it was measured or fitted, looked at, pictured by itself, set, spoken of.
        ("I-1", "S-glow S-leak V-1 F-1 F-2 A-1"),
        ("I-2", "S-glow E-1 E-3 E-5 F-3"),
        ("I-3", ""),
        ("P-glow", "S-glow"),
        # A sheet is gone with its last reading, and not before.
        ("R-glow-1", ""),
        ("R-leak-1", "S-leak"),
        ("E-1", "E-3 E-5"),
        ("E-3", "E-5"),
        ("E-5", ""),
        ("X-1", ""),
    ],
)
def test_what_goes_with_one_record(ref: str, along: str) -> None:
    assert taken(found(), (ref,)) == {ref, *along.split()}


def test_both_readings_take_their_sheet() -> None:
    assert taken(found(), ("R-glow-1", "R-glow-2")) == {"R-glow-1", "R-glow-2", "S-glow"}


def test_a_crop_falls_with_its_original_and_a_finding_on_it_with_both() -> None:
    crop = facts(*WHOLE, put("findings.F-3.rests_on", ["E-5"]))
    assert "F-3" in without(crop, ["E-1"]).findings
    assert "F-3" not in without(crop, ["E-2"]).findings


def test_a_calculation_goes_with_any_of_its_inputs_and_takes_those_that_use_it() -> None:
    def worked(ref: str, *of: str) -> Worked:
        answer = WorkedAnswer(f"Y-{ref[2:]}-heat", "heat", "3 J")
        return Worked(ref, "c", "t", "f", "s", "computed", (), (), (), (answer,), of, ("glow",))

    chain = (worked("Z-1", "R-glow-1"), worked("Z-2", "Y-1-heat", "R-leak-1"), worked("Z-3", "R-leak-1"))
    answers = tuple(
        Result(one.answers[0].id, "worked out", "", "t", None, "J", None, one.of, "Heat: 3 J.") for one in chain
    )
    case = replace(found(), worked=chain, results=(*found().results, *answers))
    first = {"R-glow-1", "Z-1", "Y-1-heat", "Z-2", "Y-2-heat"}
    assert taken(case, ("R-glow-1",)) == first
    assert taken(case, ("S-glow",)) == first - {"R-glow-1"} | {"S-glow"}
    assert taken(case, ("Z-3",)) == {"Z-3", "Y-3-heat"}


def test_everything_that_evidence_comes_from_is_tried() -> None:
    whole = weigh(facts(*WHOLE, put("explanations.X-1.needs.0.shown_by", ["F-1", "V-1"])))
    assert whole is not None
    assert {one.refs[0] for one in whole.strikes} >= {"S-glow", "S-leak", "M-1", "M-2", "I-1", "examiner", "reviewer"}
    # A thing that was only looked at is tried as well, and so is what is cited by itself.
    seen = put("inspection", [{"id": "V-1", "item": "I-3", "seen": "found"}])
    alone = [put("findings.F-4", {"text": "As new.", "about": ["I-3"], "rests_on": ["V-1"]}),
             put("explanations.X-1.needs.0.shown_by", ["F-4"])]  # fmt: skip
    other = weigh(facts(*WHOLE, seen, *alone))
    assert other is not None and {"V-1", "I-3"} <= {one.refs[0] for one in other.strikes}
