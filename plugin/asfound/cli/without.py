"""`asfound without`."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from asfound import assess, emit
from asfound.cli.check import choose

_ANY_DAY = dt.date(2199, 12, 31)
"""What rests on what does not depend on the date of assessment; a fixed one keeps the clock out of it."""


def run_without(case: str, refs: tuple[str, ...], form: str, root: str | None) -> int:
    """Print what falls without some records; the exit code."""
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    shared = assess.open_repository(home)
    found = assess.assess_case(shared.root, choose(shared.root, case)[0], _ANY_DAY, shared)
    if found.dossier is None:
        for _, said in emit.text(found.problems):
            click.echo(said, err=True)
        click.echo("The case could not be read, so nothing can be taken away from it.", err=True)
        return 1
    try:
        strike = assess.strike(found.dossier, shared, refs)
    except KeyError as error:
        raise click.UsageError(
            f'the case {found.dossier.id} holds no record, instrument or role "{error.args[0]}"'
        ) from None
    if form == "json":
        click.echo(emit.strike_json(found.dossier.id, strike), nl=False)
    else:
        click.echo(emit.strike_text(strike), nl=False)
    return 0
