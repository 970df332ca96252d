"""What was worked out, as evidence: it speaks to what it models and no further, and falls with what went into it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from asfound.model.facts import Facts
from asfound.model.reasoning import ConfidenceLevel, Status
from asfound.model.verdict import Result
from asfound.model.weighing import Weighing
from asfound.model.worked import Worked, WorkedAnswer
from asfound.weigh import weigh, without

from .bench import facts, put


def model(*reaches: str) -> Worked:
    answer = WorkedAnswer("Y-1-heat", "heat", "3 J")
    return Worked("Z-1", "c", "t", "f", "s", "computed", (), (), (), (answer,), ("R-glow-1",), reaches)


def told(*reaches: str, cites: tuple[str, ...] = ("Z-1",)) -> Facts:
    answer = Result("Y-1-heat", "worked out", "", "t", Decimal(3), "J", None, ("R-glow-1",), "Heat: 3 J.")
    found = facts(put("findings.F-1.rests_on", list(cites)))
    return replace(found, worked=(model(*reaches),), results=(*found.results, answer))


def weighed(found: Facts) -> Weighing:
    weighing = weigh(found)
    assert weighing is not None
    return weighing


def topic() -> str:
    one = facts().case.explanations["X-1"]
    found = one.needs[0].topic or one.topic
    assert found is not None
    return found


def test_a_model_speaks_to_what_it_models_and_bears_a_probable_conclusion_by_itself() -> None:
    for cited in ("Z-1", "Y-1-heat"):
        weighing = weighed(told(topic(), cites=(cited,)))
        assert weighing.mechanism.level is ConfidenceLevel.PROBABLE
        link = next(one for one in weighing.mechanism.links if one.name == "only-modelled")
        assert link.refs == ("F-1", "Z-1")


def test_a_model_of_something_else_cannot_speak() -> None:
    weighing = weighed(told("elsewhere"))
    standing = next(one for one in weighing.standings if one.ref == "X-1")
    assert standing.status is not Status.SUPPORTED
    assert any("Z-1 cannot reach" in weight.why for weight in standing.weights)


def test_beside_a_measurement_of_the_same_a_model_holds_nothing_down() -> None:
    weighing = weighed(told(topic(), cites=("Z-1", "R-glow-1")))
    assert weighing.mechanism.level is ConfidenceLevel.ESTABLISHED


def test_beside_a_picture_of_the_same_a_model_is_not_alone_either() -> None:
    picture = put("evidence.E-1", {"sha256": "0", "kind": "photograph", "shows": "It.", "items": ["I-1"]})
    found = facts(picture, put("findings.F-1.rests_on", ["Z-1", "E-1"]))
    links = {one.name for one in weighed(replace(found, worked=(model(topic()),))).mechanism.links}
    assert "only-modelled" not in links and "not-reproduced" in links


def test_what_is_wrong_with_its_inputs_is_wrong_with_a_model() -> None:
    found = facts(put("findings.F-1.rests_on", ["Z-1"]), put("sheets.S-glow.instrument", "M-9"))
    links = {one.name for one in weighed(replace(found, worked=(model(topic()),))).mechanism.links}
    assert {"only-modelled", "instrument-unfit"} <= links


def test_a_model_alone_rules_nothing_out() -> None:
    found = facts(put("findings.F-2.rests_on", ["Z-1"]))
    standing = next(one for one in weighed(replace(found, worked=(model("leak"),))).standings if one.ref == "X-2")
    assert standing.status is Status.WEAKENED
    assert "It is not ruled out: it rests on a model alone." in standing.why


def test_what_only_turns_readings_into_another_figure_speaks_as_they_do() -> None:
    weighing = weighed(told())
    assert weighing.mechanism.level is ConfidenceLevel.ESTABLISHED
    standing = next(one for one in weighing.standings if one.ref == "X-1")
    assert any("glow" in weight.by for weight in standing.weights)


def test_a_calculation_falls_with_what_went_into_it() -> None:
    found = told(topic())
    for gone in ("R-glow-1", "S-glow", "Z-1"):
        strike = without(found, [gone])
        assert "F-1" in strike.findings, gone
        assert strike.levels, gone


def test_a_calculation_that_failed_is_no_evidence() -> None:
    failed = replace(model(topic()), answers=())
    weighing = weighed(replace(told(topic()), worked=(failed,)))
    standing = next(one for one in weighing.standings if one.ref == "X-1")
    assert standing.status is not Status.SUPPORTED
