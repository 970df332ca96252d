"""The docket: what is due first, what is open, and the ways to find a case."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from jinja2 import Environment
from msgspec import Struct

from asfound.compare import Issued
from asfound.model.dossier import Dossier
from asfound.pages.across import across_pages
from asfound.pages.case_line import CaseLine, due_of, lines_of
from asfound.pages.facets import (
    DUE,
    MOST,
    NEWEST,
    Found,
    by_year,
    facet_pages,
    facet_uri,
    facets_of,
    found_by,
)
from asfound.pages.page import Options, Page, address
from asfound.pages.texts import capital, plural
from asfound.problems import Problem

URI = "index.md"
DUE_SHOWN = 5
"""Reports that wait, named on the docket; the others are on a page of their own."""
VALUES = 12
"""Values of a facet named on the docket; where there are more, its own page has them."""


class Unread(Struct, frozen=True):
    """A case whose case.yml could not be read, or the organisation's own files: only problems are known."""

    folder: str
    problems: tuple[Problem, ...]


class Part(Struct, frozen=True):
    """A list of cases on the docket: `shown` of `cases`; `more` is where the others are."""

    anchor: str
    title: str
    cases: tuple[CaseLine, ...]
    shown: tuple[CaseLine, ...]


def docket_pages(
    environment: Environment,
    dossiers: Sequence[Dossier],
    unread: Sequence[Unread],
    options: Options,
    editions: Mapping[str, Sequence[Issued]],
) -> Iterator[Page]:
    """The first page of the site, and the pages by which cases are found."""
    cases = lines_of(dossiers, editions, options)
    yield _docket(environment, cases, unread, options)
    if cases:
        yield from facet_pages(environment, cases, options)
        yield from across_pages(environment, dossiers, cases, options)


def _docket(environment: Environment, cases: Sequence[CaseLine], unread: Sequence[Unread], options: Options) -> Page:
    due = due_of(cases)
    working = _part("open", "Not yet issued", [one for one in cases if not one.reports])
    issued = _part("issued", "Issued", [one for one in cases if one.reports])
    body = environment.get_template("docket.html").render(
        parts=[part for part in (working, issued) if part.cases],
        due=due[:DUE_SHOWN],
        more_due=len(due) - DUE_SHOWN,
        unsettled=plural(sum(one.unsettled for one in cases), "case") if any(one.unsettled for one in cases) else "",
        due_uri=facet_uri(DUE),
        ways=[(facet, *_values(found_by(facet, cases))) for facet in facets_of(options)],
        years=[(year, len(mine)) for year, mine in by_year(cases)],
        count=capital(plural(len(cases), "case")),
        facet_uri=facet_uri,
        unread=unread,
        root="",
        at=lambda uri: address(uri, options.directory_urls) or "./",
        notice=options.notice,
        duties=options.duties,
    )
    return Page(URI, "Docket", body, "Docket of cases")


def _part(anchor: str, title: str, cases: list[CaseLine]) -> Part:
    shown = cases if len(cases) <= MOST else cases[:NEWEST]
    return Part(anchor, f"{title}: {plural(len(cases), 'case')}", tuple(cases), tuple(shown))


def _values(found: list[Found]) -> tuple[list[Found], int]:
    return found[:VALUES], max(0, len(found) - VALUES)
