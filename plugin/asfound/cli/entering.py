"""What `asfound gate` and `asfound log` share: one record written, shown, and what the check says of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import click

from asfound import assess, checked, desk, emit
from asfound.cli.check import choose, read_day
from asfound.cli.refusal import told_disk, told_refusal
from asfound.desk import Desk, OneRecord, Refused
from asfound.problems import Problem, moved


def run_entering(case: str, root: str | None, on: str | None, make: Callable[[Desk, dt.datetime], OneRecord]) -> int:
    """Write what `make` plans, print it, and say what the check now says of it; the exit code."""
    day = read_day(on)
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    home = home.resolve()
    folder = choose(home, case)[0]
    try:
        with desk.alone(folder):
            at = desk.open_desk(home, folder)
            made = make(at, now())
            before = checked.check_case(home, folder, day).problems
            desk.write_one(at, made)
    except Refused as refused:
        return told_refusal(refused)
    except OSError as error:
        return told_disk(error, "Nothing was written.")
    path = at.path(made.name)
    click.echo(f"{emit.plain(path)}:{made.line} {made.id}")
    for line in made.text:
        click.echo(f"    {emit.plain(line)}")
    _say(made, path, before, checked.check_case(home, folder, day).problems)
    return 0


def now() -> dt.datetime:
    """What the machine's clock shows, with its offset from UTC."""
    return dt.datetime.now().astimezone()


def _say(made: OneRecord, path: str, before: tuple[Problem, ...], after: tuple[Problem, ...]) -> None:
    """What the check says of the record itself, then what else moved with it."""
    change = moved(before, after)
    own = [one for one in after if one.subject == made.id or (one.span.path == path and _within(made, one))]
    if own:
        click.echo(f"The check says of {made.id}; it is written down all the same:", err=True)
    else:
        click.echo(f"The check has nothing to say of {made.id} itself.", err=True)
    known = set(own)
    for title, problems in (
        ("", own),
        (
            "With it, the check now says elsewhere:",
            [one for one in (*change.new, *change.otherwise) if one not in known],
        ),
        ("No longer said:", list(change.mended)),
    ):
        if problems and title:
            click.echo(title, err=True)
        for _, said in emit.text(problems):
            click.echo(said, err=True)


def _within(made: OneRecord, one: Problem) -> bool:
    return made.line <= one.span.line < made.line + len(made.text)
