"""`asfound compare`."""

from __future__ import annotations

from pathlib import Path

import click

from asfound import assess, emit
from asfound.cli.check import read_day


def run_compare(
    base: str, head: str | None, case: str | None, form: str, on: str | None, trusted: bool, most: int, root: str | None
) -> int:
    """Print what lies between two states; the exit code."""
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    try:
        change = assess.compare_revisions(home, base, head, read_day(on), case, trusted)
    except assess.NotCompared as why:
        raise click.UsageError(str(why)) from None
    if form == "md":
        said = emit.change_markdown(change, most)
    else:
        said = {"json": emit.change_json, "html": emit.change_html, "text": emit.change_text}[form](change)
    click.echo(said, nl=False)
    return 0
