"""A long page of reference begins with a list of its parts, and the list leads to every one of them."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from asfound.assess import catalogue, open_repository
from asfound.pages import Options, Page, Register, build_site

from .frozen import frozen

_ROOT = Path(__file__).parents[3]


@cache
def pages() -> dict[str, Page]:
    shared = open_repository(_ROOT)
    register = Register(shared.book, catalogue(), "0", reporting=shared.reporting)
    return {page.uri: page for page in build_site([frozen()], register, Options())}


@pytest.mark.parametrize("uri", ["limits.md", "formats.md", "method.md"])
def test_the_list_leads_to_every_part_in_order(uri: str) -> None:
    text = pages()[uri].body
    lists = re.findall(r'<nav class="af-contents.*?</nav>', text, re.DOTALL)
    assert len(lists) == 1 and text.index(lists[0]) < text.index("<h2")
    parts = re.findall(r'<h2 id="([^"]+)">', text)
    assert len(parts) > 5 and re.findall(r'href="#([^"]+)"', lists[0]) == parts


def test_each_set_of_limits_is_listed_with_its_document_and_edition() -> None:
    sets = open_repository(_ROOT).book.sets
    listed = re.search(r'<nav class="af-contents.*?</nav>', pages()["limits.md"].body, re.DOTALL)
    assert listed is not None
    # A document stands twice where two editions of it are held; only the edition tells them apart.
    for document, edition in (("NFPA 99", "2005"), ("NFPA 99", "2012"), ("ISO 10535", "2006, edition 2")):
        assert any((one.document, one.edition) == (document, edition) for one in sets.values())
        assert f"{document}, {edition}</span>" in listed[0]
