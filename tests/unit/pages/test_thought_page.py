"""The order of thought on the page about the work, and what a report says of its own independence."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from asfound.assess import assess_case
from asfound.model.dossier import Dossier
from asfound.model.event import Stage
from asfound.pages import Options, case_pages
from tests.rules.support import CASE, ON, Copy, Edit
from tests.rules.test_thought import CONCLUSION, IN_ORDER, PLAN, READINGS, STATEMENTS, UNSEALED, commits

from .frozen import pictures


def dossier(tmp_path: Path, *edits: Edit, steps: tuple[object, ...] = ()) -> Dossier:
    """The base case after edits; with steps, committed in them."""
    copy = Copy(tmp_path / "copy", edits, prepare=commits(*steps) if steps else None)  # type: ignore[arg-type]
    found = assess_case(copy.root, copy.root / CASE, ON, history=bool(steps)).dossier
    assert found is not None
    return found


def words(case: Dossier, section: str) -> str:
    """A page without its markup."""
    body = next(one.body for one in case_pages(case, pictures(), Options()) if one.uri == f"case/base/{section}.md")
    return " ".join(re.sub(r"<[^>]+>", " ", body).split())


def test_each_step_says_how_it_is_shown(tmp_path: Path) -> None:
    case = dossier(tmp_path, UNSEALED, steps=IN_ORDER)
    said = words(case, "work")
    assert said.count("shown by the order of the commits") == 3
    assert "After the plan, its limits and its rule: shown by the order of the commits; R-earth-1 was committed" in said
    assert "not provable" not in said and "What the time of a commit shows." in said
    plan = case.history.of("P-pump-earth")[0].commit
    assert plan[:10] in said


def test_a_paper_plan_is_named_and_a_contradiction_is_told(tmp_path: Path) -> None:
    steps = ([READINGS], [PLAN], [CONCLUSION], [STATEMENTS])
    said = words(dossier(tmp_path, steps=steps), "work")
    assert "shown by the digest of a dated paper plan; sealed at 2026-03-05 11:20 −06:00 (Thu)" in said
    assert "contradicted; conclusion.yml was committed" in said


def test_what_a_squash_erased_is_not_provable(tmp_path: Path) -> None:
    said = words(dossier(tmp_path, UNSEALED, steps=([PLAN, READINGS, STATEMENTS, CONCLUSION],)), "work")
    assert said.count("not provable; ") == 3 and "entered git in one commit" in said


def test_a_report_on_its_own_does_not_say_that_git_was_asked_in_vain(tmp_path: Path) -> None:
    said = words(dossier(tmp_path, UNSEALED), "work")
    assert "git was not asked here" in said and "not provable;" not in said


def test_reasons_stand_below(tmp_path: Path) -> None:
    later: Edit = ("case.yml", "jurisdiction:", "entered_later: It was worked on paper.\njurisdiction:")
    early: Edit = ("statements.yml", "  evidence: [E-3]", "  opened_early: Told at the bedside.\n  evidence: [E-3]")
    said = words(dossier(tmp_path, later, early, UNSEALED), "work")
    assert "Entered into git after the work: It was worked on paper." in said and "W-1 : Told at the bedside." in said


def test_a_report_says_that_it_is_not_independent_and_by_which_record(tmp_path: Path) -> None:
    case = dossier(tmp_path, ("service.yml", "by_role: maintainer", "by_role: examiner"))
    assert "Draft, never issued, not independent" in words(case, "index")
    said = words(case, "work")
    assert "Not independent. The examiner has ties" in said and "the declaration does not name" in said
    opened = case.core.case.head.model_copy(update={"stage": Stage.OPEN})
    core = replace(case.core, case=replace(case.core.case, head=opened))
    assert "never issued, not independent" not in words(replace(case, core=core), "index")


def test_without_ties_nothing_is_said(tmp_path: Path) -> None:
    case = dossier(tmp_path)
    assert "not independent" not in words(case, "index") and "Not reviewed" not in words(case, "work")
