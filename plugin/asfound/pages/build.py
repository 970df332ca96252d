"""From dossiers to finished pages: the one call a publisher makes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec import Struct, field

from asfound.compare import Issued
from asfound.model.dossier import Dossier
from asfound.model.limits import Book
from asfound.model.reporting import Reporting
from asfound.pages.assets import shipped
from asfound.pages.docket import Unread, docket_pages
from asfound.pages.editions import edition_pages
from asfound.pages.formats import Parquet, formats_page
from asfound.pages.manual import Command, manual_pages
from asfound.pages.page import DUTIES, Options, Page, asset_link, case_uri, sections_of, stamp
from asfound.pages.pictures import Made, Picture
from asfound.pages.protocols import protocol_pages
from asfound.pages.register import register_pages
from asfound.pages.render import environment, framed, headings, render_record, render_section
from asfound.pages.reporting import reporting_page
from asfound.pages.texts import Texts
from asfound.pages.view import CaseView
from asfound.problems import Catalogue

__all__ = [
    "ASSETS",
    "Register",
    "Unread",
    "asset_files",
    "build_site",
    "case_pages",
    "environment",
    "headings",
    "pages_of_case",
]

ASSETS = "assets/asfound"
"""Where the shipped files are published, relative to the site."""


class Register(Struct, frozen=True):
    """What belongs to the program and the organisation rather than to a case."""

    book: Book
    catalogue: Catalogue
    version: str
    pictures: Mapping[str, Mapping[str, Made]] = field(default_factory=dict)
    """Pictures by case and evidence id."""
    editions: Mapping[str, Sequence[Issued]] = field(default_factory=dict)
    """Editions by case, oldest first."""
    reporting: Reporting = field(default_factory=Reporting)
    """Duties to report, and the list of codes."""
    commands: Sequence[Command] = ()
    """What the command line says of itself: whoever publishes hands it in."""
    parquet: Sequence[Parquet] = ()
    """The tables that other programs can be given, likewise."""


def build_site(
    dossiers: Sequence[Dossier],
    register: Register,
    options: Options,
    unread: Sequence[Unread] = (),
    ready: Mapping[str, Sequence[Page]] | None = None,
) -> Iterator[Page]:
    """Every page of the site: docket, cases, registers. The same input gives the same bytes.

    `ready` are the pages of cases that were written before, by the folder of the case.
    """
    yield from docket_pages(environment(), dossiers, unread, options, register.editions)
    for dossier in dossiers:
        if ready is not None and dossier.core.case.folder in ready:
            yield from ready[dossier.core.case.folder]
            continue
        pictures, issued = register.pictures.get(dossier.id, {}), register.editions.get(dossier.id, ())
        yield from pages_of_case(dossier, pictures, options, issued)
    yield formats_page(environment(), options, register.parquet)
    yield reporting_page(environment(), register.reporting, options)
    yield from manual_pages(environment(), register.commands, options)
    yield from protocol_pages(environment(), register.book, options)
    yield from register_pages(environment(), register.book, register.catalogue, register.version, dossiers, options)


def pages_of_case(
    dossier: Dossier, pictures: Mapping[str, Made], options: Options, issued: Sequence[Issued] = ()
) -> Iterator[Page]:
    """The pages of one case and those of its editions. They rest on these four and on no other case."""
    yield from case_pages(dossier, pictures, options, issued)
    yield from edition_pages(dossier, issued, pictures, options)


def case_pages(
    dossier: Dossier, pictures: Mapping[str, Made], options: Options, issued: Sequence[Issued] = ()
) -> Iterator[Page]:
    """The pages of one case."""
    case, texts = dossier.core.case, Texts(dossier)
    for section, name in (*sections_of(dossier.core), *((DUTIES,) if options.duties else ())):
        uri = case_uri(case.id, section)
        shown = {
            ref: Picture(asset_link(made.uri, uri, options.directory_urls), made.width, made.height)
            for ref, made in pictures.items()
        }
        single = section == "record"
        view = CaseView(dossier, section, options, shown, single=single, issued=issued, texts=texts)
        title = case.head.title if section in {"", "record"} else name
        body = render_record(view) if single else render_section(view, section or "summary")
        page = framed(view, section, title, body, options.notice)
        yield Page(
            uri,
            case.head.title if not section else f"{name} · {case.head.title}",
            page,
            _search(dossier, texts) if not section else "",
            headings(body),
            f"{case.folder}/case.yml",
            stamp=stamp(dossier),
        )


def _search(dossier: Dossier, texts: Texts) -> str:
    """What a search must find of a case: title, devices, serials, findings; not the tables of numbers."""
    case = dossier.core.case
    words = [case.head.title, case.id, str(case.head.event.kind)]
    for item in case.items.values():
        words += [item.what, *(value for value in (item.model, item.serial, item.lot) if isinstance(value, str))]
    words += [texts.plain(finding.text) for finding in case.findings.values()]
    return " ".join(dict.fromkeys(words))[:1800]


def asset_files() -> Iterable[tuple[str, bytes]]:
    """The shipped files, by their path below the assets folder."""
    return shipped()
