"""`asfound explain`."""

from __future__ import annotations

import difflib
import textwrap
from pathlib import Path

import click

from asfound.assess import catalogue, find_root, open_repository
from asfound.emit import starter_yaml
from asfound.problems import Entry


def run_explain(name: str | None) -> int:
    """Print one rule, or the list of all; the exit code."""
    entries = catalogue()
    if name is None:
        width = max(len(entry.name) for entry in entries)
        for entry in entries:
            click.echo(f"{entry.name:<{width}}  {entry.level:<12}  {entry.title}")
        return 0
    if name not in entries:
        near = difflib.get_close_matches(name, [entry.name for entry in entries], n=1)
        hint = f' Did you mean "{near[0]}"?' if near else " `asfound explain` lists all."
        raise click.UsageError(f'there is no rule "{name}".{hint}')
    click.echo(page(entries[name]))
    return 0


def run_starter(name: str, root: str | None) -> int:
    """Print a starter list, or the names of all; the exit code."""
    home = Path(root) if root else find_root(Path.cwd())
    known = open_repository(home).book.starters
    if name == "list":
        width = max(len(one) for one in known)
        for one, made in known.items():
            click.echo(f"{one:<{width}}  {made.title}")
        return 0
    if name not in known:
        near = difflib.get_close_matches(name, known, n=1)
        hint = f' Did you mean "{near[0]}"?' if near else f" There are: {', '.join(known)}."
        raise click.UsageError(f'there is no starter list "{name}".{hint}')
    click.echo(starter_yaml(known[name]), nl=False)
    return 0


def page(entry: Entry) -> str:
    """A rule as text."""
    lifted = "A recorded exception can lift it." if entry.liftable else "Nothing lifts it."
    parts = [
        entry.name,
        entry.title,
        "",
        f"Level   {entry.level}, {entry.family}. {lifted if entry.level == 'reject' else ''}".rstrip(),
        *(["        Shown at work, and in nothing that is handed over."] if entry.private else []),
        _part("Reason", entry.reason),
        _part("Source", f"{entry.source} ({entry.status})"),
        _part("Mend", entry.mend),
    ]
    return "\n".join(parts)


def _part(head: str, text: str) -> str:
    return textwrap.fill(text, 92, initial_indent=f"{head:<8}", subsequent_indent=" " * 8)
