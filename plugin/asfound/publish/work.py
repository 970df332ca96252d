"""What comes before any engine: assess every case, write every page."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Sequence
from functools import partial
from importlib.metadata import version
from pathlib import Path

from msgspec import Struct, structs

from asfound import assess, pages
from asfound.assess import Assessment, Means
from asfound.pages import Command, Options, Page, Parquet, Register, Unread
from asfound.problems import Level
from asfound.publish.documents import Shelf
from asfound.publish.finished import Kept, Writer, write_beside
from asfound.publish.stamp import SITE, stamp_of
from asfound.table import TABLES


class Built(Struct, frozen=True):
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
    commands: Sequence[Command] = (),
) -> Built:
    """Assess every case and write every page. Raises nothing for what people wrote, and Undocumentable where documents
    are asked for and one cannot be set.

    `kept` is what a process that lives on remembers from one build to the next; nothing of either changes a byte.
    `commands` are what the command line says of itself, for the manual.
    """
    means = means or Means()
    kept = kept or Kept()
    if not options.documents:
        # Which editions have a document is seen once all cases are read, and stands on their pages.
        means = structs.replace(means, beside=partial(write_beside, options, means.store), done={})
    found = assess.assess_cases(root, assess.find_cases(root, cases), on, history, means)
    dossiers = [one.dossier for one in found if one.dossier is not None]
    unread = [Unread(one.folder, one.problems) for one in found if one.dossier is None]
    shared = assess.open_repository(root)
    shelf = Shelf(shared, means.store, kept)
    editions = {one.folder: shelf.editions(one) for one in found} if options.documents else {}
    printed = {folder: tuple(held) for folder, held in editions.items()}
    finished = Writer(shared, options, means.store, means.jobs, kept, printed, means.done).finish(found)
    by_case = {one.dossier.id: finished[one.folder] for one in found if one.dossier is not None}
    pictures = {name: one.pictures for name, one in by_case.items()}
    issued = {name: one.issued for name, one in by_case.items()}
    register = Register(
        shared.book, assess.catalogue(), version("asfound"), pictures, issued, shared.reporting, commands, _tables()
    )
    ready = {folder: one.pages for folder, one in finished.items()}
    made = {page.uri: page for page in pages.build_site(dossiers, register, options, unread, ready)}
    files = {f"{pages.ASSETS}/{name}": data for name, data in pages.asset_files()}
    registers = [page for uri, page in made.items() if _general(uri)]
    files[pages.SEARCH_INDEX] = pages.search_index(dossiers, registers, options)
    files |= {one.uri: one.data for shown in pictures.values() for one in shown.values()}
    if options.documents:
        for one in found:
            if one.dossier is not None:
                name = one.dossier.id
                files[pages.document_uri(name)] = shelf.draft(one, one.dossier, pictures[name], issued[name])
                files |= {pages.document_uri(name, number): data for number, data in editions[one.folder].items()}
        shelf.close()
    states = {one.id: one.core.digests.case for one in dossiers}
    files[SITE] = stamp_of(on, options, history, states).pack()
    return Built(made, files, found)


def _general(uri: str) -> bool:
    """Whether a page is of no case: a register, or a chapter of the manual."""
    return uri != "index.md" and ("/" not in uri or uri.startswith("manual/"))


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


def _tables() -> tuple[Parquet, ...]:
    """The tables for other programs, by the very list they are written from."""
    return tuple(
        Parquet(one.name, one.meaning, tuple((each.name, str(each.kind), each.meaning) for each in one.columns))
        for one in TABLES
    )
