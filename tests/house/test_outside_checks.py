"""Every calculation is held against something outside the project, by name, in a file that says how it was read."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from asfound.physics.calc import calculations

HERE = Path(__file__).parents[1] / "reference"
STATUS = re.compile(r"\b(confirmed|secondary|from memory|computed|common practice)\b", re.IGNORECASE)


def _named(path: Path) -> set[str]:
    """The texts that stand in tests of a file, or in what its tests are given; none where no status is said in it."""
    text = path.read_text("utf-8")
    if not STATUS.search(text):
        return set()
    return {
        node.value for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Constant) and type(node.value) is str
    }


NAMED = set[str]().union(*map(_named, sorted(HERE.glob("test_*.py"))))


@pytest.mark.parametrize("name", list(calculations()))
def test_a_calculation_has_an_outside_check(name: str) -> None:
    assert name in NAMED, f"no file of tests/reference runs {name}; add a check that names its source and status"
