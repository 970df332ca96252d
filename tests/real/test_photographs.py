"""Photographs in their viewer: by hand and by keys, served and from disk, in both themes, and without scripts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
import yaml

from .reader import serving
from .support import Site
from .test_accessibility import RUN, _axe

pytestmark = pytest.mark.browser
PAGE = "case/return-pad-lesion/evidence"
WHERE = "document.activeElement"


@pytest.fixture(scope="module")
def served(nine: Site) -> Iterator[str]:
    with serving(nine.folder) as address:
        yield f"{address}/{PAGE}/"


def _state(page: Any) -> tuple[str, str]:
    """What the viewer says it shows, and the end of the picture's address."""
    src = page.evaluate("document.querySelector('.af-viewer img').src")
    return page.inner_text("#af-viewer-which"), src.rpartition("/")[2].partition(".")[0]


def test_a_photograph_opens_with_what_is_said_of_it_and_its_neighbours(reader: Any, served: str, nine: Site) -> None:
    seen = reader()
    page = seen.page
    page.goto(served)
    pictures = page.evaluate("[...document.querySelectorAll('.af-evidence figure')].map(one => one.id)")
    assert len(pictures) > 5
    second = pictures[1]
    known = yaml.load((nine.root / "cases/return-pad-lesion/evidence.yml").read_text("utf-8"), yaml.BaseLoader)[second]
    page.focus(f"#{second} a.af-photo")
    page.keyboard.press("Enter")
    assert page.evaluate("document.querySelector('.af-viewer').matches(':modal')")
    assert _state(page) == (f"{second}, picture 2 of {len(pictures)}", second)
    told = page.inner_text(".af-viewer-said").replace("\u00a0", " ")
    assert known["sha256"] in re.sub(r"\s", "", told), "the whole digest of the original"
    assert known["taken_at"][:16] in told
    assert " ".join(known["shows"].split())[:40] in " ".join(told.split())
    assert page.evaluate("document.querySelector('.af-viewer img').alt") != ""
    seen.until("document.querySelector('.af-viewer img').naturalWidth > 0")
    page.keyboard.press("ArrowRight")
    assert _state(page)[1] == pictures[2]
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    assert _state(page)[1] == pictures[0]
    page.keyboard.press("ArrowLeft")
    assert _state(page)[1] == pictures[0], "before the first there is none"
    assert page.is_disabled(".af-viewer button >> nth=0")
    page.click(f".af-viewer button:has-text('Next: {second}')")
    assert _state(page)[1] == second
    inside = "document.querySelector('.af-viewer').contains(document.activeElement)"
    for _ in range(12):
        page.keyboard.press("Tab")
        assert page.evaluate(f"{inside} || {WHERE} === document.body"), "keys leave the viewer"
    page.keyboard.press("Escape")
    assert not page.is_visible(".af-viewer")
    seen.until(f"{WHERE}.matches('#{second} a.af-photo')")
    assert seen.said == []


def test_it_closes_by_its_button_and_beside_it_and_gives_the_focus_back(reader: Any, served: str) -> None:
    seen = reader()
    page = seen.page
    page.goto(served)
    link = page.locator("a.af-photo").first
    for close in (lambda: page.click(".af-viewer button:has-text('Close')"), lambda: page.mouse.click(8, 8)):
        link.click()
        assert page.is_visible(".af-viewer")
        box = page.locator(".af-viewer").bounding_box()
        page.mouse.click(box["x"] + 4, box["y"] + box["height"] - 4)
        assert page.is_visible(".af-viewer"), "a click inside is not one beside it"
        close()
        assert not page.is_visible(".af-viewer")
        seen.until(f"{WHERE}.matches('a.af-photo')")
    assert seen.said == []


def test_the_last_neighbour_keeps_the_focus_inside(reader: Any, served: str) -> None:
    page = reader().page
    page.goto(served)
    many = page.locator("a.af-photo").count()
    page.locator("a.af-photo").nth(many - 2).click()
    page.click(".af-viewer button:has-text('Next')")
    assert f"picture {many} of {many}" in page.inner_text("#af-viewer-which")
    assert page.evaluate(f"{WHERE}.textContent") == "Close"


def test_without_scripts_the_link_opens_the_picture(browser: Any, served: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(served)
    page.locator("a.af-photo").first.click()
    page.wait_for_url(re.compile(r"/pictures/E-\d+\.(jpg|png)$"))
    context.close()


@pytest.mark.parametrize(("kind", "scheme", "width"), [
    ("nine", "light", 1280), ("nine", "dark", 1280), ("nine", "light", 390), ("plain_issued", "light", 1280),
    ("plain_issued", "dark", 390),
])  # fmt: skip
def test_from_disk_in_every_look_nothing_is_found_and_nothing_runs_over(
    browser: Any, request: pytest.FixtureRequest, kind: str, scheme: str, width: int
) -> None:
    site: Site = request.getfixturevalue(kind)
    context = browser.new_context(
        viewport={"width": width, "height": 800}, color_scheme=scheme, bypass_csp=True, offline=True
    )
    context.add_init_script(_axe())
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda m: said.append(m.text) if m.type != "log" else None)
    page.goto(site.page(PAGE if kind == "nine" else "case/base/evidence").path.as_uri())
    page.locator("a.af-photo").first.click()
    page.evaluate("document.querySelector('.af-viewer img').decode().then(() => true)")
    found = [
        one for one in page.evaluate(RUN, [False, ".af-viewer"])["found"] if one["impact"] in {"serious", "critical"}
    ]
    assert not found, found
    box = page.locator(".af-viewer").bounding_box()
    assert box["x"] >= 0 and box["x"] + box["width"] <= width
    wide = page.evaluate("(d => d.scrollWidth - d.clientWidth)(document.querySelector('.af-viewer'))")
    assert wide <= 0
    small = page.evaluate(
        "[...document.querySelectorAll('.af-viewer :is(button, a)')].map(one => one.getBoundingClientRect())"
        ".filter(one => one.height < 24 || one.width < 24).length"
    )
    assert small == 0
    ground, ink = page.evaluate(
        "(s => [s.backgroundColor, s.color])(getComputedStyle(document.querySelector('.af-viewer')))"
    )
    assert (ground == "rgb(21, 24, 27)") == (scheme == "dark") and ground != ink
    assert said == []
    context.close()
