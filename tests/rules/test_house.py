"""The rules as a house: the base case is clean, every rule is tested both ways, every entry names its source."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from asfound.problems import Entry, Level
from asfound.rules import discover, run
from tests.rules.support import BASE, CASE, run_with

HERE = Path(__file__).parent
ENTRIES = tuple(rule.entry for rule in discover())
NOT_ASKED_FOR = {"injury.yml", "service.yml", "timeline.csv"}
"""Files that a case may be without, as far as the rules of this version go."""
STATUSES = {"confirmed", "secondary", "from memory", "common practice", "ours"}


def _tested(function: str) -> set[str]:
    """Rule names that stand as the literal first argument of a call of `function` in the test files."""
    found = set()
    for path in sorted(HERE.glob("test_*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Name)
                and node.func.id == function
                and node.args
                and isinstance(node.args[0], ast.Constant)
                and isinstance(node.args[0].value, str)
            ):
                found.add(node.args[0].value)
    return found


def test_the_base_case_has_no_problem_at_all() -> None:
    assert [problem.headline() for problem in run_with()] == []


@pytest.mark.parametrize("function", ["assert_fires", "assert_silent"])
def test_every_rule_has_a_case_that_fails_and_one_that_passes(function: str) -> None:
    assert {entry.name for entry in ENTRIES} - _tested(function) == set()


def test_no_test_names_a_rule_that_does_not_exist() -> None:
    assert _tested("assert_silent") - {entry.name for entry in ENTRIES} == set()


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.name)
def test_every_entry_says_what_why_on_whose_authority_and_how_to_mend(entry: Entry) -> None:
    for text in (entry.title, entry.reason, entry.mend):
        assert text.endswith(".") and text == text.strip() and "\n" not in text, text
    assert entry.source.strip() and not entry.source.endswith(".")
    assert entry.status in STATUSES
    assert entry.level in {Level.REJECT, Level.WARN, Level.NOTE}
    assert all(row[0] in "RSLV" for row in entry.rows)


@pytest.mark.parametrize("rule", discover(), ids=lambda rule: rule.entry.name)
def test_every_rule_has_a_manual_page_with_both_examples(rule: object) -> None:
    import importlib

    check = rule.check  # type: ignore[attr-defined]
    page = importlib.import_module(check.__module__).__doc__ or ""
    assert "Fails:" in page and "Passes:" in page, check.__module__


def test_no_rule_to_ask_is_an_error() -> None:
    with pytest.raises(ValueError, match="no rule to ask"):
        run(object(), ())  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "name", sorted(path.relative_to(BASE / CASE).as_posix() for path in (BASE / CASE).rglob("*") if path.is_file())
)
def test_a_missing_file_is_never_an_exception(name: str) -> None:
    problems = run_with(delete=[name])
    assert problems or name in NOT_ASKED_FOR, f"nobody misses {name}"
    assert len(problems) <= 15, "\n".join(problem.headline() for problem in problems)
