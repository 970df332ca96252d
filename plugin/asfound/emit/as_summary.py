"""Problems as the summary of a run on a code host: Markdown, worst first, never too long to be taken.

The host refuses a summary above 1 MiB and fails the step for it (its documentation of workflow commands, from memory);
ours ends well below, and says how many problems it had no room for.
"""

from __future__ import annotations

from collections.abc import Iterable

from asfound.emit.as_github import worst_first
from asfound.emit.as_text import summary
from asfound.emit.markdown import safe
from asfound.emit.told import left_out
from asfound.problems import Problem

MOST_BYTES = 900_000
_LAST_LINE = 200


def github_summary(problems: Iterable[Problem]) -> str:
    """A heading, the counts, then every problem as an item of a list; at most 900 kB of UTF-8."""
    ordered = worst_first(problems)
    parts = ["## What the check says\n\n", f"{summary(ordered)[:1].upper()}{summary(ordered)[1:]}.\n\n"]
    room = MOST_BYTES - _LAST_LINE - sum(len(part.encode("utf-8")) for part in parts)
    for number, problem in enumerate(ordered):
        item = _item(problem)
        room -= len(item.encode("utf-8"))
        if room < 0:
            parts.append(f"\nOf {len(ordered)}, {left_out(len(ordered) - number)}.\n")
            break
        parts.append(item)
    return "".join(parts)


def _item(problem: Problem) -> str:
    said = f"{problem.found}; {problem.needed}."
    return (
        f"- **{problem.level}** {safe(str(problem.span))} ({safe(problem.rule)}): {safe(said)}"
        f"{' ' + safe(problem.mend) if problem.mend else ''}\n"
    )
