"""`asfound compare`."""

from __future__ import annotations

from pathlib import Path

import click

from asfound import assess
from asfound.assess.between import NotCompared, compare_revisions
from asfound.cli.check import read_day
from asfound.cli.codepage import echo_data
from asfound.emit.as_change import change_html, change_json, change_markdown, change_text


def run_compare(
    base: str, head: str | None, case: str | None, form: str, on: str | None, trusted: bool, most: int, root: str | None
) -> int:
    """Print what lies between two states; the exit code."""
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    try:
        change = compare_revisions(home, base, head, read_day(on), case, trusted)
    except NotCompared as why:
        raise click.UsageError(str(why)) from None
    if form == "text":
        click.echo(change_text(change), nl=False)
    elif form == "md":
        echo_data(change_markdown(change, most))
    else:
        echo_data({"json": change_json, "html": change_html}[form](change))
    return 0
