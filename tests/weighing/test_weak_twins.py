"""The weak twin of each narrative is refused, and by the rules that its faults call for."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from asfound.problems import Level, Problem
from asfound.rules.machinery import discover
from tests.weighing.narratives import NARRATIVES, Narrative
from tests.weighing.test_narratives import assessed, edited
from tests.weighing.weak_twins import WEAK, Weak

GOOD = {told.name: told for told in NARRATIVES}

NOT_YET: frozenset[tuple[str, str]] = frozenset()
"""Faults for which no rule stands in the catalogue yet; each goes from here with the rule that speaks of it."""


@cache
def rules_of(row: str) -> frozenset[str]:
    """The rules that answer a requirement row."""
    return frozenset(rule.entry.name for rule in discover() if row in rule.entry.rows)


def new(told: Narrative, weak: Weak, home: Path, *rows: str) -> list[Problem]:
    """What is said of the twin and not of the good case; lines may have moved, so they do not count."""
    edits = dict.fromkeys(edit for row in rows for edit in weak.faults[row])
    known = {(one.rule, one.span.path, one.found) for one in assessed(told).problems}
    found = edited(told, home, *edits).problems
    return [one for one in found if (one.rule, one.span.path, one.found) not in known]


def _cases() -> list[object]:
    return [
        pytest.param(
            weak,
            row,
            id=f"{weak.name}-{row}",
            marks=pytest.mark.xfail(strict=True, reason=f"no rule answers {row} here yet")
            if (weak.name, row) in NOT_YET
            else (),
        )
        for weak in WEAK
        for row in weak.faults
    ]


@pytest.mark.parametrize(("weak", "row"), _cases())
def test_each_fault_is_spoken_of_by_the_rule_of_its_row(weak: Weak, row: str, tmp_path: Path) -> None:
    assert weak.faults[row], f"the twin of {weak.name} has no fault for {row}"
    said = new(GOOD[weak.name], weak, tmp_path, row)
    spoke = {one.rule for one in said if one.level in {Level.REJECT, Level.WARN}}
    assert rules_of(row) & spoke, f"{row}: {sorted(rules_of(row))} wanted; {sorted(spoke)} spoke"


@pytest.mark.parametrize("weak", WEAK, ids=lambda weak: weak.name)
def test_the_twin_as_a_whole_is_refused(weak: Weak, tmp_path: Path) -> None:
    said = new(GOOD[weak.name], weak, tmp_path, *weak.faults)
    assert {one.rule for one in said if one.level is Level.REJECT}
    spoke = {one.rule for one in said if one.level in {Level.REJECT, Level.WARN}}
    silent = [row for row in weak.faults if not rules_of(row) & spoke and (weak.name, row) not in NOT_YET]
    assert silent == []


def test_no_narrative_is_without_its_twin() -> None:
    assert [weak.name for weak in WEAK] == [told.name for told in NARRATIVES]
