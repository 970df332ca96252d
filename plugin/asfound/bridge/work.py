"""What the plugin does between two events: assess, write the pages, keep them until MkDocs asks for them."""

from __future__ import annotations

import datetime as dt
import os
from dataclasses import dataclass
from functools import partial
from importlib.metadata import version
from pathlib import Path

from asfound import assess, pages
from asfound.assess import Assessment
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


def build(root: Path, cases: str, on: dt.date, options: Options, history: bool = True) -> Built:
    """Assess every case and write every page. Raises nothing for what people wrote."""
    found = assess.assess_cases(root, assess.find_cases(root, cases), on, history)
    dossiers = [one.dossier for one in found if one.dossier is not None]
    unread = [Unread(one.folder, one.problems) for one in found if one.dossier is None]
    pictures: dict[str, dict[str, Made]] = {}
    for dossier in dossiers:
        pictures[dossier.id] = dict(pages.pictures_of(dossier, partial(_read, root / dossier.core.case.folder)))
    shared = assess.open_repository(root)
    editions = {dossier.id: assess.editions_of(shared, dossier.core.case.folder) for dossier in dossiers}
    register = Register(shared.book, assess.catalogue(), version("asfound"), pictures, editions, shared.reporting)
    made = {page.uri: page for page in pages.build_site(dossiers, register, options, unread)}
    files = {f"{pages.ASSETS}/{name}": data for name, data in pages.asset_files()}
    registers = [page for uri, page in made.items() if "/" not in uri and uri != "index.md"]
    files[pages.SEARCH_INDEX] = pages.search_index(dossiers, registers, options)
    files |= {one.uri: one.data for shown in pictures.values() for one in shown.values()}
    return Built(made, files, found)


def _read(folder: Path, path: str) -> bytes | None:
    try:
        return (folder / path).read_bytes()
    except OSError:
        return None


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
