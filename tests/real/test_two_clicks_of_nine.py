"""What test_two_clicks.py asks of one case, asked of all nine: each answer read out of the page and held against
the files of the cases as another reader reads them."""

from __future__ import annotations

import csv
import datetime as dt
import re
from collections.abc import Iterator
from typing import Any

import pytest
import yaml

from .issued import CASE, IS, READING, WAS
from .reader import Reader, serving
from .support import Site

pytestmark = pytest.mark.browser
WHERE = "el => { const box = el.getBoundingClientRect(); return [box.top, box.bottom, innerHeight]; }"


@pytest.fixture(scope="module")
def served(nine: Site) -> Iterator[str]:
    with serving(nine.folder) as address:
        yield address


class Clicks:
    """A reader at the docket whose clicks are counted: two, and the question has to be answered."""

    def __init__(self, seen: Reader, address: str) -> None:
        self.seen, self.page, self.left = seen, seen.page, 2
        self.page.goto(address)

    def click(self, link: Any) -> None:
        assert self.left, "a third click"
        self.left -= 1
        before = self.page.url
        link.click()
        for _ in range(200):
            if self.page.url != before:
                break
            self.page.wait_for_timeout(50)
        self.page.wait_for_load_state()
        assert self.page.url != before

    def at(self) -> Any:
        """The record the address leads to; it is in sight."""
        found = self.page.locator(f"[id='{self.page.url.rpartition('#')[2]}']")
        top, bottom, tall = found.evaluate(WHERE)
        assert bottom > 0 and top < tall, (self.page.url, top, bottom)
        return found


@pytest.fixture
def clicks(reader: Any, served: str) -> Clicks:
    return Clicks(reader(), served)


def _days(text: str) -> list[dt.date]:
    return [dt.date.fromisoformat(one) for one in re.findall(r"\b20\d\d-\d\d-\d\d\b", text)]


def test_what_is_due_first(clicks: Clicks, nine: Site) -> None:
    """One click; and no case has a duty that is still to be done on an earlier day."""
    first = clicks.page.locator(".af-waiting li").first
    said = first.inner_text()
    (due,) = _days(said)
    clicks.click(first.locator("a").first)
    assert "/duties/#duty-" in clicks.page.url
    title = clicks.at().inner_text()
    assert title in said
    told = clicks.page.locator("main, [role=main]").first.inner_text()
    assert due in _days(told.split(title, 1)[1])
    others = [
        _days(one.text)
        for name, page in nine.pages.items()
        if name.endswith("/duties/index.html")
        for one in page.all("p")
        if re.search(r"\bit is due to\b", one.text, re.IGNORECASE)
    ]
    assert len(others) >= 7 and min(day for found in others for day in found) == due


def test_the_raw_line_behind_a_printed_number(reader: Any, served: str, nine: Site) -> None:
    """From the first page of every case that prints a reading: the row, its line, and there the very number."""
    tried = 0
    for folder in sorted((nine.root / "cases").iterdir()):
        if not (folder / "case.yml").is_file():
            continue
        case = yaml.load((folder / "case.yml").read_text("utf-8"), yaml.BaseLoader)["case"]
        clicks = Clicks(reader(), served)
        clicks.click(clicks.page.locator(f".af-title[href$='case/{case}/']"))
        links = clicks.page.locator(".af-note a[href*='/measurements/#R-'], .af-note a[href*='measurements/#R-']")
        if not links.count():
            continue
        number = links.first.evaluate("el => el.nextSibling ? el.nextSibling.textContent : ''").strip()
        clicks.click(links.first)
        row = clicks.at()
        file, _, line = row.locator(".af-line").first.inner_text().split()[0].rpartition(":")
        raw = (folder / file).read_text("utf-8").splitlines()[int(line) - 1]
        cells = next(csv.reader([raw]))
        ref = row.locator("th").first.inner_text().strip()
        assert ref.endswith(f"-{cells[0]}"), (ref, raw)
        value = re.match(r"[\u2212−-]?[\d\u00a0\u202f ]*\.?\d+", number)
        assert value is None or re.sub(r"\s", "", value.group()).replace("\u2212", "-") in raw, (number, raw)
        tried += value is not None
        assert clicks.seen.said == []
    assert tried >= 5, tried


def test_what_changed_between_two_editions(clicks: Clicks) -> None:
    row = clicks.page.locator(".af-cases tbody tr").filter(has=clicks.page.locator(f"a[href*='case/{CASE}/']"))
    clicks.click(row.locator("a", has_text="what changed"))
    assert clicks.page.url.endswith(f"/case/{CASE}/edition/2/changes/")
    told = clicks.page.locator("main, [role=main]").first.inner_text().replace("\u00a0", " ")
    assert "From edition 1 of 2026-05-21 (Thu) to edition 2 of 2026-05-30 (Sat)" in told
    line = clicks.page.locator("tr").filter(has_text=READING).filter(has_text="value").first.inner_text()
    before, after = (one.rpartition(",")[2] for one in (WAS, IS))
    # No digit is printed beyond a doubt; that of the first is large, since it strays from its repeats.
    assert line.index(f"value {round(float(before))}\u00a0W") < line.index(f"value {after}\u00a0W")
