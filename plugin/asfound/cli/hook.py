"""`asfound hook`: what pre-commit asks. Nothing heavy is loaded unless a case has to be checked anew."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterable, Iterator
from pathlib import Path

import click

from asfound import hooks
from asfound.folders import find_root
from asfound.history import Git, GitError, Unknown, hooked, staged
from asfound.model.plain import plain
from asfound.problems import Level, Problem
from asfound.store import PlaceRefused, open_store


def run_hook_check(names: tuple[str, ...], on: str | None, fail_on: str, cache: bool, root: str | None) -> int:
    """Check the cases that files lie in; the exit code."""
    home = _home(root)
    git = _git(home)
    paths = [*_below(home, names), *_staged(git)]
    touched = hooks.touched_cases(home, paths)
    if not touched.folders:
        return 0
    day = _day(on)
    try:
        store = open_store(home, cache)
    except PlaceRefused as error:
        raise click.UsageError(str(error)) from None
    told = hooks.ToldBefore(home, day, store, git).all(touched.folders)
    if told is not None:
        for line in (line for one in told for line in one.lines):
            click.echo(line)
        heavy = {Level.REJECT.value} if fail_on == "reject" else {Level.REJECT.value, Level.WARN.value}
        return 1 if any(one.levels & heavy for one in told) else 0
    from asfound.cli.check import run_check

    # Named by their paths from here, whatever identity a case claims.
    cases = tuple(str(home / folder) for folder in touched.folders)
    return run_check(cases, "text", day.isoformat(), fail_on, str(home), history=False, cache=cache)


def run_hook_evidence(most: int, places: bool, root: str | None) -> int:
    """Look at what is staged; the exit code."""
    from asfound.hooks.incoming import look_at_incoming

    git = _git(_home(root))
    if git is None:
        raise click.UsageError("there is no git repository here, so nothing is staged")
    try:
        found = look_at_incoming(git, most * 1_048_576, places)
    except GitError as error:
        raise click.UsageError(f"git could not tell what is staged. It said: {error}") from None
    for line in _lines(found):
        click.echo(line)
    return 1 if found else 0


def _lines(found: Iterable[Problem]) -> Iterator[str]:
    for problem in found:
        yield plain(problem.headline())
        yield f"    {plain(problem.mend)}"


def _home(root: str | None) -> Path:
    if root is not None:
        home = Path(root)
        if not home.is_dir():
            raise click.UsageError(f"there is no folder {home}")
        return home.resolve()
    return find_root(Path.cwd())


def _git(home: Path) -> Git | None:
    git = Git.open(home)
    if isinstance(git, Unknown):
        return None
    try:
        return hooked(git, os.environ)
    except GitError:
        return git


def _staged(git: Git | None) -> Iterator[str]:
    """All that the commit changes: pre-commit names no file that goes, and of a merge only those with conflicts."""
    if git is None:
        return
    try:
        yield from (one.path for one in staged(git))
    except GitError:
        return


def _below(home: Path, names: Iterable[str]) -> Iterator[str]:
    here = Path.cwd()
    for name in names:
        place = Path(os.path.normpath(here / name))
        if place.is_relative_to(home):
            yield place.relative_to(home).as_posix()
        elif (real := Path(os.path.realpath(place.parent)) / place.name).is_relative_to(home):
            yield real.relative_to(home).as_posix()


def _day(on: str | None) -> dt.date:
    if on is None:
        return dt.date.today()
    try:
        return dt.date.fromisoformat(on)
    except ValueError:
        raise click.UsageError(f'--on holds "{on}"; a date such as 2026-03-19 is needed') from None
