"""The search of a built site in a real browser: served, and from disk with the network cut."""

from __future__ import annotations

import functools
import http.server
import json
import re
import threading
from collections.abc import Iterator
from typing import Any

import pytest

from tests.conftest import BROWSER

from .support import Site

INDEX = "assets/asfound/asfound-index.js"
MOST = 2000
"""Bytes a case: the bound that was set."""


def told(site: Site) -> dict[str, Any]:
    """The index as data."""
    text = site.files[INDEX].read_text("utf-8")
    return json.loads(text.removeprefix("window.afIndex=").rstrip().removesuffix(";"))


def runs(leaves: str) -> Iterator[str]:
    for leaf in leaves.split(","):
        low, _, high = leaf.partition(":")
        yield from (str(at) for at in range(int(low), int(high) + 1)) if high else (low,)


def ids(text: str) -> Iterator[str]:
    """Every id of a case's list, written out."""
    for group in text.split(" "):
        letter, leaves = group[0], group[1:]
        if letter != "S":
            yield from (f"{letter}-{leaf}" for leaf in runs(leaves))
            continue
        for sheet in leaves.split(","):
            name, _, rows = sheet.partition(":")
            yield f"S-{name}"
            yield from (f"R-{name}-{at}" for at in range(1, int(rows or 0) + 1))


def test_the_index_of_the_nine_cases_is_small_enough(demo: Site) -> None:
    data = told(demo)
    assert len(data["cases"]) == 9
    bare = {**data, "pages": [], "home": {}, "common": ""}
    assert len(json.dumps(bare, ensure_ascii=False, separators=(",", ":")).encode()) <= 9 * MOST


def test_every_id_it_names_stands_on_the_page_it_leads_to_and_so_does_every_text(demo: Site) -> None:
    data, missing, seen = told(demo), [], 0
    for case, _, _, things, findings, named in data["cases"]:
        pages = {
            home: demo.page(f"case/{case}/{home}") for home in set(data["home"].values()) if home != "calculations"
        }
        anchors = {ref for page in pages.values() for ref in page.ids} | set(demo.page(f"case/{case}/record").ids)
        for ref in ids(named):
            seen += 1
            if ref not in anchors:
                missing.append(f"{case} {ref}")
        shown = " ".join(demo.page(f"case/{case}/items").all("body")[0].text.split())
        for ref, text in things:
            assert ref in pages["items"].ids
            for part in text.split(", ")[1:]:
                assert part.removeprefix("serial ").removeprefix("lot ") in shown, (case, ref, part)
        assert {f"F-{leaf}" for leaf in runs(findings[0])} <= set(pages["findings"].ids)
        assert len(findings[1].split(" ")) == len(list(runs(findings[0])))
    assert seen > 1200
    assert not missing, missing[:30]


def test_neither_theme_keeps_a_second_search(demo: Site, plain: Site, disk: Site) -> None:
    for site in (demo, plain, disk):
        assert "search/search_index.json" not in site.files
        page = site.pages["index.html"].source
        assert "md-search" not in page and "mkdocs_search_modal" not in page


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    from playwright import sync_api as playwright

    with playwright.sync_playwright() as p:
        found = p.chromium.launch(executable_path=str(BROWSER), args=["--no-sandbox", "--disable-gpu"])
        yield found
        found.close()


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing."""


@pytest.fixture(params=["served", "disk", "plain-disk"])
def address(request: pytest.FixtureRequest) -> Iterator[str]:
    """The docket of the base case, in three ways; from disk there is no network."""
    if request.param != "served":
        site: Site = request.getfixturevalue("_built")(request.param)
        yield (site.folder / "index.html").as_uri()
        return
    site = request.getfixturevalue("demo")
    handler = functools.partial(_Quiet, directory=str(site.folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{server.server_address[1]}/"
        server.shutdown()
        thread.join()


def looked(page: Any, words: str) -> str:
    """Type words, and read what is said of what was found."""
    page.fill("#af-search-box", "")
    page.fill("#af-search-box", words)
    for _ in range(200):  # playwright's own waiting evaluates text in the page, which its policy stops
        if page.evaluate("document.querySelector('.af-search [role=status]').textContent !== ''"):
            break
        page.wait_for_timeout(50)
    return page.inner_text(".af-found")


@pytest.mark.browser
def test_a_case_is_found_and_the_way_leads_to_the_record(browser: Any, address: str) -> None:
    context = browser.new_context(viewport={"width": 1280, "height": 900}, offline=address.startswith("file:"))
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda m: said.append(m.text) if m.type != "log" else None)
    page.on("pageerror", lambda e: said.append(str(e)))
    page.goto(address)
    demo = address.startswith("http")
    serial, finding, word = ("µA", "F-11", "coagulation") if demo else ("L-55", "F-1", "delivered")
    assert "case" in looked(page, serial)
    assert "case" in looked(page, word)
    assert "F-" in page.inner_text(".af-found")
    assert "Nothing on this site holds “zzqq”." in looked(page, "zzqq")
    assert "<b>" in looked(page, "<b>x</b>") and page.query_selector(".af-found b") is None
    assert finding in looked(page, finding.lower())
    page.focus("#af-search-box")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.textContent") == finding
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(rf"/findings(/|\.html)#{finding}$"))
    assert page.query_selector(f"[id='{finding}']") is not None
    page.focus("#af-search-box")
    looked(page, word)
    page.keyboard.press("Escape")
    assert not page.is_visible(".af-found")
    assert page.evaluate("document.activeElement.id") == "af-search-box"
    assert said == []
    context.close()
