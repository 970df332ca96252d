"""One sentence that says what a change comes to: nothing big is missing from it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from asfound.compare import Area, CaseChange, Difference, Kind, Move, in_short
from asfound.compare.difference import EARNED

EMPTY = CaseChange("c", "t", "cases/c", "cases/c")


def verdict(kind: Kind, old: str | None, new: str | None) -> Difference:
    return Difference(Area.VERDICT, kind, "R-a-1", (Move("outcome", old, new),))


def result(kind: Kind, old: str | None, new: str | None) -> Difference:
    return Difference(Area.RESULT, kind, "Y-a-second-instrument", (Move("outcome", old, new),))


def level(old: str | None, new: str | None, beside: str = "", ref: str = "mechanism") -> Difference:
    return Difference(Area.LEVEL, Kind.CHANGED, ref, (Move("level", old, new),), beside)


def rule(old: str | None, new: str | None) -> Difference:
    return Difference(Area.PROBLEM, Kind.CHANGED, "I-1", (Move("level", old, new),), "custody-gap")


@pytest.mark.parametrize(
    ("found", "said"),
    [
        ((level("probable", "possible"),), "the level of the mechanism is lowered from probable to possible"),
        ((level("possible", "established"),), "the level of the mechanism is raised from possible to established"),
        ((level("probable", "possible", EARNED, "reason"),), "what the evidence earns for the reason is lowered"),
        ((level("supported", "undetermined", EARNED, "X-2"),), "for X-2 the evidence earns undetermined instead of"),
        ((level(None, "possible"),), "the mechanism is now held as possible"),
        ((level("possible", None),), "the mechanism is no longer held as possible"),
        # Two instruments that agreed and do not any more move no verdict of a reading.
        ((result(Kind.CHANGED, "pass", "fail"),), "1 derived result comes out otherwise (1 to a fail)."),
        ((result(Kind.CHANGED, "fail", "pass"),) * 2, "2 derived results come out otherwise."),
        ((verdict(Kind.CHANGED, "pass", "fail"),), "1 verdict moved (1 to a fail)"),
        ((verdict(Kind.CHANGED, "conditional fail", "fail"),), "1 verdict moved."),
        ((verdict(Kind.CHANGED, "pass", "pass"),), "1 verdict given by another limit, with the same outcome."),
        ((verdict(Kind.CHANGED, "pass", "pass"), verdict(Kind.CHANGED, "pass", "fail")), "1 verdict moved (1 to a"),
        ((verdict(Kind.REMOVED, "fail", None), verdict(Kind.REMOVED, "pass", None)), "2 verdicts gone (1 from a fail)"),
        ((rule(None, "reject"), rule(None, "warn")), "1 rule newly broken in 2 places (1 reject)"),
        ((rule(None, "reject"), replace(rule(None, "warn"), beside="order")), "2 rules newly broken (1 reject)"),
        ((Difference(Area.RECORD, Kind.ADDED, "I-9"),), "1 record (1 added: I-9)"),
        (tuple(Difference(Area.RECORD, Kind.ADDED, f"I-{n}") for n in range(4)), "4 records (4 added)."),
        ((rule("warn", None),), "1 rule mended."),
        ((rule(None, "note"),), ""),
        ((Difference(Area.FILE, Kind.REMOVED, "evidence/a"),), "1 file of evidence (1 removed)"),
        ((Difference(Area.EXCEPTION, Kind.ADDED, "Q-1"),), "1 exception (1 added)"),
    ],
)  # fmt: skip
def test_each_kind_of_difference_has_its_words(found: tuple[Difference, ...], said: str) -> None:
    short = in_short(replace(EMPTY, differences=found))
    assert said in short and short.startswith("In short: " if said else "")
    assert bool(short) == bool(said)


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("The approval a (reviewer) is void: another state. What changed since: R-a-1.", True),
        ("The approval a (reviewer) was taken out, and it was in force.", True),
        ("The approval a (reviewer) was taken out.", False),
        ("The approval a (reviewer) is in force.", False),
    ],
)
def test_approvals_are_counted_where_they_ceased(said: str, told: bool) -> None:
    assert ("1 approval no longer in force" in in_short(replace(EMPTY, approvals=(said,)))) is told


def test_a_result_that_came_or_went_or_only_reads_otherwise_is_not_told_in_short() -> None:
    """Each has its line below; with them the sentence would name every row that is added."""
    for one in (
        result(Kind.ADDED, None, "pass"),
        result(Kind.REMOVED, "fail", None),
        Difference(Area.RESULT, Kind.CHANGED, "Y-a-repeatability", (Move("result", "1", "2"),)),
    ):
        assert in_short(replace(EMPTY, differences=(one,))) == ""
