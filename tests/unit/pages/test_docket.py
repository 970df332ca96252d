"""The docket and the pages by which cases are found: one case, many cases, and what is due."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from functools import cache
from html import unescape

import pytest

from asfound.model.dossier import Dossier
from asfound.model.duties import Duties
from asfound.model.limits import Book
from asfound.pages import Options, Page, Register, build_site
from asfound.pages.facets import FACETS, MOST, NEWEST
from asfound.problems import Catalogue, Level, Problem, Span

from .frozen import frozen
from .many import KINDS, many

NONE = Register(Book(sets={}, protocols={}), Catalogue(), "0")


def pages(dossiers: list[Dossier], options: Options | None = None) -> dict[str, Page]:
    """The docket's pages, by address."""
    found = build_site(dossiers, NONE, options or Options())
    return {page.uri: page for page in found if page.uri == "index.md" or page.uri.startswith("docket/")}


@cache
def big() -> dict[str, Page]:
    """Of five hundred cases. Other pages are not asked for: the docket comes first."""
    found = {}
    for page in build_site(many(500), NONE, Options()):
        if page.uri.startswith("case/"):
            break
        found[page.uri] = page
    return found


def listed(page: Page) -> list[str]:
    """The cases a page lists, in its order."""
    return re.findall(r'class="af-title" href="[^"]*case/([^/]+)/', page.body)


def test_one_case_is_one_line_and_stands_under_each_of_its_words() -> None:
    found = pages([frozen()])
    assert listed(found["index.md"]) == ["base"]
    for facet in FACETS:
        own = [uri for uri in found if re.fullmatch(rf"docket/{facet.name}/(?!index)[^/]+\.md", uri)]
        assert len(own) == 1, own
        assert listed(found[own[0]]) == ["base"]
        assert f'href="{own[0].removesuffix(".md")}/"' in found["index.md"].body


def test_a_site_without_cases_says_what_a_case_is() -> None:
    found = pages([])
    assert list(found) == ["index.md"]
    assert "There is no case yet" in found["index.md"].body


def test_of_five_hundred_cases_the_docket_lists_the_newest_and_counts_all() -> None:
    docket = big()["index.md"]
    newest = [f"case-{number:03d}" for number in range(499, 499 - NEWEST, -1)]
    assert listed(docket) == newest
    assert "500 cases in this repository" in docket.body
    counted = re.findall(r'href="docket/event/([^"/]+)/">[^<]*</a> <span class="af-soft">(\d+)', docket.body)
    wanted = Counter(str(KINDS[number % len(KINDS)]).replace(" ", "-") for number in range(500))
    assert dict(wanted) == {slug: int(count) for slug, count in counted}


@pytest.mark.parametrize("facet", [facet.name for facet in FACETS])
def test_every_case_is_found_by_every_facet_and_on_no_page_twice(facet: str) -> None:
    found: Counter[str] = Counter()
    for uri, page in big().items():
        parts = uri.removesuffix(".md").split("/")
        if parts[:2] != ["docket", facet] or parts[2] == "index":
            continue
        cases = listed(page)
        assert len(cases) == len(set(cases)), uri
        split = len(parts) == 3 and any(other.startswith(f"{uri.removesuffix('.md')}/") for other in big())
        if split:
            assert len(cases) == NEWEST
        else:
            assert len(parts) == 4 or len(cases) <= MOST
            found.update(cases)
    assert found == Counter(f"case-{number:03d}" for number in range(500))


def test_a_list_by_year_holds_that_year_alone_under_its_months() -> None:
    page = big()["docket/status/in-review/2024.md"]
    days = re.findall(r", (\d{4}-\d\d)-\d\d \(", page.body)
    heads = re.findall(r'<h2 id="events-([^"]+)">', page.body)
    assert {day[:4] for day in days} == {"2024"}
    assert list(dict.fromkeys(days)) == heads == sorted(heads, reverse=True)


def test_every_link_of_these_pages_leads_to_a_page_of_the_site() -> None:
    """By the rules of addresses alone: no page is rendered for it."""
    known = {uri.removesuffix("index.md").removesuffix(".md").rstrip("/") for uri in big()}
    for uri, page in big().items():
        here = uri.removesuffix("index.md").removesuffix(".md").rstrip("/").split("/") if uri != "index.md" else []
        for href in re.findall(r'href="([^"#]+)', page.body):
            path = list(here)
            for step in unescape(href).split("/"):
                if step == "..":
                    path.pop()
                elif step not in {"", "."}:
                    path.append(step)
            target = "/".join(path)
            assert target in known or re.fullmatch(r"case/case-\d{3}(/[a-z]+)?", target), (uri, href, target)


def test_what_a_list_says_of_a_title_is_escaped() -> None:
    core = frozen().core
    head = core.case.head.model_copy(update={"title": "<b>bold</b> & </script>"})
    hostile = replace(frozen(), core=replace(core, case=replace(core.case, head=head)))
    for page in pages([hostile]).values():
        assert "<b>bold" not in page.body and "</script>" not in page.body
    assert "&lt;b&gt;bold" in pages([hostile])["index.md"].body


def test_a_site_that_shows_no_duties_has_no_page_of_what_is_due() -> None:
    found = pages([frozen()], Options(duties=False))
    assert not [uri for uri in found if uri.startswith("docket/due")]
    assert "What is due" not in found["index.md"].body
    assert "docket/due" not in found["index.md"].body


def test_the_docket_gives_no_all_clear_while_a_case_has_reminders_about_reporting() -> None:
    clock = Problem("duty-clock-not-set", Level.NEEDED, Span("cases/x/duties.yml", 1), "found", "needed")
    assert "No report of the facility is waiting to be sent." in pages([frozen()])["index.md"].body
    body = pages([replace(frozen(), duties=Duties(problems=(clock,)))])["index.md"].body
    assert "waiting to be sent" not in body
    assert "What is owed is not settled in one case" in body
    hidden = pages([replace(frozen(), duties=Duties(problems=(clock,)))], Options(duties=False))
    assert "not settled" not in hidden["index.md"].body
