"""`asfound status`."""

from __future__ import annotations

from pathlib import Path

import click

from asfound import assess, checked, emit
from asfound.ahead import ahead
from asfound.assess import Repository
from asfound.assess.issue import editions_of
from asfound.cli.check import choose, read_day
from asfound.cli.codepage import echo_data
from asfound.emit.as_ahead import ahead_json, ahead_text
from asfound.model.dossier import Dossier
from asfound.rules import topics

_SHOWN = 5
"""Steps of one stretch that are printed where not all are asked for."""


def run_status(case: str, form: str, everything: bool, on: str | None, root: str | None) -> int:
    """Print what to do next; the exit code."""
    day = read_day(on)
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    shared = assess.open_repository(home)
    found = checked.check_case(shared.root, choose(shared.root, case)[0], day)
    if found.dossier is None:
        for _, said in emit.text(found.problems):
            click.echo(said, err=True)
        click.echo("The case could not be read; this comes first.", err=True)
        return 1
    issued = _issued(shared, found.dossier)
    steps = ahead(found.dossier, topics(), issued)
    if form == "json":
        echo_data(ahead_json(found.dossier.id, found.folder, day, issued, steps))
    else:
        click.echo(ahead_text(found.dossier.id, day, issued, steps, 0 if everything else _SHOWN), nl=False)
    return 0


def _issued(shared: Repository, dossier: Dossier) -> str:
    """The edition that holds the case as it lies there; empty where none does."""
    for one in reversed(editions_of(shared, dossier.core.case.folder)):
        if one.record.case_digest == dossier.core.digests.case:
            return f"edition {one.record.number}"
    return ""
