"""Problems as a person reads them at a terminal or in a log."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from asfound.model.plain import plain
from asfound.problems import Level, Problem

_WORDS = {
    Level.REJECT: ("reject", "rejects"),
    Level.WARN: ("warning", "warnings"),
    Level.NEEDED: ("thing still needed", "things still needed"),
    Level.NOTE: ("note", "notes"),
}


def text(problems: Iterable[Problem]) -> Iterator[tuple[Problem, str]]:
    """Each problem with its two or three lines: place, what and needed; how to mend it; what else belongs to it."""
    for problem in problems:
        lines = [plain(problem.headline())]
        if problem.mend:
            lines.append(f"    {plain(problem.mend)}")
        if problem.lifted:
            lines.append(f"    A reject, lifted by {plain(problem.lifted)}; it prints on the first page.")
        lines.extend(f"    See also {plain(str(span))}." for span in problem.related)
        yield problem, "\n".join(lines)


def summary(problems: Iterable[Problem]) -> str:
    """`2 rejects, 1 warning`; `nothing to report` where there is none."""
    counts = dict.fromkeys(Level, 0)
    for problem in problems:
        counts[problem.level] += 1
    said = [f"{count} {_WORDS[level][count != 1]}" for level, count in counts.items() if count]
    return ", ".join(said) or "nothing to report"
