"""Four questions, each answered at most two clicks from the docket, by a reader at a real browser."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from .reader import Reader, chromium, serving
from .story import tell
from .support import INSTANT, ROOT, Site, build, configure

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("two clicks")]
CASE = "return-pad-lesion"
SEEN = """(() => {
  const at = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (!at) return false;
  const box = at.getBoundingClientRect();
  return box.height > 0 && box.top > -2 && box.top < innerHeight;
})()"""
"""Whether what the address names stands in view."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium() as found:
        yield found


class Clicks:
    """A reader on the docket of a served site, who counts."""

    def __init__(self, browser: Any, address: str) -> None:
        self.reader = Reader(browser, width=1300)
        self.page = self.reader.page
        self.page.goto(f"{address}/")
        self.done = 0

    def on(self, link: Any) -> None:
        """Press a link and wait until what its address names stands in view, or another page does."""
        before = self.page.url
        # A theme that swaps pages changes the address first: what was there is marked, and has to be gone.
        self.page.evaluate("document.querySelector('.af').dataset.left = 'yes'")
        link.click(timeout=20000)
        self.done += 1
        self.reader.until(f"location.href !== {before!r} && !!document.querySelector('.af:not([data-left])')")
        if "#" in self.page.url:
            self.reader.until(SEEN)


@pytest.fixture(scope="module")
def docket(demo: Site) -> Iterator[str]:
    with serving(demo.folder) as address:
        yield address


def test_what_is_due_first_stands_on_the_docket_and_its_counting_one_click_away(browser: Any, docket: str) -> None:
    at = Clicks(browser, docket)
    first = at.page.locator(".af-waiting li").first
    due = re.search(r"\d{4}-\d\d-\d\d", first.inner_text())
    assert due is not None
    told = sorted(re.findall(r"by (\d{4}-\d\d-\d\d)", at.page.locator(".af-waiting").inner_text()))
    assert due.group() == told[0], "the first in the list is the first that is due"
    at.on(first.locator("a").first)
    kind = at.page.url.partition("#duty-")[2]
    assert kind and due.group() in at.page.inner_text(".af")
    assert at.done == 1


def test_which_conclusion_rests_on_which_weakest_link_and_why(browser: Any, docket: str) -> None:
    at = Clicks(browser, docket)
    row = at.page.locator("tr", has=at.page.locator(f'a.af-title[href*="case/{CASE}/"]'))
    assert "probable" in row.inner_text().lower() and "Weakest link:" in row.inner_text()
    why = row.inner_text().split("Weakest link: ")[1].split("\n")[0].split("\t")[0].strip(" .")
    at.on(row.get_by_role("link", name="Weakest link"))
    assert f"case/{CASE}/findings/" in at.page.url
    # The reason that stood on the docket, with the records it rests on, and what would raise the level.
    whole = at.page.inner_text(".af")
    section = whole[whole.index("Weakest link") :] if "Weakest link" in whole else whole
    assert why.split(",")[0].lower() in section.lower()
    assert "would raise" in whole.lower() and at.done == 1


def test_the_raw_line_behind_a_printed_number(browser: Any, docket: str) -> None:
    at = Clicks(browser, docket)
    at.on(at.page.locator(f'a.af-title[href*="case/{CASE}/"]').first)
    cited = at.page.locator('.af a.af-ref[href*="#R-output-"]').first
    name = cited.inner_text().strip()
    at.on(cited)
    row = at.page.locator(f"tr#{name}").first.inner_text()
    found = re.search(r"readings/output\.csv:(\d+)", row)
    assert found is not None and at.done == 2
    lines = (ROOT / "cases" / CASE / "readings/output.csv").read_text("utf-8").splitlines()
    typed = dict(zip(next(csv.reader(lines[:1])), next(csv.reader([lines[int(found.group(1)) - 1]])), strict=True))
    value = next(text for column, text in typed.items() if column.startswith("value"))
    assert value in row.replace("\u2212", "-").replace("\u202f", "")


@pytest.fixture(scope="module")
def issued(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A docket whose case was issued three times."""
    story = tell(tmp_path_factory.mktemp("clicks") / "repository")
    root: Path = story.root
    with serving(root / "site") as address:
        build(configure(root, INSTANT, site_url=f"{address}/"))
        yield address


def test_what_changed_between_two_editions(browser: Any, issued: str) -> None:
    at = Clicks(browser, issued)
    at.on(at.page.get_by_role("link", name="what changed").first)
    assert "case/base/edition/3/changes/" in at.page.url and at.done == 1
    shown = at.page.inner_text(".af")
    assert "111.9" in shown and "111.7" in shown and "R-flow-4" in shown
