"""Strike-out: what goes with what, what falls, and that nothing rises."""

from __future__ import annotations

import pytest

from asfound.model.limits import SourceStatus
from asfound.model.weighing import Fall
from asfound.weigh import weigh, without

from .bench import AT, Change, drop, facts, limit, put

AGAIN: tuple[Change, ...] = (
    put("sheets.S-again", {"test": "glow", "item": "I-1", "accessories": ["I-2"], "instrument": "M-2", "function": "f",
                           "by": "second", "from": AT.format("11"), "to": AT.format("12"),
                           "as_found_settings": "yes"}),
    put("readings.again", ["88.3"]),
    put("findings.F-3", {"text": "Again.", "about": ["I-1"], "rests_on": ["R-again-1"]}),
    put("explanations.X-1.needs.0.shown_by", ["F-1", "F-3"]),
    put("head.people", {"examiner": {"title": "examiner"}, "second": {"title": "second examiner"}}),
)  # fmt: skip


def test_without_the_instrument_its_sheets_findings_and_the_level_go() -> None:
    found = without(facts(limit(SourceStatus.CONFIRMED)), ["M-1"])
    assert found.findings == ("F-1", "F-2")
    assert found.verdicts == ("S-glow",)
    assert found.statuses == (Fall("X-1", "supported", "not tested"), Fall("X-2", "ruled out", "not tested"))
    assert found.levels == (Fall("mechanism", "established", "undetermined"),)


def test_a_second_instrument_carries_what_the_first_one_showed() -> None:
    found = without(facts(*AGAIN), ["S-glow"])
    assert (found.findings, found.levels, found.statuses) == (("F-1",), (), ())
    assert without(facts(*AGAIN), ["S-glow", "M-2"]).levels == (Fall("mechanism", "established", "undetermined"),)


def test_one_of_several_readings_may_go_and_the_last_may_not() -> None:
    whole = facts()
    assert not without(whole, ["R-glow-1"]).levels
    assert without(whole, ["R-glow-1", "R-glow-2"]).levels == (Fall("mechanism", "established", "undetermined"),)
    assert without(whole, ["R-leak-1"]).levels == (Fall("mechanism", "established", "possible"),)


def test_a_finding_falls_with_a_whole_test_or_with_all_that_was_seen() -> None:
    both = put("findings.F-1.rests_on", ["R-glow-1", "V-1"])
    assert without(facts(both), ["V-1"]).findings == ("F-1",)
    assert without(facts(both), ["S-glow"]).findings == ("F-1",)
    seen_twice = put("inspection", [{"id": ref, "item": "I-1", "seen": "found"} for ref in ("V-1", "V-2")])
    two = put("findings.F-1.rests_on", ["R-glow-1", "V-1", "V-2"])
    assert without(facts(seen_twice, two), ["V-1"]).findings == ()


def test_with_an_item_go_its_sheets_and_the_findings_about_it() -> None:
    assert without(facts(), ["I-2"]).findings == ("F-1", "F-2")
    assert without(facts(put("findings.F-2.rests_on", ["V-1"])), ["I-1"]).findings == ("F-1", "F-2")


def test_with_a_role_goes_all_their_work() -> None:
    assert without(facts(*AGAIN), ["second"]).findings == ("F-3",)
    assert without(facts(*AGAIN), ["examiner"]).levels == (Fall("mechanism", "established", "possible"),)


def test_a_finding_that_cites_another_falls_with_it() -> None:
    cites = put("findings.F-2.text", "It does not leak at the glow of [F-1].")
    assert without(facts(cites), ["S-glow"]).findings == ("F-1", "F-2")


def test_verdicts_that_come_out_otherwise_without_a_reading_are_told() -> None:
    near = (
        limit(SourceStatus.CONFIRMED),
        put("limits.most.bound.value", "91 W"),
        put("plan.decision_rule", "guard band"),
    )
    struck = without(facts(*near, put("readings.glow", ["88.4", "60.1"])), ["R-glow-2"])
    assert struck.verdicts == ("R-glow-1", "R-glow-2"), (
        "the spread goes with the reading, and the doubt with the spread"
    )


def test_an_id_that_stands_nowhere_takes_nothing_away() -> None:
    assert not without(facts(), ["E-99"]).anything


def test_what_speaks_against_is_not_answered_by_being_taken_away() -> None:
    against = put("explanations.X-1.contradicts", ["V-1"])
    whole = weigh(facts(against))
    assert whole is not None and whole.mechanism.level == "possible"
    assert not without(facts(against), ["V-1"]).levels


def test_the_whole_list_is_what_each_strike_says_by_itself() -> None:
    whole = facts(*AGAIN, limit(SourceStatus.CONFIRMED), drop("explanations.X-2.needs.0.detects"))
    found = weigh(whole)
    assert found is not None and len(found.strikes) > 4
    for one in found.strikes:
        assert one == without(whole, one.refs), one.refs
    lowering = {one.refs[0] for one in found.strikes if any(fall.of == "mechanism" for fall in one.levels)}
    assert set(found.mechanism.would_lower) == lowering - {"examiner", "second"}
    assert found.rests_most_on in lowering


@pytest.mark.parametrize("ref", ["I-1", "examiner"])
def test_the_record_on_which_most_rests_is_no_person_and_not_the_thing_itself(ref: str) -> None:
    found = weigh(facts(*AGAIN))
    assert found is not None
    assert found.rests_most_on not in {ref, ""}
