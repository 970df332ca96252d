"""The files a page needs beside it. Styles and scripts lie in parts, one file a subject, and are published joined."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from importlib import resources

_VENDORED = ("plotly-basic.min.js",)


@cache
def style() -> str:
    """The stylesheet: `styles/*.css` in the order of their names. The numbers are the order of what outweighs what."""
    return _joined("styles")


@cache
def script() -> str:
    """The script: `scripts/*.js` in the order of their names; each works without the others."""
    return _joined("scripts")


def shipped() -> Iterator[tuple[str, bytes]]:
    """What is published, by its path below the folder of assets."""
    root = resources.files("asfound.pages.assets")
    yield "asfound.css", style().encode("utf-8")
    yield "asfound.js", script().encode("utf-8")
    for name in _VENDORED:
        yield name, (root / name).read_bytes()
    for font in sorted((root / "fonts").iterdir(), key=lambda one: one.name):
        yield f"fonts/{font.name}", font.read_bytes()


def font(name: str) -> bytes:
    """A font by its path in the stylesheet, `fonts/….woff2`."""
    return (resources.files("asfound.pages.assets") / name).read_bytes()


def _joined(folder: str) -> str:
    parts = sorted((resources.files("asfound.pages.assets") / folder).iterdir(), key=lambda one: one.name)
    return "\n".join(part.read_text("utf-8") for part in parts)
