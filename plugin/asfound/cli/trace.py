"""`asfound trace`."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from asfound import assess, emit
from asfound.assess.holding import cases_holding
from asfound.cli.check import choose
from asfound.cli.codepage import echo_data
from asfound.emit.as_trace import trace_json, trace_text
from asfound.model.dossier import Core
from asfound.model.trace import trace as trace_of

_ANY_DAY = dt.date(2199, 12, 31)
"""What was committed does not depend on the date of assessment; a fixed one keeps the clock out of it."""


def run_trace(ref: str, case: str | None, form: str, root: str | None) -> int:
    """Print the trace of a record; the exit code."""
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    shared = assess.open_repository(home)
    folder = _folder(shared, ref, case)
    found = assess.assess_case(shared.root, folder, _ANY_DAY, shared, history=True)
    if found.dossier is None:
        for _, said in emit.text(found.problems):
            click.echo(said, err=True)
        click.echo("The case could not be read, so nothing is told of its records.", err=True)
        return 1
    trace = trace_of(found.dossier, ref)
    core = found.dossier.core
    here = core.case.exists(ref) or ref in core.case.files or ref in core.instruments or _brought(core, ref)
    if not here and not trace.rests and not trace.steps and not trace.uncommitted and trace.known:
        raise click.UsageError(f'the case {found.dossier.id} holds no record "{ref}", and never did in this history')
    if form == "json":
        echo_data(trace_json(trace))
    elif trace.known:
        click.echo(trace_text(trace), nl=False)
    if not trace.known:
        click.echo(emit.plain(trace.why), err=True)
        return 1
    return 0


def _brought(core: Core, ref: str) -> bool:
    """Whether it is one of the limits, sets and protocols the case is held against."""
    head, _, name = ref.partition("/")
    sets, protocols = (name if head == one else "" for one in ("limits", "protocols"))
    return ref in core.limits or sets in core.sets or protocols in core.protocols


def _folder(shared: assess.Repository, ref: str, case: str | None) -> Path:
    """The case that is meant. Raises UsageError where that is not plain."""
    if case is not None:
        return choose(shared.root, case)[0]
    folders = assess.find_cases(shared.root)
    if len(folders) > 1:
        folders = cases_holding(shared, folders, ref)
        if len(folders) > 1:
            names = ", ".join(folder.relative_to(shared.root).as_posix() for folder in folders)
            raise click.UsageError(f"{ref} stands in several cases; name one with --case: {names}")
    if not folders:
        raise click.UsageError(f'no case here holds a record "{ref}", and none did in this history')
    return folders[0]
