"""The pages of the frozen dossier, word for word.

How a page reads is part of what the program promises. When one changes on purpose, run
`ASFOUND_ACCEPT=1 python -m pytest tests/unit/pages/test_gold.py`, read the difference with git, and commit it with the
reason. See tests/gold/README.md.
"""

from __future__ import annotations

import datetime as dt
import os
import re
from functools import cache
from pathlib import Path

import pytest

from asfound.assess import assess_case, open_repository
from asfound.model.limits import Book
from asfound.pages import Options, Register, build_site, case_pages, standalone
from asfound.problems import Catalogue

from .frozen import frozen, pictures

ROOT = Path(__file__).parents[3]
GOLD = Path(__file__).parents[2] / "gold" / "pages"
ACTUAL = Path(__file__).parents[2] / "_actual" / "pages"
SECTIONS = ("index", "items", "scene", "accounts", "timeline", "inspection", "work", "measurements", "findings",
            "evidence", "problems", "changes")  # fmt: skip
"""The whole record repeats these, and the page that stands alone is the record: it is held as that."""


@cache
def made() -> dict[str, str]:
    """Name → HTML, each start tag on a line of its own so that a difference can be read."""
    found = {page.uri.removeprefix("case/base/"): page.body for page in case_pages(frozen(), pictures(), Options())}
    register = Register(Book(sets={}, protocols={}), Catalogue(), "0")
    found["docket.md"] = next(iter(build_site([frozen()], register, Options()))).body
    alone = standalone(frozen(), pictures())
    found["alone.md"] = re.sub(r"<style>.*?</style>", "<style></style>", alone, count=1, flags=re.DOTALL)
    return {name.removesuffix(".md"): body.replace("><", ">\n<").rstrip() + "\n" for name, body in found.items()}


@pytest.mark.parametrize("name", ["docket", *SECTIONS, "alone"])
def test_a_page_reads_as_it_did(name: str) -> None:
    file, now = GOLD / f"{name}.html", made()[name]
    if os.environ.get("ASFOUND_ACCEPT") == "1":
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(now, encoding="utf-8", newline="\n")
        return
    then = file.read_text(encoding="utf-8") if file.exists() else ""
    actual = ACTUAL / f"{name}.html"
    if now == then:
        actual.unlink(missing_ok=True)
        return
    actual.parent.mkdir(parents=True, exist_ok=True)
    actual.write_text(now, encoding="utf-8", newline="\n")
    there = next(
        (at for at, (a, b) in enumerate(zip(now.splitlines(), then.splitlines(), strict=False), 1) if a != b), 0
    )
    pytest.fail(
        f"the page {name} reads otherwise from line {there or 'its end'} on.\n"
        f"Look:   git diff --no-index tests/gold/pages/{name}.html tests/_actual/pages/{name}.html\n"
        "Accept: ASFOUND_ACCEPT=1 python -m pytest tests/unit/pages/test_gold.py"
    )


def test_nothing_lies_among_the_golden_pages_that_no_test_holds() -> None:
    assert {path.name for path in GOLD.iterdir()} == {f"{name}.html" for name in ("docket", *SECTIONS, "alone")}


def test_the_page_that_stands_alone_needs_nothing() -> None:
    """No script, no address but data and anchors of its own, every font inside."""
    text = standalone(frozen(), pictures())
    assert text.startswith("<!doctype html>") and text.count("<h1") == 1
    assert "<script" not in text and "<template" not in text and "<link" not in text
    assert not re.search(r"url\((?!data:)", text)
    ids = set(re.findall(r' id="([^"]+)"', text))
    for address in re.findall(r'(?:href|src)="([^"]*)"', text):
        assert address.startswith(("data:image/", "#")), address
        assert not address.startswith("#") or address[1:] in ids, address


def test_rules_in_a_page_that_stands_alone_are_words_and_lead_nowhere() -> None:
    """A case against which something stands names rules; their catalogue is a page of the site."""
    shared = open_repository(ROOT)
    folder = ROOT / "tests" / "cases" / "weak-return-pad"
    found = assess_case(shared.root, folder, dt.date(2026, 5, 30), shared).dossier
    assert found is not None and found.core.problems
    text = standalone(found, pictures())
    assert all(f"rule {one.rule}</span>" in text for one in found.core.problems)
    ids = set(re.findall(r' id="([^"]+)"', text))
    assert set(re.findall(r'href="#([^"]*)"', text)) <= ids


def test_pages_are_the_same_twice() -> None:
    first = [page.body for page in case_pages(frozen(), pictures(), Options())]
    assert first == [page.body for page in case_pages(frozen(), pictures(), Options())]
    assert standalone(frozen(), pictures()) == standalone(frozen(), pictures())
