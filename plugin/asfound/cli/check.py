"""`asfound check`."""

from __future__ import annotations

import datetime as dt
import difflib
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Literal

import click

from asfound import assess, checked, emit
from asfound.assess import Assessment, Faulted, Means, NoScheduler, OtherProgram
from asfound.cli.codepage import echo_data
from asfound.hooks import BENCH
from asfound.problems import Level, Problem
from asfound.store import PlaceRefused, open_store

_STYLE = {Level.REJECT: "bold red", Level.WARN: "yellow", Level.NEEDED: "cyan", Level.NOTE: "dim"}


def run_check(
    cases: tuple[str, ...],
    form: str | None,
    on: str | None,
    fail_on: str,
    root: str | None,
    history: bool = True,
    cache: bool = True,
    jobs: int = 0,
    scheduler: str = "",
) -> int:
    """Check and print; the exit code."""
    day = read_day(on)
    home, folders = _folders(cases, root)
    found, faults = assessed(home, folders, day, history, cache, jobs, scheduler)
    form = form or ("github" if os.environ.get("GITHUB_ACTIONS") == "true" else "text")
    heavy = {Level.REJECT} if fail_on == "reject" else {Level.REJECT, Level.WARN}
    everything = [problem for one in found for problem in one.problems]
    if form == "json":
        from importlib.metadata import version

        from asfound.emit.as_json import as_json

        private = {one.folder: one.private for one in found if one.private}
        said = as_json({one.folder: one.problems for one in found}, day.isoformat(), version("asfound"), private)
        echo_data(said)
    elif form == "github":
        _print_for_host(found, everything)
    elif form in ("gitlab", "junit", "sarif", "markdown"):
        echo_data(_report(form, found, heavy))
    else:
        _print(found)
    _faults(faults)
    if faults:
        return 3
    return 1 if any(problem.level in heavy for problem in everything) else 0


def _faults(faults: tuple[tuple[str, Exception], ...]) -> None:
    """Tell the faults of the program. What was found in the other cases stands above: one fault hides no other case."""
    for folder, error in faults:
        said = f"{type(error).__name__}: {emit.plain(str(error))}"
        click.echo(
            f"asfound met a fault of its own in {emit.plain(folder)}: {said}\n"
            "Nothing was changed. Run again with --debug and report what it prints.",
            err=True,
        )


def _folders(cases: tuple[str, ...], root: str | None) -> tuple[Path, list[Path]]:
    """The repository, and the cases that are named, or all. Raises UsageError where there is none."""
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    folders = [chosen for name in cases for chosen in choose(home, name)] if cases else list(assess.find_cases(home))
    if not folders:
        told_no_case(home)
    return home, list(dict.fromkeys(folders))


def told_no_case(home: Path) -> int:
    """Say that there is no case yet, which is no fault: exit code 0. Raises UsageError where cases are looked for."""
    if not _begun(home):
        raise click.UsageError(
            f"no case was found below {_shown(home / 'cases')}: a case is a folder that holds a case.yml. "
            "Name one, or run this where the cases are"
        )
    click.echo("There is no case yet below cases/: asfound new opens one.", err=True)
    return 0


def _begun(home: Path) -> bool:
    """Whether this is a repository as `asfound init` leaves it before its first case: nothing lies below cases/.

    A folder that holds anything but a case.yml is a case that lost it, and must not pass for none.
    """
    cases = home / "cases"
    return (home / BENCH).is_dir() and cases.is_dir() and all(one.name == ".gitkeep" for one in cases.iterdir())


def run_watch(
    cases: tuple[str, ...],
    on: str | None,
    fail_on: str,
    root: str | None,
    history: bool,
    cache: bool,
    jobs: int,
    scheduler: str,
) -> int:
    """Check, print all, and then what comes and goes until somebody stops it; the exit code of the last state."""
    from asfound.cli.main import stay
    from asfound.cli.watch import Watch, look

    stay()
    day = read_day(on)
    home, folders = _folders(cases, root)
    home = home.resolve()

    def watched() -> list[Path]:
        there = folders if cases else list(assess.find_cases(home))
        return [folder.resolve() for folder in there if (folder / "case.yml").is_file()]

    def read(these: Sequence[Path]) -> tuple[Assessment, ...]:
        # A watch may run past midnight.
        when = day if on is not None else dt.date.today()
        found, faults = assessed(home, list(these), when, history, cache, jobs, scheduler)
        _faults(faults)
        return found

    watch = Watch(home, watched, read)
    heavy = {Level.REJECT} if fail_on == "reject" else {Level.REJECT, Level.WARN}
    try:
        first = look(home, watched())
        found = read(watched())
        _print(found)
        watch.begin(found)
        click.echo(f"Watching {len(found)} {'case' if len(found) == 1 else 'cases'}; Ctrl-C ends it.", err=True)
        watch.run(first)
    except KeyboardInterrupt:
        click.echo("Watching ended.", err=True)
    return 1 if any(one.level in heavy for said in watch.said.values() for one in said.problems) else 0


