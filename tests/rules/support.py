"""The base case with one thing changed, and what the rules then say.

`tests/rules/base` is a repository of one complete case without any problem. A test of a rule edits a copy of it and
asserts the exact line that is reported, or that a near miss passes. Every edit must find its text exactly once,
so that no test can pass because it changed nothing.

Files are named as they stand in the case folder (`items.yml`, `readings/flow.csv`); names that start with
`.asfound/` belong to the organisation.

The rule's name is written as a literal first argument of `assert_fires` and `assert_silent`: the house test
reads the test files and demands both of every rule.
"""

from __future__ import annotations

import datetime as dt
import shutil
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from asfound.assess import assess_case
from asfound.assess.repository import open_repository
from asfound.problems import Level, Problem

BASE = Path(__file__).parent / "base"
CASE = "cases/base"
ON = dt.date(2026, 3, 20)

Edit = tuple[str, str, str]
"""File, the text that stands there once, the text to put there."""


Prepare = Callable[["Copy"], None]
"""What a test does to its copy beyond edits: a commit, say."""


def repository_path(name: str) -> str:
    """A file's path from the root of the repository, as problems print it."""
    return name if name.startswith(".asfound/") else f"{CASE}/{name}"


class Copy:
    """A copy of the base case, edited."""

    def __init__(
        self,
        root: Path,
        edits: Sequence[Edit] = (),
        extra: Mapping[str, str | bytes] | None = None,
        delete: Sequence[str] = (),
        prepare: Prepare | None = None,
    ) -> None:
        shutil.copytree(BASE, root, dirs_exist_ok=True)
        self.root = root
        for name in delete:
            path = self.path(name)
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        for name, content in (extra or {}).items():
            path = self.path(name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content.encode() if isinstance(content, str) else content)
        for name, old, new in edits:
            path = self.path(name)
            text = path.read_bytes().decode()
            assert text.count(old) == 1, f"{name} holds {old!r} {text.count(old)} times, the edit needs it once"
            path.write_bytes(text.replace(old, new).encode())
        if prepare is not None:
            prepare(self)

    def path(self, name: str) -> Path:
        """Where a file of the case or of the organisation lies in this copy."""
        return self.root / repository_path(name)

    def line(self, name: str, text: str) -> int:
        """The line, from 1, of the only line that holds a text.

        `I-5: > impounded` is the first line with `impounded` after the only line with `I-5:`.
        """
        head, *rest = text.split(" > ")
        lines = self.path(name).read_text(encoding="utf-8").splitlines()
        found = [number for number, line in enumerate(lines, 1) if head in line]
        assert len(found) == 1, f"{name} holds {head!r} on lines {found}, one is needed"
        number = found[0]
        for part in rest:
            number = next(at for at, line in enumerate(lines, 1) if at > number and part in line)
        return number

    def problems(self, on: dt.date = ON, history: bool = False) -> tuple[Problem, ...]:
        """What the whole check says of this copy; with `history`, also of what git tells of it."""
        shared = open_repository(self.root)
        found = assess_case(self.root, self.root / CASE, on, shared, history)
        return (*shared.problems, *found.problems, *found.private)


def run_with(
    edits: Sequence[Edit] = (),
    extra: Mapping[str, str | bytes] | None = None,
    delete: Sequence[str] = (),
    on: dt.date = ON,
    prepare: Prepare | None = None,
    history: bool = False,
) -> tuple[Problem, ...]:
    """Every problem of the base case after the edits."""
    with tempfile.TemporaryDirectory() as folder:
        return Copy(Path(folder), edits, extra, delete, prepare).problems(on, history)


def _shown(problems: Sequence[Problem]) -> str:
    return "\n".join(problem.headline() for problem in problems) or "(no problem at all)"


def assert_fires(
    rule: str,
    edits: Sequence[Edit] = (),
    at: tuple[str, str | None] = ("case.yml", None),
    level: Level = Level.REJECT,
    column: int | None = None,
    says: str = "",
    extra: Mapping[str, str | bytes] | None = None,
    delete: Sequence[str] = (),
    on: dt.date = ON,
    prepare: Prepare | None = None,
    history: bool = False,
) -> Problem:
    """Exactly one problem of the rule, at the only line that holds `at`'s text (None: the file as a whole).

    Its words must read as one line, hold `says`, and come with a way to mend. Gives the problem back.
    """
    with tempfile.TemporaryDirectory() as folder:
        copy = Copy(Path(folder), edits, extra, delete, prepare)
        problems = copy.problems(on, history)
        file, text = at
        line = 0 if text is None else copy.line(file, text)
    found = [problem for problem in problems if problem.rule == rule]
    assert len(found) == 1, f"{len(found)} problems of {rule}, one was needed:\n{_shown(problems)}"
    problem = found[0]
    assert (problem.span.path, problem.span.line) == (repository_path(file), line), problem.headline()
    assert problem.level is level, problem.headline()
    if column is not None:
        assert problem.span.column == column, problem.headline()
    assert says in problem.headline(), problem.headline()
    for words in (problem.found, problem.needed):
        assert words and not words.endswith(".") and "\n" not in words, problem.headline()
    assert len(problem.found) + len(problem.needed) < 260, problem.headline()
    assert problem.mend.endswith("."), problem.mend
    return problem


def assert_silent(
    rule: str,
    edits: Sequence[Edit] = (),
    extra: Mapping[str, str | bytes] | None = None,
    delete: Sequence[str] = (),
    on: dt.date = ON,
    prepare: Prepare | None = None,
    history: bool = False,
) -> None:
    """A near miss: the rule has nothing to say. The rule must exist and something must have been changed."""
    from asfound.rules import discover

    assert rule in {known.entry.name for known in discover()}, f"there is no rule {rule}"
    assert edits or extra or delete or prepare or on != ON, "nothing was changed, so silence would prove nothing"
    problems = run_with(edits, extra, delete, on, prepare, history)
    assert not [problem for problem in problems if problem.rule == rule], _shown(problems)
