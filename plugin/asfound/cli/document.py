"""`asfound document`."""

from __future__ import annotations

import datetime as dt
from functools import partial
from pathlib import Path

import click

from asfound import assess, document, emit, pack, pages
from asfound.cli.check import choose, read_day
from asfound.cli.places import place_of
from asfound.compare import Issued
from asfound.document import Report, Undocumentable
from asfound.model.edition import DOSSIER_FILE, FOLDER, PRESERVATION


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
        name, report = _report(home, folder, edition, draft, read_day(on))
        place = place_of(out, f"{name}.pdf", "a document", folder, home)
        place.write_bytes(document.typeset(report, paper))
    except Undocumentable as error:
        click.echo(f"No document of {emit.plain(folder.relative_to(home).as_posix())} was written:", err=True)
        for reason in error.reasons:
            click.echo(f"  {emit.plain(reason)}.", err=True)
        return 1
    except OSError as error:
        click.echo(f"No document was written: {emit.plain(str(error.strerror or error))}.", err=True)
        return 1
    click.echo(emit.plain(str(place)))
    return 0


def _report(home: Path, folder: Path, number: int | None, draft: bool, on: dt.date) -> tuple[str, Report]:
    """Name of the file without its ending, and the report. Raises Undocumentable."""
    shared = assess.open_repository(home)
    issued = assess.editions_of(shared, folder.relative_to(home).as_posix())
    if draft or (number is None and not issued):
        return _draft(shared, folder, issued, on)
    chosen = next((one for one in issued if one.record.number == number), issued[-1] if number is None else None)
    if chosen is None:
        held = ", ".join(str(one.record.number) for one in issued) or "none"
        raise Undocumentable(f"there is no edition {number} that is as it was issued (there is: {held})")
    return _edition(shared, folder, chosen, issued)


def _draft(shared: assess.Repository, folder: Path, issued: tuple[Issued, ...], on: dt.date) -> tuple[str, Report]:
    dossier = assess.assess_case(shared.root, folder, on, shared).dossier
    if dossier is None:
        raise Undocumentable("its case.yml cannot be read (asfound check says why)")
    pictures = dict(pages.pictures_of(dossier, partial(_read, folder)))
    inside = document.attachments(
        dossier.id, pack.dossier_bytes(dossier), dossier.core.case.files, partial(_read, folder)
    )
    made = pages.paper(dossier, pictures, issued=issued)
    return f"{dossier.id}-draft", Report(**vars(made), attachments=inside)


def _edition(shared: assess.Repository, folder: Path, chosen: Issued, issued: tuple[Issued, ...]) -> tuple[str, Report]:
    dossier, record = chosen.dossier, chosen.record
    text = (folder / FOLDER / str(record.number) / DOSSIER_FILE).read_bytes()
    with assess.state_of(shared, folder, record, dossier) as state:
        if state is None:
            raise Undocumentable(
                f"the files that edition {record.number} was issued for are neither in the folder, which went on "
                "since, nor in a commit of this clone"
            )
        # Nobody gave an opinion in a preservation edition, and none comes along with it by the way.
        held = [
            path for path in dossier.core.case.files if record.kind != PRESERVATION or path not in pack.OPINION_FILES
        ]
        pictures = dict(pages.pictures_of(dossier, partial(_read, state.home)))
        inside = document.attachments(dossier.id, text, held, partial(_read, state.home))
    before = tuple(one for one in issued if one.record.number <= record.number)
    made = pages.paper(dossier, pictures, issued=before, edition=chosen)
    return f"{dossier.id}-edition-{record.number}", Report(**vars(made), attachments=inside)


def _read(folder: Path, path: str) -> bytes | None:
    try:
        return (folder / path).read_bytes()
    except OSError:
        return None
