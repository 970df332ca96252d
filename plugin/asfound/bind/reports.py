"""The report a document is set from: the record as the site writes it, its pictures, and what lies inside the PDF."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path

from msgspec import structs

from asfound import document, pack, pages
from asfound.bind.chosen import Taken
from asfound.compare import Issued
from asfound.document import Report
from asfound.model.dossier import Dossier
from asfound.model.edition import DOSSIER_FILE, FOLDER, PRESERVATION
from asfound.pages import Made


def draft_report(folder: Path, dossier: Dossier, pictures: Mapping[str, Made], issued: Sequence[Issued]) -> Report:
    """The report of a working copy, whose files lie in `folder`."""
    inside = document.attachments(
        dossier.id, pack.dossier_bytes(dossier), dossier.core.case.files, partial(readable, folder)
    )
    return Report(**structs.asdict(pages.paper(dossier, pictures, issued=issued)), attachments=inside)


def edition_report(taken: Taken) -> Report:
    """The report of an edition, from its frozen dossier and the files it was issued for."""
    assert taken.edition is not None
    dossier, record, home = taken.dossier, taken.edition.record, taken.state.home
    text = (taken.folder / FOLDER / str(record.number) / DOSSIER_FILE).read_bytes()
    # Nobody gave an opinion in a preservation edition, and none comes along with it by the way.
    held = [path for path in dossier.core.case.files if record.kind != PRESERVATION or path not in pack.OPINION_FILES]
    inside = document.attachments(dossier.id, text, held, partial(readable, home))
    pictures = dict(pages.pictures_of(dossier, partial(readable, home)))
    made = pages.paper(dossier, pictures, issued=taken.issued, edition=taken.edition)
    return Report(**structs.asdict(made), attachments=inside)


def report_of(taken: Taken) -> Report:
    """The report of whichever state was taken."""
    if taken.edition is not None:
        return edition_report(taken)
    pictures = dict(pages.pictures_of(taken.dossier, partial(readable, taken.folder)))
    return draft_report(taken.folder, taken.dossier, pictures, taken.issued)


def readable(folder: Path, path: str) -> bytes | None:
    """The bytes of a file below a folder; None where they cannot be read."""
    try:
        return (folder / path).read_bytes()
    except OSError:
        return None
