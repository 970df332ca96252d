"""`asfound tags`."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from asfound import assess, emit
from asfound.cli.check import choose
from asfound.cli.files import write_whole
from asfound.pages.tags import NoCodesError, tags_html, tags_of

_ANY_DAY = dt.date(2199, 12, 31)
"""A tag says nothing that depends on the date of assessment; a fixed one keeps the clock out of it."""


def run_tags(name: str, out: str, items: tuple[str, ...], replace: bool, root: str | None) -> int:
    """Write the sheet; the exit code."""
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    (folder,) = choose(home, name)
    target = Path(out)
    _check_target(target, home, replace)
    found = assess.assess_case(home, folder, _ANY_DAY)
    if found.dossier is None:
        for _, said in emit.text(found.problems):
            click.echo(said, err=True)
        click.echo("The case could not be read, and no tag was written.", err=True)
        return 1
    case = found.dossier.core.case
    unknown = [ref for ref in items if ref not in case.items]
    if unknown:
        raise click.UsageError(f"{case.id} has no item {', '.join(unknown)}; it has {', '.join(case.items) or 'none'}")
    tags = tags_of(found.dossier, items)
    if not tags:
        click.echo(f"{case.id} has no impounded item, and no tag was written.", err=True)
        return 1
    try:
        text = tags_html(tags, case.head.title)
    except NoCodesError:
        raise click.UsageError(
            'the codes on the tags need one more library: pip install "asfound[tags]", then run this again'
        ) from None
    write_whole(target, text.encode("utf-8"))
    click.echo(f"{len(tags)} {'tag' if len(tags) == 1 else 'tags'} written to {out}.", err=True)
    return 0


def _check_target(target: Path, home: Path, replace: bool) -> None:
    if not target.parent.is_dir():
        raise click.UsageError(f"there is no folder {target.parent} to write into")
    if target.is_dir() or (target.exists() and not target.is_file()):
        raise click.UsageError(f"{target} is no file; name the file to write")
    place = target.resolve()
    inside = next((one for one in place.parents if (one / "case.yml").is_file()), None)
    if inside is not None and inside.is_relative_to(home.resolve()):
        raise click.UsageError(
            f"{target} lies in the folder of a case, whose files are evidence; name a place outside it"
        )
    if target.exists() and not replace:
        raise click.UsageError(f"{target} is there already; name another file, or add --replace")
