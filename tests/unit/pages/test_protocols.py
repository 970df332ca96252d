"""The register of protocols: every test stands there once, whole, and each address leads to what it names."""

from __future__ import annotations

import posixpath
import re
from functools import cache
from html import unescape
from pathlib import Path

import pytest

from asfound.assess import catalogue, open_repository
from asfound.model.included import with_included
from asfound.model.limits import Book
from asfound.pages import Options, Page, Register, build_site

from .frozen import frozen

_ROOT = Path(__file__).parents[3]


@cache
def book() -> Book:
    return open_repository(_ROOT).book


@cache
def pages() -> dict[str, Page]:
    shared = open_repository(_ROOT)
    register = Register(shared.book, catalogue(), "0", reporting=shared.reporting)
    return {page.uri: page for page in build_site([frozen()], register, Options(directory_urls=False))}


def text(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def part(name: str, test: str) -> str:
    """What a page says of one test."""
    body = pages()[f"protocols/{name}.md"].body
    start = body.index(f'<h3 id="{test}">')
    end = body.find("<h3 ", start + 1)
    return body[start : end if end >= 0 else len(body)]


def test_every_protocol_is_listed_with_its_kinds_and_has_its_page() -> None:
    listed = pages()["protocols.md"].body
    assert {f"protocols/{name}.md" for name in book().protocols} == {
        uri for uri in pages() if uri.startswith("protocols/")
    }
    for name, one in book().protocols.items():
        assert f'href="protocols/{name}.html"' in listed
        assert all(f"<code>{kind}</code>" in listed for kind in one.device_kinds)


@pytest.mark.parametrize("name", sorted(book().protocols))
def test_a_test_stands_on_one_page_with_what_it_shows_and_what_it_cannot(name: str) -> None:
    for test, one in book().protocols[name].tests.items():
        reach = with_included((name,), book().protocols)
        holders = [one for one in reach if f'<h3 id="{test}">' in pages()[f"protocols/{one}.md"].body]
        assert holders == [name], test
        said = text(part(name, test))
        assert " ".join(one.title.split()) in said and " ".join(one.purpose.split()) in said
        if one.cannot_reach:
            assert "What it cannot show. " + " ".join(one.cannot_reach.split()) in said
        for condition in one.conditions.values():
            assert " ".join(condition.title.split()) in said, (test, condition.title)
        assert ("Alters" in said) is (one.alters.value != "none")


@pytest.mark.parametrize("name", sorted(book().protocols))
def test_every_address_of_a_protocol_leads_to_what_it_names(name: str) -> None:
    here = f"protocols/{name}.html"
    found = re.findall(r'href="([^"]+)"', pages()[f"protocols/{name}.md"].body)
    assert found
    for link in found:
        path, _, anchor = link.partition("#")
        place = posixpath.normpath(posixpath.join(posixpath.dirname(here), path)) if path else here
        target = pages()[place.removesuffix(".html") + ".md"].body
        assert not anchor or f'id="{anchor}"' in target, link


def test_the_order_of_work_holds_included_tests_at_their_place() -> None:
    body = pages()["protocols/patient-lift.md"].body
    order = re.search(r'<nav class="af-contents".*?</nav>', body, re.DOTALL)
    assert order is not None
    led = re.findall(r'href="([^"]+)"', order[0])
    assert [one.rpartition("#")[2] for one in led] == list(book().protocols["patient-lift"].order)
    assert "lifting.html#sling-fit" in led and "patient-lift.html#mast-play" in led


def test_a_limit_and_its_test_lead_to_each_other() -> None:
    assert 'href="../limits.html#iso-10535-2006--speed-unloaded"' in part("lifting", "lift-speed")
    assert 'href="protocols/lifting.html#lift-speed"' in pages()["limits.md"].body
    # What one standard asks of an incubator is not asked of a warmer whose test has a name of its own.
    led = set(re.findall(r'href="([^"]+)"', pages()["limits.md"].body))
    assert "protocols/incubator.html#cut-out-temperature" in led
    assert not any(one.endswith("warming-forced-air.html#cut-out-temperature") for one in led)
    # A test that no set speaks of says so.
    assert not any("sling-pull" in one.tests for made in book().sets.values() for one in made.limits.values())
    assert text(part("lifting", "sling-pull")).count("Limits at hand none") == 1


def test_values_say_whether_each_is_covered() -> None:
    said = text(part("lifting", "rated-load-of-part"))
    assert (
        "Part lift, spreader bar and sling; where it was so: scale, extension strap and rail (each is covered)" in said
    )
    said = text(part("lifting", "loop-holds"))
    assert "Load hung [kg] as it was (where it is known)" in said
    assert "Energy set [J] as the plan lists them (each is covered)" in text(part("defibrillator", "energy"))
    assert "Not asked where drive is by hand; emergency stop is none" in text(part("lifting", "lift-stop"))
