"""`asfound document`."""

from __future__ import annotations

from pathlib import Path

import click

from asfound import assess, bind, document, emit
from asfound.cli.check import choose, read_day
from asfound.cli.places import place_of
from asfound.document import Undocumentable


def run_document(
    case: str, edition: int | None, draft: bool, out: str | None, paper: str, on: str | None, root: str | None
) -> int:
    """Write a document, or say why not; the exit code."""
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    home = home.resolve()
    folder = choose(home, case)[0]
    try:
        with bind.opened(assess.open_repository(home), folder, edition, draft, read_day(on)) as taken:
            name = f"{taken.dossier.id}-{f'edition-{taken.edition.record.number}' if taken.edition else 'draft'}"
            report = bind.report_of(taken)
        place = place_of(out, f"{name}.pdf", "a document", folder, home)
        place.write_bytes(document.typeset(report, paper))
    except (bind.NotThere, Undocumentable) as error:
        click.echo(f"No document of {emit.plain(folder.relative_to(home).as_posix())} was written:", err=True)
        for reason in error.reasons if isinstance(error, Undocumentable) else (str(error),):
            click.echo(f"  {emit.plain(reason)}.", err=True)
        return 1
    except OSError as error:
        click.echo(f"No document was written: {emit.plain(str(error.strerror or error))}.", err=True)
        return 1
    click.echo(emit.plain(str(place)))
    return 0