def _report(form: str, found: tuple[Assessment, ...], heavy: set[Level]) -> str:
    """The report a host or another program takes. What concerns the facility's own duties is in none of them."""
    # Each is loaded where it is asked for: a check at the bench waits for none of them.
    if form == "markdown":
        from asfound.emit.as_summary import github_summary

        return github_summary(problem for one in found for problem in one.problems)
    from asfound.emit.told import Told

    told = [Told(one.folder, one.dossier.id if one.dossier else one.folder, one.problems) for one in found]
    if form == "junit":
        from asfound.emit.as_junit import junit

        return junit(told, heavy)
    if form == "gitlab":
        from asfound.emit.as_gitlab import gitlab

        return gitlab(told)
    from importlib.metadata import version

    from asfound.emit.as_sarif import sarif

    return sarif(told, assess.catalogue(), version("asfound"))


def assessed(
    home: Path, folders: list[Path], day: dt.date, history: bool, cache: bool, jobs: int, scheduler: str
) -> tuple[tuple[Assessment, ...], tuple[tuple[str, Exception], ...]]:
    """The cases that could be assessed, and the faults of the program that were met in others."""
    try:
        means = Means(open_store(home, cache), jobs, scheduler)
        return checked.check_cases(home, folders, day, history, means), ()
    except (PlaceRefused, NoScheduler) as error:
        raise click.UsageError(str(error)) from None
    except OtherProgram as error:
        raise click.UsageError(f"{error} than this one; give all of them the same") from None
    except Faulted as error:
        if "--debug" in sys.argv:
            raise error.faults[0][1] from None
        return error.found, error.faults


def read_day(on: str | None) -> dt.date:
    """The day of assessment. Raises UsageError on a date nobody can read."""
    if on is None:
        return dt.date.today()
    try:
        return dt.date.fromisoformat(on)
    except ValueError:
        raise click.UsageError(f'--on holds "{on}"; a date such as 2026-03-19 is needed') from None


def choose(root: Path, name: str) -> list[Path]:
    """The folder a CASE argument names: a path, or the identity of a case below cases/."""
    for candidate in (Path(name), root / name):
        head = candidate if candidate.name == "case.yml" else candidate / "case.yml"
        if os.path.isfile(head):  # noqa: PTH113  # the method raises on a name too long to be one
            folder = head.resolve().parent
            if not folder.is_relative_to(root.resolve()):
                raise click.UsageError(f"{name} lies outside the repository {_shown(root)}; name it with --root")
            return [folder]
    known = {folder: (folder.name, _identity(folder)) for folder in assess.find_cases(root)}
    for folder, names in known.items():
        if name in names:
            return [folder]
    near = difflib.get_close_matches(name, {one for names in known.values() for one in names if one}, n=1)
    hint = f'. Did you mean "{near[0]}"?' if near else ""
    raise click.UsageError(
        f'there is no case "{name}": no such folder with a case.yml, and no case with that identity{hint}'
    )


def _identity(folder: Path) -> str:
    for line in (folder / "case.yml").read_text("utf-8", errors="replace").splitlines():
        if line.startswith("case:"):
            return line.partition(":")[2].split("#")[0].strip().strip("\"'")
    return ""


def _shown(path: Path) -> str:
    try:
        return path.resolve().relative_to(Path.cwd()).as_posix() or "."
    except ValueError:
        return str(path)


def _print_for_host(found: tuple[Assessment, ...], everything: list[Problem]) -> None:
    """The whole log as text, which the host must not read as commands; the commands; the summary where one is kept."""
    from asfound.emit.as_github import github, quiet
    from asfound.emit.as_summary import github_summary

    lines = [line for one in found for _, line in checked.lines_of(one)]
    before, after = quiet("\n".join(lines))
    echo_data("".join(f"{line}\n" for line in (before, *lines, after, *github(everything))))
    summary = os.environ.get("GITHUB_STEP_SUMMARY")
    if not summary:
        return
    try:
        with Path(summary).open("a", encoding="utf-8") as file:
            file.write(github_summary(everything))
    except OSError as error:
        # The log above holds everything; a summary nobody could write must not decide about a case.
        click.echo(f"The summary could not be written: {emit.plain(str(error))}", err=True)


def _print(found: tuple[Assessment, ...]) -> None:
    """Everything to standard output, plain where it is not a terminal or NO_COLOR is set (to anything but nothing)."""
    if not sys.stdout.isatty() and not os.environ.get("FORCE_COLOR"):
        # A pipe or a file gets the same lines without the library that colours them.
        for one in found:
            for _, said in checked.lines_of(one):
                print(said)
        return
    from rich.console import Console
    from rich.text import Text

    colours: Literal["auto"] | None = None if os.environ.get("NO_COLOR") else "auto"
    console = Console(soft_wrap=True, highlight=False, emoji=False, markup=False, file=sys.stdout, color_system=colours)
    for one in found:
        for problem, said in checked.lines_of(one):
            console.print(said if problem is None else _styled(problem, said, Text))


def _styled(problem: Problem, said: str, text: type) -> object:
    line = text(said)
    start = len(emit.plain(str(problem.span))) + 1
    line.stylize(_STYLE[problem.level], start, start + len(str(problem.level)))
    return line
