"""Hostile words in every text of a case, of the organisation and of the limits: shown as typed, never markup."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from asfound.model.dossier import Dossier, dossier_json, read_dossier
from asfound.model.limits import Book
from asfound.pages import Options, Register, build_site, standalone
from asfound.problems import Catalogue

from .frozen import frozen, pictures

EXACT = "<u onclick=hurt()>\"'{{7+7}}{%x%}</td></script><script>hurt()</script>${7+7}"
HOSTILE = f"{EXACT}&lt;u&gt;&amp;"
"""No word of ours holds markup, so every `u` element and every handler in a page would come from here."""

# Keys of ours that other records are found by; their values are ids or names the reader holds to a pattern.
_LINKS = frozenset(
    (
        *("id", "sheet", "row", "path", "rule", "subject", "members", "item", "items", "test", "of", "readings", "set"),
        *("name", "kind", "unit", "key", "case", "folder", "level", "outcome", "quantity", "limit_sets", "protocols"),
        *("protocol", "sha256", "file", "media", "format", "state", "status", "sense", "function", "instrument"),
    )
)


def spoiled(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Where texts stand that may hold anything."""
    if isinstance(data, dict):
        for key, value in data.items():
            plain = isinstance(value, str) or (isinstance(value, list) and all(isinstance(one, str) for one in value))
            if not (plain and key in _LINKS):
                yield from spoiled(value, (*path, key))
    elif isinstance(data, list):
        for at, value in enumerate(data):
            yield from spoiled(value, (*path, at))
    elif isinstance(data, str):
        yield path


def at(data: Any, path: tuple[Any, ...]) -> Any:
    for part in path:
        data = data[part]
    return data


def put(data: Any, path: tuple[Any, ...], value: str) -> None:
    at(data, path[:-1])[path[-1]] = value


def hostile() -> tuple[Dossier, int]:
    """The frozen dossier with hostile words after every text that may hold them; and how many texts that are."""
    text = dossier_json(frozen())
    data, good = json.loads(text), json.loads(text)
    tried = set(spoiled(data))
    for path in tried:
        put(data, path, f"{at(good, path)} {HOSTILE}")
    for _ in range(30):
        try:
            return read_dossier(json.dumps(data)), len(tried)
        except ValidationError as error:
            for one in error.errors():
                _take_back(data, good, tried, one["loc"])
    raise AssertionError("no dossier came of it")


def _take_back(data: Any, good: Any, tried: set[tuple[Any, ...]], loc: tuple[Any, ...]) -> None:
    """What the reader refuses was not free text: put it back. Names of alternatives in a place are passed over."""
    path: list[Any] = []
    here = data
    for part in loc:
        if (isinstance(here, dict) and part in here) or (isinstance(here, list) and isinstance(part, int)):
            path.append(part)
            here = here[part]
    for one in [one for one in tried if one[: len(path)] == tuple(path)]:
        put(data, one, at(good, one))
        tried.discard(one)


class Page(HTMLParser):
    """Every element and attribute, and the words."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {name: value or "" for name, value in attrs}))

    def handle_data(self, data: str) -> None:
        self.words.append(data)


@pytest.fixture(scope="module")
def pages() -> dict[str, str]:
    dossier, count = hostile()
    assert count > 400
    again = {"sets": {}, "protocols": dossier.core.protocols, "cautions": dossier.core.cautions}
    book = TypeAdapter(Book).validate_python(again)
    register = Register(book, Catalogue(), "0", {"base": pictures()})
    found = {page.uri: page.body for page in build_site([dossier], register, Options(notice=HOSTILE))}
    found["alone"] = standalone(dossier, pictures())
    return found


def test_no_word_of_a_case_is_ever_markup(pages: dict[str, str]) -> None:
    shown = 0
    for name, text in pages.items():
        page = Page(text)
        tags = {tag for tag, _ in page.tags}
        allowed = {"meta", "style", "title"} if name == "alone" else set()
        assert not tags & {"u", "script", "iframe", "object", "embed", "form", "base", "meta", "link"} - allowed, name
        for tag, attributes in page.tags:
            assert not [one for one in attributes if one.startswith("on")], (name, tag, attributes)
            for one in ("href", "src", "xlink:href"):
                assert not attributes.get(one, "").lower().startswith(("javascript:", "vbscript:")), (name, attributes)
        words = "".join(page.words)
        # Once it begins it stands there whole, as typed.
        assert words.count(EXACT) == words.count("<u onclick"), name
        shown += words.count(EXACT)
    assert shown > 300


def test_what_a_chart_carries_is_data(pages: dict[str, str]) -> None:
    """The data of a chart stand in a template as text; whatever a label holds, it parses as the same JSON."""
    import html
    import re

    for text in pages.values():
        for found in re.findall(r"<template>(.*?)</template>", text, re.DOTALL):
            assert "<" not in found
            json.loads(html.unescape(found))


def test_the_date_of_the_frozen_dossier() -> None:
    assert frozen().core.on == dt.date(2026, 3, 20)
