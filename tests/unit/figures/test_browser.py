"""The page in a real browser, opened from disk: it comes alive, follows the scheme, prints, and calls nobody."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from asfound.figures import PAPER, draw
from asfound.figures.lettering import text_width
from asfound.figures.parts import SIZE
from tests.conftest import BROWSER

from .examples import ALL
from .page import ASSETS, write

pytestmark = pytest.mark.browser

STATES = "[...document.querySelectorAll('figure[data-af-chart]')].map(f => f.dataset.afState || '')"


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    from playwright import sync_api as playwright

    with playwright.sync_playwright() as p:
        found = p.chromium.launch(
            executable_path=str(BROWSER), args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
        )
        yield found
        found.close()


class Visit:
    """One page in a context of its own, with everything it asked for and complained about."""

    def __init__(self, browser: Any, address: str, *, width: int = 1280, scheme: str = "light", **more: Any) -> None:
        self.context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme, **more)
        self.page = self.context.new_page()
        self.asked: list[str] = []
        self.said: list[str] = []
        self.page.on("request", lambda r: self.asked.append(r.url))
        self.page.on("console", lambda m: self.said.append(f"{m.type}: {m.text}"))
        self.page.on("pageerror", lambda e: self.said.append(f"error: {e}"))
        self.page.goto(address)

    def read_through(self, until: str) -> list[str]:
        """Scroll over every chart and wait until all have the state."""
        for figure in self.page.query_selector_all("figure[data-af-chart]"):
            figure.scroll_into_view_if_needed()
            key = figure.get_attribute("data-af-chart")
            self.page.wait_for_function(
                f"document.querySelector('figure[data-af-chart=\"{key}\"]').dataset.afState === '{until}'",
                timeout=15000,
            )
        return self.page.evaluate(STATES)

    def ink(self) -> str:
        """The colour of the first axis label of the first live chart."""
        return self.page.evaluate("getComputedStyle(document.querySelector('.af-live .xtick text')).fill")


@pytest.fixture
def visit(browser: Any) -> Iterator[Any]:
    made: list[Visit] = []

    def go(address: str, **more: Any) -> Visit:
        made.append(Visit(browser, address, **more))
        return made[-1]

    yield go
    for one in made:
        one.context.close()


def test_charts_come_alive_from_disk_and_nothing_leaves(visit: Any, tmp_path: Path) -> None:
    seen = visit(write(tmp_path).as_uri())
    assert seen.read_through("live") == ["live"] * 6
    assert seen.said == []
    assert all(u.startswith((tmp_path.as_uri(), "data:")) for u in seen.asked), seen.asked
    assert sum("plotly-basic" in u for u in seen.asked) == 1
    assert seen.page.evaluate("document.querySelectorAll('.af-live').length") == 6
    buttons = seen.page.evaluate("[...document.querySelectorAll('.modebar-btn')].map(b => b.dataset.title)")
    assert set(buttons) == {"Zoom", "Pan", "Reset axes"}


def test_the_library_is_not_loaded_until_a_chart_is_near(visit: Any, tmp_path: Path) -> None:
    page = write(tmp_path)
    text = page.read_text(encoding="utf-8")
    page.write_text(
        text.replace('<div class="af">', '<div style="height:4000px"></div><div class="af">'), encoding="utf-8"
    )
    seen = visit(page.as_uri())
    seen.page.wait_for_timeout(300)
    assert not any("plotly-basic" in u for u in seen.asked)
    assert seen.page.evaluate(STATES) == [""] * 6


def test_a_reading_speaks_when_pointed_at_and_leads_to_its_record(visit: Any, tmp_path: Path) -> None:
    seen = visit(write(tmp_path).as_uri())
    seen.read_through("live")
    point = seen.page.query_selector("#output-S-1 .scatterlayer .trace:last-child .point:nth-child(2)")
    point.scroll_into_view_if_needed()
    box = point.bounding_box()
    seen.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2, steps=4)
    seen.page.wait_for_selector("#output-S-1 .hoverlayer .hovertext")
    told = seen.page.text_content("#output-S-1 .hoverlayer")
    for words in ("30.1\u00a0W ± 1.4\u00a0W", "fail", "R-output-6"):
        assert words in told
    seen.page.mouse.down()
    seen.page.mouse.up()
    seen.page.wait_for_function("location.hash === '#R-output-6'", timeout=3000)


@pytest.mark.parametrize(
    ("theme", "body", "switch"),
    [
        ("", ' data-md-color-scheme="default"', "document.body.setAttribute('data-md-color-scheme', 'slate')"),
        (' data-bs-theme="light"', "", "document.documentElement.setAttribute('data-bs-theme', 'dark')"),
    ],
)
def test_the_switch_of_the_theme_recolours_live_charts(
    visit: Any, tmp_path: Path, theme: str, body: str, switch: str
) -> None:
    """The theme says light while the system says dark: the theme is right."""
    seen = visit(write(tmp_path, attributes=body, theme=theme).as_uri(), scheme="dark")
    seen.read_through("live")
    assert seen.ink() == "rgb(86, 91, 97)"
    seen.page.evaluate(switch)
    seen.page.wait_for_function(
        "getComputedStyle(document.querySelector('.af-live .xtick text')).fill === 'rgb(167, 172, 176)'"
    )
    assert seen.page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(21, 24, 27)"
    assert seen.said == []


def test_without_a_theme_the_system_decides(visit: Any, tmp_path: Path) -> None:
    seen = visit(write(tmp_path).as_uri(), scheme="dark")
    seen.read_through("live")
    assert seen.ink() == "rgb(167, 172, 176)"
    seen.page.emulate_media(color_scheme="light")
    seen.page.wait_for_function(
        "getComputedStyle(document.querySelector('.af-live .xtick text')).fill === 'rgb(86, 91, 97)'"
    )


def test_without_the_library_the_drawing_stays(visit: Any, tmp_path: Path) -> None:
    seen = visit(write(tmp_path, library=False).as_uri())
    assert seen.read_through("still") == ["still"] * 6
    assert seen.page.query_selector(".af-live") is None
    box = seen.page.query_selector("#output-S-1 .af-only-wide svg").bounding_box()
    assert box["width"] > 700 and box["height"] > 300


def test_without_script_everything_is_there(visit: Any, tmp_path: Path) -> None:
    seen = visit(write(tmp_path).as_uri(), java_script_enabled=False)
    box = seen.page.query_selector("#output-S-1 .af-only-wide svg").bounding_box()
    assert box["width"] > 700
    assert seen.page.query_selector("#output-S-1 .af-only-narrow svg").bounding_box() is None


def test_mounting_twice_changes_nothing_and_a_swapped_page_mounts(visit: Any, tmp_path: Path) -> None:
    page = write(tmp_path)
    text = page.read_text(encoding="utf-8")
    stream = "<script>window.document$ = {subscribe: function (f) { window.swap = f; }}</script>"
    page.write_text(text.replace("<script src", stream + "<script src"), encoding="utf-8")
    seen = visit(page.as_uri())
    seen.read_through("live")
    seen.page.evaluate("swap(); swap()")
    seen.page.wait_for_timeout(200)
    assert seen.page.evaluate("document.querySelectorAll('.af-live').length") == 6
    # An instant navigation replaces the content by markup, never having run.
    seen.page.evaluate(
        "const a = document.querySelector('.af'); const t = document.createElement('div');"
        "document.querySelectorAll('.af-live').forEach(l => l.remove());"
        "document.querySelectorAll('figure').forEach(f => delete f.dataset.afState);"
        "t.innerHTML = a.outerHTML; a.replaceWith(t.firstChild); swap()"
    )
    assert seen.read_through("live") == ["live"] * 6
    assert seen.said == []


def test_paper_gets_the_drawing_and_the_open_table(visit: Any, tmp_path: Path) -> None:
    seen = visit(write(tmp_path, attributes=' data-md-color-scheme="slate"').as_uri(), scheme="dark")
    seen.read_through("live")
    seen.page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    seen.page.emulate_media(media="print")
    assert seen.page.query_selector("#output-S-1 .af-live").bounding_box() is None
    assert seen.page.query_selector("#output-S-1 .af-only-wide svg").bounding_box()["width"] > 400
    assert seen.page.query_selector("#output-S-1 .af-table").bounding_box()["height"] > 100
    assert seen.page.evaluate("getComputedStyle(document.querySelector('.af')).color") == "rgb(0, 0, 0)"
    note = seen.page.query_selector(".af-note").bounding_box()
    claim = seen.page.query_selector(".af-claim").bounding_box()
    assert note["x"] > claim["x"] + claim["width"] - 1
    seen.page.emulate_media(media="screen")
    seen.page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert seen.page.evaluate("document.querySelectorAll('details[open]').length") == 0


def test_on_a_phone_notes_fold_and_nothing_runs_over_the_side(visit: Any, tmp_path: Path) -> None:
    seen = visit(write(tmp_path).as_uri(), width=390)
    note = seen.page.query_selector(".af-note").bounding_box()
    claim = seen.page.query_selector(".af-claim").bounding_box()
    assert note["y"] >= claim["y"] + claim["height"]
    assert seen.page.evaluate("document.documentElement.scrollWidth") == 390
    assert seen.page.query_selector("#output-S-1 .af-only-wide svg").bounding_box() is None
    assert seen.page.query_selector("#output-S-1 .af-only-narrow svg").bounding_box()["width"] > 300
    assert not any("plotly-basic" in u for u in seen.asked)


def test_links_and_summaries_are_large_enough_and_focus_is_seen(visit: Any, tmp_path: Path) -> None:
    """WCAG 2.2, 2.5.8: targets of 24 by 24 CSS pixels, links inside a sentence excepted."""
    seen = visit(write(tmp_path).as_uri())
    small = seen.page.evaluate(
        "[...document.querySelectorAll('.af-note a, .af-data > summary, .af-table a')]"
        ".map(e => e.getBoundingClientRect()).filter(r => r.height && (r.height < 24)).length"
    )
    assert small == 0
    seen.page.keyboard.press("Tab")
    assert seen.page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"


def test_the_reckoned_width_of_text_is_what_the_browser_sets(visit: Any, tmp_path: Path) -> None:
    """The outside check of the width table: the same font, measured by the browser."""
    words = ["no requirement at or below 10 % of rated", "97.8\u00a0W, conditional pass", "−20 % of setting",
             "equipment leakage current (µA, logarithmic)", "Quick Wizards Judge My Box of 0123456789"]  # fmt: skip
    texts = "".join(f'<text y="{20 * i + 20}">{w}</text>' for i, w in enumerate(words))
    font = (ASSETS / "fonts" / "source-sans-3-latin-wght-normal.woff2").as_uri()
    page = tmp_path / "width.html"
    page.write_text(
        f'<meta charset="utf-8"><style>@font-face{{font-family:S;src:url({font});font-weight:200 900}}</style>'
        f'<svg width="800" height="200" font-family="S" font-size="{SIZE}">{texts}</svg>', encoding="utf-8",
    )  # fmt: skip
    seen = visit(page.as_uri())
    seen.page.evaluate("document.fonts.ready")
    measured = seen.page.evaluate("[...document.querySelectorAll('text')].map(t => t.getComputedTextLength())")
    for text, wide in zip(words, measured, strict=True):
        assert text_width(text, SIZE) == pytest.approx(wide, rel=0.03), text


@pytest.mark.parametrize("width", [380, 760])
def test_no_two_labels_meet_as_the_browser_sets_them(visit: Any, tmp_path: Path, width: int) -> None:
    page = tmp_path / "all.html"
    drawings = "".join(draw(make(), PAPER, width) for make in ALL)
    font = (ASSETS / "fonts" / "source-sans-3-latin-wght-normal.woff2").as_uri()
    face = f"<style>@font-face{{font-family:'Source Sans 3';src:url({font});font-weight:200 900}}</style>"
    page.write_text(f'<meta charset="utf-8">{face}{drawings}', encoding="utf-8")
    seen = visit(page.as_uri())
    seen.page.evaluate("document.fonts.ready")
    found = seen.page.evaluate(
        "[...document.querySelectorAll('svg')].map(s => [...s.querySelectorAll('text')].map(t => {"
        "const b = t.getBBox(); return [t.textContent, b.x, b.y + 4, b.x + b.width, b.y + b.height - 4]}))"
    )
    assert sum(len(drawing) for drawing in found) > 60
    for drawing in found:
        for i, (a, l1, t1, r1, b1) in enumerate(drawing):
            for b, l2, t2, r2, b2 in drawing[i + 1 :]:
                assert min(r1, r2) <= max(l1, l2) + 0.5 or min(b1, b2) <= max(t1, t2), f"{a!r} meets {b!r}"
            assert l1 >= -2 and r1 <= width + 2, a


def test_the_loader_holds_the_promise_in_its_text() -> None:
    script = (ASSETS / "scripts" / "charts.js").read_text(encoding="utf-8")
    assert re.search(r'new URL\("plotly-basic\.min\.js", here', script)
