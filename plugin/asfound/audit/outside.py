"""What a browser would fetch or send by itself, and whether it lies beyond the site."""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.audit.markup import Element

_AWAY = re.compile(r"\s*(?:(?:https?|ftp|wss?):|[/\\]{2})", re.IGNORECASE)
_STYLE = re.compile(r"""(?:url\(\s*|@import\s+(?:url\(\s*)?)["']?\s*((?:https?:|//)[^"')\s;]*)""", re.IGNORECASE)
_REFRESH = re.compile(r"""^\s*\d*\.?\d*\s*[;,]?\s*(?:url\s*=\s*)?["']?(.*?)["']?\s*$""", re.IGNORECASE)
_LOADED = {"stylesheet", "icon", "apple-touch-icon", "preload", "modulepreload", "prefetch", "prerender", "preconnect",
           "dns-prefetch", "manifest", "mask-icon"}  # fmt: skip
_FETCHED = {
    "script": ("src",), "img": ("src",), "source": ("src",), "iframe": ("src",), "frame": ("src",), "embed": ("src",),
    "object": ("data",), "video": ("src", "poster"), "audio": ("src",), "track": ("src",), "input": ("src",),
    "body": ("background",), "image": ("href", "xlink:href"), "use": ("href", "xlink:href"), "form": ("action",),
    "button": ("formaction",), "base": ("href",),
}  # fmt: skip


def away(address: str) -> bool:
    """Whether an address leaves the site."""
    return _AWAY.match(address) is not None


def fetched(one: Element) -> Iterator[tuple[str, str]]:
    """Each address that an element makes a browser fetch or send to, with the attribute it stands in."""
    for name in _FETCHED.get(one.tag, ()):
        if one.at.get(name):
            yield name, one.at[name]
    if one.tag == "input" and one.at.get("formaction"):
        yield "formaction", one.at["formaction"]
    if one.tag == "link" and _LOADED & set(one.at.get("rel", "").lower().split()):
        yield "href", one.at.get("href", "")
    if one.tag == "a" and one.at.get("ping"):
        yield "ping", one.at["ping"]
    for name in ("srcset", "imagesrcset"):
        for part in one.at.get(name, "").split(","):
            if part.strip():
                yield name, part.split()[0]
    if one.tag == "meta" and one.at.get("http-equiv", "").lower() == "refresh":
        found = _REFRESH.match(one.at.get("content", ""))
        if found:
            yield "content", found.group(1)


def styled(text: str) -> Iterator[tuple[int, str]]:
    """Each address beyond the site that a stylesheet fetches, with where in the text it stands."""
    for found in _STYLE.finditer(text):
        yield found.start(1), found.group(1)
