"""A page as handed to whoever publishes it, and the addresses of pages."""

from __future__ import annotations

import posixpath
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from asfound.model.dossier import Core, Dossier

KIND_HOME = {
    "A": "scene", "B": "work", "C": "items", "E": "evidence", "F": "findings", "G": "work",
    "H": "scene", "I": "items", "K": "timeline", "L": "scene", "M": "measurements", "N": "work",
    "P": "measurements", "Q": "problems", "R": "measurements", "S": "measurements", "T": "timeline", "U": "scene",
    "V": "inspection", "W": "accounts", "X": "findings", "Y": "measurements", "Z": "calculations",
}  # fmt: skip
"""Letter of an id → the case page it stands on. Its anchor there is the id itself. Duties (D) stand on none: they are
the facility's own and no part of a report that is handed over."""

SECTIONS: tuple[tuple[str, str], ...] = (
    ("", "Summary"),
    ("items", "Items and custody"),
    ("scene", "Scene, room, history"),
    ("accounts", "Accounts"),
    ("timeline", "Clocks and timeline"),
    ("inspection", "Inspection"),
    ("work", "Order of work"),
    ("measurements", "Measurements"),
    ("calculations", "Calculations"),
    ("findings", "Findings and explanations"),
    ("without", "What falls without what"),
    ("evidence", "Evidence"),
    ("problems", "Problems and exceptions"),
    ("changes", "Record of changes"),
    ("record", "Whole record"),
)
"""The pages of a case, in the order of a report: address below `case/<id>/`, and name."""


def sections_of(core: Core) -> tuple[tuple[str, str], ...]:
    """The pages of one case: that of its calculations only where it has any."""
    return tuple(one for one in SECTIONS if one[0] != "calculations" or core.worked)


DUTIES = ("duties", "Reporting duties")
"""The page of the facility's own duties: of the working site alone, and no part of the record."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A heading for a table of contents."""

    level: int
    anchor: str
    title: str


@dataclass(frozen=True, slots=True)
class Page:
    """A finished page: HTML for the place a theme leaves for content.

    uri      source address, `case/<id>/items.md`
    title    plain text, not escaped
    body     HTML
    search   short text for a search index; empty leaves the page out of it
    origin   the file it comes from, relative to the repository, for a link to the source
    robots   what is asked of search engines; empty asks nothing
    canonical  source address of the page that should be found in its place; empty for a page that speaks for itself
    stamp    case, edition and digest of what it shows, `return-pad-lesion sha256:…`; empty for a page of no one case
    """

    uri: str
    title: str
    body: str
    search: str = ""
    headings: tuple[Entry, ...] = ()
    origin: str = ""
    robots: str = ""
    canonical: str = ""
    stamp: str = ""


@dataclass(frozen=True, slots=True)
class Asset:
    """A file beside the pages."""

    uri: str
    data: bytes


Addresses = bool | Literal["named"]
"""True: a folder a page, `items/`. False: a file a page, `items.html`. "named": a folder a page whose file is named,
`items/index.html`, which every server and every disk leads to."""


@dataclass(frozen=True)
class Options:
    """What whoever publishes the pages decides.

    directory_urls  addresses end in `/` (served), in `.html` (read from disk), or in `/index.html` (both)
    source          address of a file and line of the repository in a browser, with `{path}` and `{line}`; empty: none
    notice          what stands above every page, as plain text
    documents       whether each case has its document beside its pages, and the first page leads to it
    printed         numbers of the editions of a case that have theirs
    duties          whether the facility's own duties are shown: on the docket, first pages, and pages of their own
    """

    directory_urls: Addresses = True
    source: str = ""
    notice: str = ""
    duties: bool = True
    documents: bool = False
    printed: tuple[int, ...] = ()


def stamp(dossier: Dossier) -> str:
    """What the head of a page says of the case it shows: identity, and the digest of the files it was made from."""
    return f"{dossier.id} {dossier.core.digests.case}"


def document_uri(case: str, edition: int = 0) -> str:
    """Where the document of a case is published, or that of an edition."""
    return f"case/{case}/edition/{edition}/{case}-edition-{edition}.pdf" if edition else f"case/{case}/{case}.pdf"


def case_uri(case: str, section: str = "") -> str:
    """Source address of a case's page."""
    return f"case/{case}/{section or 'index'}.md"


def instrument_uri(ref: str) -> str:
    """Source address of what rests on an instrument in every case."""
    return f"across/instruments/{ref}.md"


def address(uri: str, directory_urls: Addresses) -> str:
    """Where a source address is published: `case/a/items.md` → `case/a/items/` or `case/a/items.html`."""
    stem = uri.removesuffix(".md")
    folder, _, leaf = stem.rpartition("/")
    if directory_urls == "named":
        return f"{stem}.html" if leaf == "index" else f"{stem}/index.html"
    if leaf == "index":
        return f"{folder}/" if directory_urls and folder else ("" if directory_urls else f"{stem}.html")
    return f"{stem}/" if directory_urls else f"{stem}.html"


@lru_cache(maxsize=4096)
def relative(target: str, here: str, directory_urls: Addresses) -> str:
    """A link from the page `here` to the page `target`, both source addresses."""
    there, at = address(target, directory_urls), address(here, directory_urls)
    base = at if at.endswith("/") or not at else posixpath.dirname(at)
    found = posixpath.relpath("/" + there, "/" + base)
    return f"{found}/" if there.endswith("/") or not there else found


def asset_link(target: str, here: str, directory_urls: Addresses) -> str:
    """A link from a page to a file."""
    at = address(here, directory_urls)
    base = at if at.endswith("/") or not at else posixpath.dirname(at)
    return posixpath.relpath("/" + target, "/" + base)


Href = Callable[[str], str]
"""Id of a record → its address from the page at hand; empty where it has none."""
