"""Five hundred cases in a real browser, from disk with the network cut: search, lists, what rests on one instrument.

The cases are one frozen case five hundred times, each with an identity, a day, a kind and serials of its own; one of
them, CASE, has a device and a finding no other has, and its own pages. The engine builds what is made of them.
"""

from __future__ import annotations

import pickle
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from asfound.model.dossier import Dossier
from asfound.pages import ASSETS, SEARCH_INDEX, Options, asset_files, build_site, search_index
from asfound.publish.work import Built
from tests.unit.pages.many import many
from tests.unit.pages.test_docket import NONE

from .reader import script
from .support import MATERIAL, Site, build, configure

pytestmark = pytest.mark.browser
CASE, COUNT = "case-250", 500
PREPARED = '''
"""The plugin, with what it makes of the cases made beforehand."""
import pickle
from pathlib import Path

from asfound.bridge import plugin

plugin.build = lambda *args, **named: pickle.loads((Path(__file__).parent / "built.pickle").read_bytes())
'''


def _with(dossier: Dossier, **more: Any) -> Dossier:
    return replace(dossier, core=replace(dossier.core, case=replace(dossier.core.case, **more)))


def _cases() -> list[Dossier]:
    found = [_with(one, folder=f"cases/{one.id}") for one in many(COUNT)]
    at = next(number for number, one in enumerate(found) if one.id == CASE)
    case = found[at].core.case
    item = case.items["I-1"].model_copy(update={"what": "Phototherapy lamp", "model": "PL-9 (alias)"})
    finding = case.findings["F-1"].model_copy(update={"text": "The louvre was scorched where it faces the canopy."})
    found[at] = _with(
        found[at], items={**case.items, "I-1": item}, findings={**case.findings, "F-1": finding}
    )  # fmt: skip
    return found


@pytest.fixture(scope="module")
def stick(tmp_path_factory: pytest.TempPathFactory) -> Site:
    """The site of five hundred cases for a stick, with the pages of one of them."""
    root = tmp_path_factory.mktemp("many")
    dossiers, options = _cases(), Options(directory_urls=False)
    ready = {one.core.case.folder: () for one in dossiers if one.id != CASE}
    pages = {page.uri: page for page in build_site(dossiers, NONE, options, (), ready)}
    registers = [page for uri, page in pages.items() if "/" not in uri and uri != "index.md"]
    files = {f"{ASSETS}/{name}": data for name, data in asset_files()}
    files[SEARCH_INDEX] = search_index(dossiers, registers, options)
    (root / "built.pickle").write_bytes(pickle.dumps(Built(pages, files, ())))
    (root / "prepared.py").write_text(PREPARED, "utf-8")
    (root / "cases").mkdir()
    made = {"asfound": {"from_disk": True}, "hooks": ["prepared.py"], "use_directory_urls": False}
    return build(configure(root, MATERIAL, nav=[{"Docket": "index.md"}], **made))


@pytest.fixture(params=[1280, 390])
def seen(request: pytest.FixtureRequest, browser: Any, stick: Site) -> Iterator[tuple[Any, list[str]]]:
    """The docket of the site, on a wide screen and on a phone, and whatever the browser complained of."""
    context = browser.new_context(viewport={"width": request.param, "height": 900}, offline=True)
    page, said = context.new_page(), []
    page.on("console", lambda m: said.append(m.text) if m.type != "log" else None)
    page.on("pageerror", lambda e: said.append(str(e)))
    page.goto((stick.folder / "index.html").as_uri())
    yield page, said
    context.close()


def _looked(page: Any, words: str) -> str:
    """Type words, and read what is said of what was found."""
    page.fill("#af-search-box", "")
    page.fill("#af-search-box", words)
    page.wait_for_selector(".af-search [role=status]:not(:empty)")
    return page.inner_text(".af-search [role=status]")


