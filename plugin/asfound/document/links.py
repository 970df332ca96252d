"""Where links lead: each id stands once, and a link to an id that stands nowhere is words alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from asfound.document.inline import Element


def settle(*parts: Sequence[Any]) -> None:
    """Go over all elements in the order in which they are set, and mend ids and links in place.

    Of an id that stands twice the first counts, as in a browser. A link that leads nowhere in the document, such as one
    to the catalogue of rules, which is a page of the site and no part of the report, keeps its words.
    """
    seen: set[str] = set()
    for one in _elements(parts):
        ref = one.get("id", "")
        if ref in seen:
            one["id"] = ""
        elif ref:
            seen.add(ref)
    for one in _elements(parts):
        if one.get("k") == "a":
            to = one["to"]
            if to.startswith("#") and to[1:] not in seen:
                one.update(k="s", tone="")
                del one["to"]


def _elements(data: Any) -> Iterator[Element]:
    if isinstance(data, dict):
        yield data
        for inner in data.values():
            if isinstance(inner, dict | list):
                yield from _elements(inner)
    elif isinstance(data, list | tuple):
        for inner in data:
            if isinstance(inner, dict | list):
                yield from _elements(inner)
