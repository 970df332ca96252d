"""`asfound without`."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from asfound import assess, emit
from asfound.assess.strike import strike
from asfound.cli.check import choose
from asfound.cli.codepage import echo_data
from asfound.emit.as_strike import strike_json, strike_text, strikes_json, strikes_text

_ANY_DAY = dt.date(2199, 12, 31)
"""What rests on what does not depend on the date of assessment; a fixed one keeps the clock out of it."""


def run_without(case: str, refs: tuple[str, ...], form: str, root: str | None) -> int:
    """Print what falls without some records; the exit code."""
    shared = _opened(root)
    found = assess.assess_case(shared.root, choose(shared.root, case)[0], _ANY_DAY, shared)
    if found.dossier is None:
        for _, said in emit.text(found.problems):
            click.echo(said, err=True)
        click.echo("The case could not be read, so nothing can be taken away from it.", err=True)
        return 1
    try:
        struck = strike(found.dossier, shared, refs)
    except KeyError as error:
        raise click.UsageError(
            f'the case {found.dossier.id} holds no record, instrument or role "{error.args[0]}"'
        ) from None
    if form == "json":
        echo_data(strike_json(found.dossier.id, struck))
    else:
        click.echo(strike_text(struck), nl=False)
    return 0


def run_everywhere(refs: tuple[str, ...], form: str, root: str | None) -> int:
    """Print what falls without some instruments, case by case; the exit code."""
    shared = _opened(root)
    unknown = [ref for ref in refs if ref not in shared.bench.instruments]
    if unknown:
        raise click.UsageError(f'the register .asfound/instruments.yml holds no instrument "{unknown[0]}"')
    found, unread = [], 0
    for folder in assess.find_cases(shared.root):
        one = assess.assess_case(shared.root, folder, _ANY_DAY, shared)
        if one.dossier is None:
            unread += 1
            for _, said in emit.text(one.problems):
                click.echo(said, err=True)
            continue
        used = {sheet.instrument for sheet in one.dossier.core.case.sheets.values()}
        here = tuple(ref for ref in refs if ref in used)
        if here:
            found.append((one.dossier.id, strike(one.dossier, shared, here)))
    tell = strikes_json if form == "json" else strikes_text
    click.echo(tell(refs, sorted(found, key=lambda one: (not one[1].levels, one[0]))), nl=False)
    if unread:
        click.echo(f"Cases that could not be read: {unread}. What rests on it in them is not told.", err=True)
    return 1 if unread else 0


def _opened(root: str | None) -> assess.Repository:
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    return assess.open_repository(home)
