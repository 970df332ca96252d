"""Problems as a code quality report, which GitLab shows beside the changed lines of a request.

Fields as its documentation names them (Code Quality, "Implement a custom tool"; from memory): description, check_name,
fingerprint, severity (info, minor, major, critical, blocker), location.path (relative), location.lines.begin.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from asfound.emit.told import Item, Told, items, left_out
from asfound.model.plain import plain
from asfound.problems import Level

MOST = 5000
"""Problems in one report. Our own bound: it keeps the report far below the size at which a host refuses artifacts."""
_SEVERITY = {Level.REJECT: "blocker", Level.WARN: "major", Level.NEEDED: "minor", Level.NOTE: "info"}


def gitlab(cases: Iterable[Told]) -> str:
    """A JSON array in printable ASCII, worst first; the last entry says how many were left out, where some were."""
    every = items(cases)
    report = [_entry(one) for one in every[:MOST]]
    if len(every) > MOST:
        last = every[MOST]
        said = left_out(len(every) - MOST)
        report.append({**_entry(last), "check_name": "more", "description": f"{said}.", "fingerprint": "0" * 64})
    return json.dumps(report, ensure_ascii=True, indent=1, sort_keys=True).replace("\x7f", "\\u007f") + "\n"


def _entry(one: Item) -> dict[str, Any]:
    problem = one.problem
    mend = f" {problem.mend}" if problem.mend else ""
    return {
        "check_name": plain(problem.rule),
        "description": plain(f"{problem.found}; {problem.needed}.{mend}"),
        "fingerprint": one.fingerprint,
        "location": {"path": plain(problem.span.path), "lines": {"begin": max(problem.span.line, 1)}},
        "severity": _SEVERITY[problem.level],
    }
