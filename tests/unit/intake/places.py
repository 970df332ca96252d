"""Problems as short rows (rule, line, column), so that a table of bad inputs can be read at a glance."""

from __future__ import annotations

from collections.abc import Iterable

from asfound.intake import ENTRIES
from asfound.problems import Problem

LEVELS = {entry.name: entry.level for entry in ENTRIES}


def rows(problems: Iterable[Problem]) -> list[tuple[str, int, int]]:
    """Rule and place of each problem, after asking that each is complete and of its entry's level."""
    out = []
    for problem in problems:
        assert problem.level is LEVELS[problem.rule]
        assert problem.found and problem.needed and problem.mend
        assert not problem.found.endswith(".") and not problem.needed.endswith(".")
        assert "\n" not in problem.headline() and problem.headline().isprintable(), problem.headline()
        out.append((problem.rule, problem.span.line, problem.span.column))
    return out
