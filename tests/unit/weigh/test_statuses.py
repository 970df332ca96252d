"""What a status is earned by, explanation by explanation."""

from __future__ import annotations

import pytest

from asfound.model.reasoning import Status
from asfound.model.weighing import NeedOutcome, Side
from asfound.weigh.standings import held

from .bench import Change, drop, put, weighed


def status(ref: str, *changes: Change) -> Status:
    found = weighed(*changes).standing(ref)
    assert found is not None
    return found.status


def test_each_status_of_the_whole_case() -> None:
    assert [status(ref) for ref in ("X-1", "X-2", "X-3")] == [Status.SUPPORTED, Status.RULED_OUT, Status.REFERRED]


# --- ruled out, and what is lacking for it


@pytest.mark.parametrize(
    ("change", "lacking"),
    [
        (drop("explanations.X-2.needs.0.detects"), "the smallest departure that would have been seen is not stated"),
        (put("items.I-1.impounded", "no"), "I-1 was not impounded"),
        (put("custody.0.kind", "before custody"), "I-1 was not in custody all the time"),
        (put("custody.0.items", "I-1"), "I-2 was not in custody all the time"),
        (put("sheets.S-leak.item", "I-3"), "I-3 is an exemplar"),
        (put("sheets.S-leak.moment", "after adjustment"), "it was read after adjustment (S-leak)"),
        (put("sheets.S-leak.instrument", "M-9"), "nobody vouches for M-9 at that time"),
        (put("instruments.M-1.calibrations.0.due", "2026-03-01"), "nobody vouches for M-1 at that time"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_is_shown_false_is_only_weakened_where_something_is_lacking(change: Change, lacking: str) -> None:
    found = weighed(change).standing("X-2")
    assert found is not None
    assert (found.status, found.held) == (Status.WEAKENED, Status.WEAKENED)
    assert f"It is not ruled out: {lacking}." in found.why


def test_what_was_only_told_rules_nothing_out() -> None:
    told = put("statements", {"W-1": {"by": "nurse", "taken_at": "2026-03-10 08:00 +00:00", "taken_by": "examiner"}})
    found = weighed(told, put("findings.F-2.rests_on", ["W-1"])).standing("X-2")
    assert found is not None and found.status is Status.WEAKENED
    assert "it was only told" in found.why


def test_what_was_looked_at_may_rule_out() -> None:
    assert status("X-2", put("findings.F-2.rests_on", ["V-1"])) is Status.RULED_OUT
    # A place one could not look at says nothing.
    blind = put("inspection.0.seen", "could not look")
    assert status("X-2", put("findings.F-2.rests_on", ["V-1"]), blind) is not Status.RULED_OUT


def test_a_prediction_that_failed_weakens() -> None:
    leak = {"explanation": "A leak.", "line": "device", "topic": "leak", "status": "weakened", "contradicts": ["F-2"]}
    against = put("explanations.X-2", leak)
    assert status("X-2", against) is Status.WEAKENED


# --- a test that cannot reach it cannot speak to it


def test_a_test_that_cannot_reach_a_topic_speaks_neither_for_nor_against() -> None:
    for field, side in (("supports", Side.FOR), ("contradicts", Side.AGAINST)):
        change = put("explanations.X-2", {"explanation": "A leak.", "line": "device", "topic": "leak",
                                          "status": "weakened", field: ["F-1"]})  # fmt: skip
        found = weighed(change).standing("X-2")
        assert found is not None
        (weight,) = found.weights
        assert (weight.meant, weight.side, weight.deaf) == (side, Side.CANNOT_SPEAK, ("glow",))
        assert found.status is Status.NOT_TESTED
        assert "glow cannot reach leak" in found.why


def test_a_plan_narrows_what_a_test_reaches_and_never_widens_it() -> None:
    assert status("X-1", put("plan.tests.glow.reaches", [])) is not Status.SUPPORTED
    widened = put("plan.tests.leak.reaches", ["glow", "leak"])
    assert status("X-1", widened, put("explanations.X-1.needs.0.shown_by", ["F-2"])) is not Status.SUPPORTED


def test_without_a_topic_the_plan_says_beforehand_what_a_test_separates() -> None:
    bare = drop("explanations.X-1.topic")
    assert status("X-1", bare) is not Status.SUPPORTED
    assert status("X-1", bare, put("plan.tests.glow.separates", ["X-1", "X-2"])) is Status.SUPPORTED


def test_a_need_may_have_a_topic_of_its_own() -> None:
    two = put("explanations.X-1.needs", [
        {"claim": "It was hot.", "shown_by": ["F-1"]}, {"claim": "It held.", "topic": "leak", "shown_by": ["F-2"]},
    ])  # fmt: skip
    assert status("X-1", two) is Status.SUPPORTED
    assert status("X-1", two, drop("explanations.X-1.needs.1.topic")) is Status.UNDETERMINED


def test_a_picture_of_the_bench_speaks_no_further_than_its_test() -> None:
    picture = put("evidence", {"E-1": {"sha256": "0", "kind": "photograph", "shows": "The bench.", "items": ["I-1"]}})
    cited = put("findings.F-2.rests_on", ["R-leak-1", "E-1"])
    glow = put("explanations.X-1.needs.0.shown_by", ["F-2"])
    assert status("X-1", picture, cited, glow) is Status.SUPPORTED, "a picture of its own speaks for itself"
    bound = put("sheets.S-leak.evidence", ["E-1"])
    assert status("X-1", picture, cited, glow, bound) is not Status.SUPPORTED


# --- supported


def test_elimination_supports_nothing() -> None:
    alone = put("explanations.X-1", {"explanation": "Heat.", "line": "device", "topic": "glow", "status": "supported",
                                     "needs": [{"claim": "It was hot."}], "supports": ["F-2"]})  # fmt: skip
    found = weighed(alone).standing("X-1")
    assert found is not None and found.stronger
    assert (found.status, found.held) == (Status.NOT_TESTED, Status.NOT_TESTED)


@pytest.mark.parametrize(
    ("need", "state"),
    [
        ({"claim": "It held."}, NeedOutcome.NOT_TESTED),
        ({"claim": "It held.", "tested_by": ["glow"]}, NeedOutcome.NOT_SHOWN),
        ({"claim": "It held.", "tested_by": ["leak"]}, NeedOutcome.NOT_TESTED),
        ({"claim": "It held.", "shown_by": ["F-1"], "shown_false_by": ["V-1"]}, NeedOutcome.NOT_SHOWN),
    ],
)
def test_one_need_that_is_not_shown_leaves_it_undetermined(need: dict[str, object], state: NeedOutcome) -> None:
    found = weighed(put("explanations.X-1.needs", [{"claim": "It was hot.", "shown_by": ["F-1"]}, need])).standing(
        "X-1"
    )
    assert found is not None
    assert found.needs[1].state is state
    assert found.status is Status.UNDETERMINED


def test_what_has_no_needs_cannot_be_supported() -> None:
    bare = put("explanations.X-1", {"explanation": "Heat.", "line": "device", "topic": "glow", "status": "supported",
                                    "supports": ["F-1"]})  # fmt: skip
    assert status("X-1", bare) is Status.UNDETERMINED


def test_a_contradiction_counts_until_it_is_answered() -> None:
    against = put("explanations.X-1.contradicts", ["V-1"])
    assert status("X-1", against) is Status.UNDETERMINED
    assert status("X-1", against, put("explanations.X-1.answer", "That mark is old.")) is Status.SUPPORTED


def test_only_a_clinicians_line_can_be_referred() -> None:
    assert status("X-3", put("explanations.X-3.line", "device")) is Status.NOT_TESTED
    # And not where something of the things speaks to it.
    assert status("X-3", put("explanations.X-3.contradicts", ["V-1"])) is Status.WEAKENED


# --- what the author wrote


@pytest.mark.parametrize("computed", list(Status))
@pytest.mark.parametrize("claimed", list(Status))
def test_what_is_held_is_never_stronger_than_either(computed: Status, claimed: Status) -> None:
    result = held(computed, claimed)
    if result is Status.SUPPORTED:
        assert computed is claimed is Status.SUPPORTED
    if result is Status.RULED_OUT:
        assert computed is claimed is Status.RULED_OUT
    if result is Status.WEAKENED:
        assert {computed, claimed} <= {Status.WEAKENED, Status.RULED_OUT}
