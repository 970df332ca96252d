"""The first page of every case in a real browser: what each reader asks first stands in one view, nothing runs over."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.conftest import BROWSER

from .support import Site

pytestmark = pytest.mark.browser
BOX = "document.querySelector({!r}).getBoundingClientRect()"


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    from playwright import sync_api as playwright

    with playwright.sync_playwright() as p:
        found = p.chromium.launch(executable_path=str(BROWSER), args=["--no-sandbox", "--disable-gpu"])
        yield found
        found.close()


def test_doors_and_the_claim_are_seen_without_scrolling(browser: Any, demo: Site) -> None:
    """A view of 1300 by 900 (common practice, no source)."""
    page = browser.new_context(viewport={"width": 1300, "height": 900}).new_page()
    cases = sorted(path.parent for path in demo.folder.glob("case/*/index.html"))
    assert len(cases) == 9
    for case in cases:
        page.goto((case / "index.html").as_uri())
        page.evaluate("document.fonts.ready")
        assert page.evaluate(BOX.format(".af-who") + ".bottom") < 760, case.name
        assert page.evaluate(BOX.format(".af-claim") + ".top") < 860, case.name
        weakest = "Weakest link" in page.inner_text(".af-who")
        assert weakest == (case.name != "ventilator-disconnect"), case.name  # there nothing is weaker than its level
        assert page.evaluate("document.querySelectorAll('.af-who > div').length") == 3


@pytest.mark.parametrize("width", [390, 320])
def test_no_door_runs_over_on_a_phone(browser: Any, demo: Site, width: int) -> None:
    """Reflow at 320 CSS pixels: WCAG 2.2, 1.4.10 (from memory)."""
    page = browser.new_context(viewport={"width": width, "height": 844}).new_page()
    for case in sorted(path.parent for path in demo.folder.glob("case/*/index.html")):
        page.goto((case / "index.html").as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") <= width, case.name
        over = "[...document.querySelectorAll('.af-who p')].filter(p => p.scrollWidth > p.clientWidth + 1).length"
        assert page.evaluate(over) == 0, case.name


def test_the_first_door_is_in_the_first_view_of_a_phone(browser: Any, demo: Site) -> None:
    """390 by 844 CSS pixels, a phone held upright (common practice, no source)."""
    page = browser.new_context(viewport={"width": 390, "height": 844}).new_page()
    for case in sorted(path.parent for path in demo.folder.glob("case/*/index.html")):
        page.goto((case / "index.html").as_uri())
        page.evaluate("document.fonts.ready")
        assert page.evaluate(BOX.format(".af-who > div") + ".bottom") < 844, case.name
