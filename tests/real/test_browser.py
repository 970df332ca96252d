"""A reader in a real browser: from the docket to the raw line, charts, dark and light, from disk, phone, paper."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from .reader import serving
from .support import INSTANT, REGISTERS, ROOT, SECTIONS, Site, base, build, configure

pytestmark = pytest.mark.browser
CASE = "case/return-pad-lesion"


@pytest.fixture(scope="module")
def served(demo: Site) -> Iterator[str]:
    """The demonstration, served on this machine; gives its address."""
    with serving(demo.folder) as address:
        yield address


def test_from_the_docket_to_the_raw_line_in_four_clicks(reader: Any, served: str, demo: Site) -> None:
    seen = reader()
    page = seen.page
    page.goto(served)
    page.click("text=A lesion on the thigh under an electrosurgical return pad")
    page.wait_for_url(f"**/{CASE}/")
    page.click(".af-note a.af-ref[href*='findings']")
    page.wait_for_url("**/findings/#F-*")
    page.click(f"#{page.url.rpartition('#')[2]} a[href*='#R-'], .af-row a[href*='#R-']")
    page.wait_for_url("**/measurements/#R-*")
    ref = page.url.rpartition("#")[2]
    row = page.text_content(f"[id='{ref}']")
    line = page.text_content(f"[id='{ref}'] .af-line")
    name, _, number = line.strip().rpartition(":")
    typed = (ROOT / "cases" / "return-pad-lesion" / name).read_text(encoding="utf-8").splitlines()[int(number) - 1]
    cells = typed.split(",")
    assert f"R-{Path(name).stem}-{cells[0]}" == ref
    assert any(cell and cell in row for cell in cells[1:])
    assert seen.said == []


def test_the_charts_of_the_demonstration_come_alive_and_lead_to_their_records(reader: Any, served: str) -> None:
    seen = reader()
    seen.page.goto(f"{served}/{CASE}/measurements/")
    assert seen.alive() > 10
    assert seen.said == []
    assert all(url.startswith((served, "data:", "blob:")) for url in seen.asked), seen.asked
    buttons = seen.page.evaluate("[...document.querySelectorAll('.modebar-btn')].map(b => b.dataset.title)")
    assert buttons and not [name for name in buttons if re.search("share|cloud|send|edit", name, re.IGNORECASE)]


def test_the_switch_recolours_page_and_charts(reader: Any, served: str) -> None:
    seen = reader(scheme="light")
    page = seen.page
    page.goto(f"{served}/{CASE}/")
    seen.alive()
    ink = "getComputedStyle(document.querySelector('.af-live .xtick text')).fill"
    before = (seen.ground(), page.evaluate(ink))
    page.click("label[title='Switch to dark']")
    seen.until(f"{ink} !== '{before[1]}'")
    assert page.evaluate("document.body.dataset.mdColorScheme") == "slate"
    assert seen.ground() != before[0]
    page.click("label[title='Switch to light']")
    seen.until(f"{ink} === '{before[1]}'")
    assert seen.ground() == before[0]
    assert seen.said == []


def test_charts_work_after_instant_navigation_and_back(reader: Any, tmp_path: Path) -> None:
    """The theme swaps pages without a reload, and runs the scripts it finds in them: none of ours is one."""
    with serving(tmp_path / "site") as address:
        # The theme swaps only pages of the address it was built for.
        build(configure(base(tmp_path), INSTANT, site_url=f"{address}/"))
        seen = reader()
        page = seen.page
        page.goto(f"{address}/case/base/")
        page.evaluate("window.sameDocument = true")
        page.click(".af-places a:has-text('Items and custody')")
        page.wait_for_url("**/items/")
        page.wait_for_selector("[id='I-1']")
        charts = seen.alive()
        assert charts >= 1
        page.click(".af-places a:has-text('Summary')")
        page.wait_for_url("**/case/base/")
        page.go_back()
        page.wait_for_url("**/items/")
        page.wait_for_selector("[id='I-1']")
        assert seen.alive() == charts
        assert page.evaluate("window.sameDocument") is True, "a page was loaded anew: nothing was shown"
        assert seen.said == []


def test_from_disk_pages_and_charts_work_and_nothing_leaves(reader: Any, disk: Site) -> None:
    seen = reader()
    page = seen.page
    page.goto((disk.folder / "index.html").as_uri())
    page.click("text=A bag emptied early on a ward")
    page.wait_for_url("**/case/base/index.html")
    page.click(".af-places a:has-text('Items and custody')")
    page.wait_for_url("**/items.html")
    assert seen.alive() >= 1
    assert page.evaluate("document.fonts.check('16px \"Source Sans 3\"')")
    assert seen.said == []
    assert all(url.startswith((disk.folder.as_uri(), "data:", "blob:")) for url in seen.asked), seen.asked


def test_on_a_phone_no_page_runs_over_the_side(reader: Any, served: str) -> None:
    seen = reader(width=390)
    for name in ("", *(f"{CASE}/{section}" for section in SECTIONS), *REGISTERS):
        seen.page.goto(f"{served}/{name}".rstrip("/") + "/")
        wide = seen.page.evaluate("document.scrollingElement.scrollWidth")
        over = seen.page.evaluate(
            "[...document.querySelectorAll('.af *')].filter(e => !e.closest('.af-scroll, svg, pre') &&"
            " e.getBoundingClientRect().right > 391).slice(0, 5).map(e => e.outerHTML.slice(0, 160))"
        )
        assert wide == 390 and not over, (name, wide, over)
    assert seen.said == []


@pytest.mark.parametrize("width", [390, 1280])
def test_what_is_typed_does_not_break_at_a_hyphen(reader: Any, served: str, width: int) -> None:
    """`--checklist` cut behind its hyphens reads as an option and a name; the page is no wider for it."""
    seen = reader(width=width)
    words = 0
    for name in sorted((ROOT / "plugin/asfound/pages/manual").glob("*.md")):
        seen.page.goto(f"{served}/manual/{name.stem}/".replace("/index/", "/"))
        lines = seen.page.evaluate(
            "[...document.querySelectorAll('.af-whole')].map(e => [e.textContent, e.getClientRects().length])"
        )
        broken = [word for word, count in lines if count != 1]
        assert not broken, (name.stem, broken)
        assert seen.page.evaluate("document.scrollingElement.scrollWidth") == width, name.stem
        words += len(lines)
    assert words > 100


def test_paper_gets_every_drawing_and_no_control(reader: Any, served: str) -> None:
    seen = reader(scheme="dark")
    page = seen.page
    page.goto(f"{served}/{CASE}/record/")
    data = page.pdf(format="A4")
    assert data.startswith(b"%PDF-") and len(data) > 50_000
    page.emulate_media(media="print")
    assert page.evaluate("getComputedStyle(document.querySelector('.af')).color") == "rgb(0, 0, 0)"
    assert page.query_selector(".md-header").bounding_box() is None
    drawn = page.evaluate("[...document.querySelectorAll('figure.af-chart')].map(f => f.querySelector('svg')"
                          ".getBoundingClientRect().width)")  # fmt: skip
    assert len(drawn) > 10 and min(drawn) > 300


def test_a_first_page_on_paper_leaves_out_what_the_facility_owes(reader: Any, served: str) -> None:
    """It is for the screen at work; a printed page may be handed over."""
    page = reader().page
    page.goto(f"{served}/{CASE}/")
    shown = "[...document.querySelectorAll('.af-private')].filter(one => one.getClientRects().length).length"
    assert page.evaluate(shown) >= 1
    assert "Yearly summary" in page.inner_text(".af-who")
    page.emulate_media(media="print")
    assert page.evaluate(shown) == 0
    assert "Yearly summary" not in page.inner_text(".af") and "Others at risk" in page.inner_text(".af-who")
