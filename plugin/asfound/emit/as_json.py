"""Problems for programs. The format has a number; it changes only by addition until the number changes."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from asfound.problems import Problem

FORMAT = 1


def as_json(
    cases: Mapping[str, Iterable[Problem]],
    on: str,
    version: str,
    private: Mapping[str, Iterable[Problem]] | None = None,
) -> str:
    """`{"format": 1, "asfound": …, "on": …, "cases": {folder: [problem, …]}, "private": {…}}`, keys sorted.

    `private` is what concerns the facility's own duties: it decides nothing, and is not for what is handed over.

    Everything beyond printable ASCII is escaped, so that no code page on the way loses a sign, and nothing that acts
    on a terminal stands in it raw.
    """
    data = {
        "format": FORMAT,
        "asfound": version,
        "on": on,
        "cases": {folder: [_problem(problem) for problem in problems] for folder, problems in cases.items()},
        "private": {
            folder: [_problem(problem) for problem in problems] for folder, problems in (private or {}).items()
        },
    }
    return json.dumps(data, ensure_ascii=True, indent=1, sort_keys=True).replace("\x7f", "\\u007f") + "\n"


def _problem(problem: Problem) -> dict[str, object]:
    return {
        "rule": problem.rule,
        "level": str(problem.level),
        "path": problem.span.path,
        "line": problem.span.line,
        "column": problem.span.column,
        "found": problem.found,
        "needed": problem.needed,
        "mend": problem.mend,
        "subject": problem.subject,
        "lifted": problem.lifted,
        "related": [str(span) for span in problem.related],
    }
