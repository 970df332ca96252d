"""What the pages of the nine cases weigh: bytes of what a page brings itself, its chart data with it.

Beside it come the theme's frame (about 14 kB), styles, scripts and fonts, which all pages share, and pictures, which
are loaded as they are reached. Sizes are those of the text before any compression on the way; that takes off about
five sixths more.

The record of changes is asked elsewhere (`test_a_long_history_is_cut_and_says_so`): what it tells depends on the clone.
"""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.pages import Options
from asfound.pages.build import case_pages
from asfound.pages.pictures import pictures_of

ROOT = Path(__file__).parents[2]
CASES = sorted(one.parent.name for one in (ROOT / "cases").glob("*/case.yml"))
FRAME = 15_000
MOST = 300_000 - FRAME
RECORD = 680_000
"""The whole report on one page holds every table of readings and every chart with its table, so that it prints and is
read as one: the longest of the nine has 340 kB of tables, 134 kB of drawings and 46 kB of marginal notes."""
HEAVIER: dict[tuple[str, str], int] = {}
"""Pages that may weigh more, by name, and how much. None does."""


@cache
def sizes(name: str) -> dict[str, int]:
    dossier = assess_case(ROOT, ROOT / "cases" / name, dt.date(2026, 5, 30)).dossier
    assert dossier is not None
    place = ROOT / "cases" / name
    pictures = pictures_of(dossier, lambda path: (place / path).read_bytes() if (place / path).is_file() else None)
    made = case_pages(dossier, dict(pictures), Options())
    return {page.uri.rpartition("/")[2].removesuffix(".md"): len(page.body.encode("utf-8")) for page in made}


@pytest.mark.parametrize("name", CASES)
def test_no_page_weighs_more_than_its_bound(name: str) -> None:
    found = sizes(name)
    assert len(found) >= 14
    bounds = {page: HEAVIER.get((name, page), RECORD if page == "record" else MOST) for page in found}
    assert {page: size for page, size in found.items() if size > bounds[page]} == {}


def test_what_is_named_as_heavier_is() -> None:
    assert all(sizes(name)[page] > MOST for name, page in HEAVIER)
