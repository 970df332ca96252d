"""Who examined, with which ties, and who looked again: asked of the case alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound import intake
from asfound.account import Independence, independence, ties_of
from asfound.assess.repository import open_repository
from tests.rules.support import CASE, Copy, Edit

MITIGATED: Edit = ("case.yml", "sold: no", "sold: yes\n  mitigation: An outside engineer examines beside the examiner.")
NO_REVIEWER: Edit = ("case.yml", "reviewer: reviewer\n", "")


def found(tmp_path: Path, *edits: Edit) -> Independence:
    """The account of the base case after some edits."""
    copy = Copy(tmp_path / "copy", edits)
    shared = open_repository(copy.root)
    reading = intake.read_case(shared.root, (copy.root / CASE).resolve(), shared.bench)
    assert reading.case is not None
    assert ties_of(reading.case) == independence(reading.case).ties
    return independence(reading.case)


def test_no_tie_and_another_reviewer_leave_no_mark(tmp_path: Path) -> None:
    one = found(tmp_path)
    assert one.independent and one.reviewed and one.marks == () and one.ties == ()


@pytest.mark.parametrize(
    ("edits", "marks"),
    [
        ((("case.yml", "sold: no", "sold: yes"),), ("not independent",)),
        ((MITIGATED,), ()),
        ((MITIGATED, NO_REVIEWER), ("not independent", "not reviewed")),
        ((NO_REVIEWER,), ("not reviewed",)),
        ((("case.yml", "reviewer: reviewer", "reviewer: examiner"),), ("not reviewed",)),
        ((MITIGATED, ("service.yml", "by_role: maintainer", "by_role: examiner")), ("not independent",)),
        ((("case.yml", "by: examiner\n  at: 2026-03-04", "by: reviewer\n  at: 2026-03-04"),), ("not independent",)),
    ],
    ids=[
        "tie",
        "balanced",
        "balanced by nobody",
        "no reviewer",
        "one role for both",
        "tie not declared",
        "another's word",
    ],
)
def test_what_a_report_must_say_of_itself(tmp_path: Path, edits: tuple[Edit, ...], marks: tuple[str, ...]) -> None:
    assert found(tmp_path, *edits).marks == marks


def test_a_tie_says_where_it_shows(tmp_path: Path) -> None:
    (tie,) = found(tmp_path, ("service.yml", "by_role: maintainer", "by_role: examiner")).ties
    assert (tie.question, tie.declared, tie.where[1]) == ("maintained", False, "by_role") and "of I-1" in tie.found