@pytest.mark.parametrize(
    ("words", "record", "where"),
    [
        ("1-00250", "I-1", "items.html"),  # a piece out of the middle of a serial
        ("scorched louvre", "F-1", "findings.html"),
        ("phototherapy", "I-1", "items.html"),
        ("PL9", "I-1", "items.html"),  # without the hyphen it is written with
    ],
)
def test_one_case_among_five_hundred_is_found_by_what_only_it_holds(
    seen: tuple[Any, list[str]], words: str, record: str, where: str
) -> None:
    page, said = seen
    assert _looked(page, words) == "1 case."
    assert [one.strip() for one in page.locator(".af-found ol > li > a").all_inner_texts()] == ["Generated case 250"]
    page.click(f".af-found ul a:text-is('{record}')")
    page.wait_for_url(re.compile(rf"/case/{CASE}/{where}#{record}$"))
    # Asked until it is so: a click returns before the page it leads to is drawn.
    page.locator(f"[id='{record}']").wait_for(state="visible")
    assert said == []


def test_what_all_hold_is_counted_and_what_none_holds_is_said(seen: tuple[Any, list[str]]) -> None:
    page, said = seen
    assert _looked(page, "delivered") == "500 cases, the first 20 shown."
    assert page.locator(".af-found ol > li").count() == 20
    assert page.evaluate("document.scrollingElement.scrollWidth <= innerWidth")
    assert _looked(page, "1-99999").startswith("Nothing on this site holds")
    assert said == []


def test_a_case_is_found_without_search_by_plain_pages(seen: tuple[Any, list[str]], stick: Site) -> None:
    """By kind of device, then the year of the event: two clicks to its line, a third to the case."""
    page, said = seen
    told = next(one for one in many(COUNT) if one.id == CASE).core.case.head.event.told_at.at
    page.click("a[href='docket/device/infusion-pump.html']")
    page.click(f"a[href$='infusion-pump/{told.year}.html']")
    page.click(f"a.af-title[href*='/{CASE}/']")
    page.wait_for_url(re.compile(rf"/case/{CASE}/index\.html$"))
    page.go_back()
    page.go_back()
    page.go_back()
    page.click("a[href='docket/month/index.html']")
    page.click(f"a[href$='{told:%Y-%m}.html']")
    page.locator(f"a.af-title[href*='/{CASE}/']").wait_for(state="visible")
    assert said == []


def test_what_rests_on_one_instrument_is_told_of_all_in_one_sentence(seen: tuple[Any, list[str]]) -> None:
    page, said = seen
    page.click("a:text-is('What rests on each instrument')")
    row = page.locator("tr", has=page.locator("th a:text-is('M-3')"))
    assert row.locator("td").nth(1).inner_text() == str(COUNT)
    row.locator("th a").click()
    page.wait_for_url(re.compile(r"/M-3\.html$"), wait_until="load")
    assert page.inner_text(".af-lede").startswith(f"{COUNT} cases, ")
    # The newest stand there; the rest by year and month.
    assert page.locator("h2").count() == 20
    assert page.locator("a[href*='M-3/20']").count() > 1
    assert said == []


@pytest.mark.parametrize(
    "name", ["index", "docket/device/infusion-pump", "docket/level/probable/2024", "across/instruments/M-1",
             "across/sisters"],
)  # fmt: skip
def test_no_page_of_a_long_docket_runs_over_the_side_or_grows_beyond_measure(
    seen: tuple[Any, list[str]], stick: Site, name: str
) -> None:
    page, said = seen
    file = stick.files[f"{name}.html" if f"{name}.html" in stick.files else f"{name}/index.html"]
    # What rests on an instrument, and which units fail alike, is told whole: bounded for each case that has it.
    assert file.stat().st_size <= (1500 * COUNT if name.startswith("across/") else 300_000)
    page.goto(file.as_uri())
    assert not page.evaluate(script("sideways"))
    assert said == []
