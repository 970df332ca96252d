"""What the plugin does between two events: assess, write the pages, keep them until MkDocs asks for them."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from importlib.metadata import version
from pathlib import Path

from asfound import assess, document, pack, pages
from asfound.assess import Assessment, Means
from asfound.bridge.finished import Kept, Writer, read_below
from asfound.compare import Issued
from asfound.document import Report, Undocumentable
from asfound.model.dossier import Dossier
from asfound.pages import Made, Options, Page, Register, Unread
from asfound.problems import Level


@dataclass(frozen=True)
class Built:
    """A site, before MkDocs sees it.

    rejects is empty where nothing stands against publishing
    """

    pages: dict[str, Page]
    files: dict[str, bytes]
    assessments: tuple[Assessment, ...]

    @property
    def rejects(self) -> list[str]:
        """Every reject, as its headline."""
        return [
            problem.headline() for one in self.assessments for problem in one.problems if problem.level is Level.REJECT
        ]


def build(
    root: Path,
    cases: str,
    on: dt.date,
    options: Options,
    history: bool = True,
    means: Means | None = None,
    kept: Kept | None = None,
) -> Built:
    """Assess every case and write every page. Raises nothing for what people wrote, and Undocumentable where documents
    are asked for and one cannot be set.

    `kept` is what a process that lives on remembers from one build to the next; nothing of either changes a byte.
    """
    means = means or Means()
    kept = kept or Kept()
    found = assess.assess_cases(root, assess.find_cases(root, cases), on, history, means)
    dossiers = [one.dossier for one in found if one.dossier is not None]
    unread = [Unread(one.folder, one.problems) for one in found if one.dossier is None]
    shared = assess.open_repository(root)
    finished = Writer(shared, options, means.store, means.jobs, kept).finish(found)
    by_case = {one.dossier.id: finished[one.folder] for one in found if one.dossier is not None}
    pictures = {name: one.pictures for name, one in by_case.items()}
    editions = {name: one.issued for name, one in by_case.items()}
    register = Register(shared.book, assess.catalogue(), version("asfound"), pictures, editions, shared.reporting)
    ready = {folder: one.pages for folder, one in finished.items()}
    made = {page.uri: page for page in pages.build_site(dossiers, register, options, unread, ready)}
    files = {f"{pages.ASSETS}/{name}": data for name, data in pages.asset_files()}
    registers = [page for uri, page in made.items() if "/" not in uri and uri != "index.md"]
    files[pages.SEARCH_INDEX] = pages.search_index(dossiers, registers, options)
    files |= {one.uri: one.data for shown in pictures.values() for one in shown.values()}
    if options.documents:
        for dossier in dossiers:
            files[pages.document_uri(dossier.id)] = _document(root, dossier, pictures[dossier.id], editions[dossier.id])
    return Built(made, files, found)


def _document(root: Path, dossier: Dossier, pictures: Mapping[str, Made], issued: Sequence[Issued]) -> bytes:
    """The working copy of a case as PDF. Raises Undocumentable, the case named in each reason."""
    read = partial(read_below, root / dossier.core.case.folder)
    inside = document.attachments(dossier.id, pack.dossier_bytes(dossier), dossier.core.case.files, read)
    try:
        return document.typeset(Report(**vars(pages.paper(dossier, pictures, issued=issued)), attachments=inside))
    except Undocumentable as error:
        raise Undocumentable(*(f"{dossier.id}: {reason}" for reason in error.reasons)) from None


def day(asked: str | dt.date | None) -> dt.date:
    """The date of assessment: as asked, else SOURCE_DATE_EPOCH, else today. Raises ValueError on an unreadable one."""
    if isinstance(asked, dt.date):
        return asked
    if asked:
        return dt.date.fromisoformat(asked)
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if epoch:
        return dt.datetime.fromtimestamp(int(epoch), dt.UTC).date()
    return dt.date.today()


def source(repo_url: str | None, asked: str | None) -> str:
    """The address of a line in a browser, for the hosts whose form is known; empty where there is none."""
    if asked:
        return asked
    base = (repo_url or "").rstrip("/")
    if "://github." in base:
        return f"{base}/blob/HEAD/{{path}}#L{{line}}"
    if "://gitlab." in base:
        return f"{base}/-/blob/HEAD/{{path}}#L{{line}}"
    return ""
