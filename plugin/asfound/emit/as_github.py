"""Problems as workflow commands of GitHub Actions, which show them beside the changed lines.

The host shows ten annotations of a kind per step and drops the rest without a word (its toolkit's notes on problem
matchers). So the worst come first, nine of a kind, and a last one says how many more there are and where they stand.
Escaping as the host's toolkit does it: per cent, carriage return and line feed in text; colon and comma too in
properties (from memory).

The host reads every line of a step for commands, also those of the log for people. What people wrote in a case must
not become one, so the log is held between two commands that switch the reading off and on again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator

from asfound.emit.told import COMMAND
from asfound.model.plain import plain
from asfound.problems import Level, Problem

SHOWN = 9
_COMMANDS = {Level.REJECT: "error", Level.WARN: "warning", Level.NEEDED: "notice", Level.NOTE: "notice"}


def data(text: str) -> str:
    """Text of a command, escaped."""
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def prop(text: str) -> str:
    """A property of a command, escaped."""
    return data(text).replace(":", "%3A").replace(",", "%2C")


def worst_first(problems: Iterable[Problem]) -> list[Problem]:
    """By weight, then by place."""
    return sorted(problems, key=lambda problem: (problem.level.rank, problem.key))


def quiet(log: str) -> tuple[str, str]:
    """The commands before and after a log in which no line is to be read as a command.

    The word that switches the reading on again must be one that the log cannot hold; the digest of the log is, and it
    is the same for the same log.
    """
    word = "asfound-" + hashlib.sha256(log.encode("utf-8", "surrogatepass")).hexdigest()[:40]
    return f"::stop-commands::{word}", f"::{word}::"


def github(problems: Iterable[Problem]) -> Iterator[str]:
    """One command a line, worst first."""
    ordered = worst_first(problems)
    left: dict[str, int] = {}
    shown: dict[str, int] = {}
    for problem in ordered:
        command = _COMMANDS[problem.level]
        if shown.get(command, 0) >= SHOWN:
            left[command] = left.get(command, 0) + 1
            continue
        shown[command] = shown.get(command, 0) + 1
        yield _command(command, problem)
    for command, count in sorted(left.items()):
        said = f"{count} more of this kind; the log of this step lists every one, as `{COMMAND}` does."
        yield f"::{command} title=more::{data(said)}"


def _command(command: str, problem: Problem) -> str:
    span = problem.span
    properties = [f"file={prop(plain(span.path))}"]
    if span.line:
        properties.append(f"line={span.line}")
    if span.column:
        properties.append(f"col={span.column}")
    properties.append(f"title={prop(plain(problem.rule))}")
    said = f"{problem.found}; {problem.needed}. {problem.mend}".strip()
    return f"::{command} {','.join(properties)}::{data(plain(said))}"
