"""Prose as HTML. The tree is ours and holds no markup; a sanitiser goes over the result all the same."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache

import nh3
from markupsafe import Markup, escape

from asfound.model.prose import Node, read_prose
from asfound.pages.page import Href

_TAGS = {"p", "ul", "ol", "li", "blockquote", "pre", "code", "strong", "em", "br", "a", "span"}
_ATTRIBUTES = {"a": {"href", "class"}, "span": {"class"}}
_BLOCK = {"paragraph": "p", "list": "ul", "numbered": "ol", "entry": "li", "quote": "blockquote"}
_INLINE = {"strong": "strong", "stress": "em"}

ValueText = Callable[[str], str]
"""Id of a reading or result → its value and unit as text."""


class Prose:
    """Turns a text into HTML for one page."""

    def __init__(self, href: Href, value: ValueText) -> None:
        self._href, self._value = href, value

    def blocks(self, text: str) -> Markup:
        """Paragraphs and lists."""
        return _clean("".join(self._block(node) for node in read_prose(text).nodes))

    def line(self, text: str) -> Markup:
        """A single paragraph without its element; more than one are joined by spaces."""
        parts = []
        for node in read_prose(text).nodes:
            inner = "".join(self._inline(child) for child in node.children)
            parts.append(inner if node.kind == "paragraph" else self._block(node))
        return _clean(" ".join(parts))

    def _block(self, node: Node) -> str:
        if node.kind == "code":
            return f"<pre><code>{escape(node.text)}</code></pre>"
        if node.kind not in _BLOCK:
            return self._inline(node)
        tag = _BLOCK[node.kind]
        # A paragraph that is all of a list entry would only add space.
        children = node.children
        if node.kind == "entry" and len(children) == 1 and children[0].kind == "paragraph":
            children = children[0].children
        return f"<{tag}>{''.join(self._block(child) for child in children)}</{tag}>"

    def _inline(self, node: Node) -> str:
        if node.kind == "text":
            return str(escape(node.text))
        if node.kind in _INLINE:
            return f"<{_INLINE[node.kind]}>{''.join(map(self._inline, node.children))}</{_INLINE[node.kind]}>"
        if node.kind == "mono":
            return f"<code>{escape(node.text)}</code>"
        if node.kind == "break":
            return "<br>"
        if node.kind == "link":
            # Its class, not its address, says on paper that it leads out: a theme may make all addresses absolute.
            said = "".join(map(self._inline, node.children))
            return f'<a class="af-away" href="{escape(node.text)}">{said}</a>'
        if node.kind == "cite":
            # A mark beside the sentence and no word of it: set smaller, in the face of what is listed.
            return f'<span class="af-cite">{cited(node.text, node.text, self._href)}</span>'
        if node.kind == "value":
            return cited(node.text, self._value(node.text), self._href)
        return "".join(map(self._inline, node.children))


WIDEST = 30
"""Signs up to which a cited text stands in one line: an id always does, a value of many words would leave a phone."""


def cited(ref: str, text: str, href: Href) -> str:
    """A link to a record, or its text alone where it has no address."""
    at = href(ref)
    said, kind = escape(text), "af-ref" if len(text) <= WIDEST else "af-ref af-long"
    return f'<a class="{kind}" href="{escape(at)}">{said}</a>' if at else f'<span class="{kind}">{said}</span>'


_CITED = re.compile(r"\[([A-Z]-[a-z0-9]+(?:-[a-z0-9]+)*)\]")
_NAMED = re.compile(r"(?<![\w/.-])([A-Z]-[a-z0-9]+(?:-[a-z0-9]+)*)(?![\w/]|-\w)")


def linked(text: str, href: Href) -> Markup:
    """Plain text in which `[X-1]` becomes a link."""
    return _linked(text, _CITED, href)


def named(text: str, href: Href) -> Markup:
    """Plain text of ours in which a bare id becomes a link."""
    return _linked(text, _NAMED, href)


def _linked(text: str, pattern: re.Pattern[str], href: Href) -> Markup:
    parts, end = [], 0
    for found in pattern.finditer(text):
        parts += [str(escape(text[end : found.start()])), cited(found.group(1), found.group(1), href)]
        end = found.end()
    return Markup("".join([*parts, str(escape(text[end:]))]))


@lru_cache(maxsize=8192)
def _clean(html: str) -> Markup:
    return Markup(nh3.clean(html, tags=_TAGS, attributes=_ATTRIBUTES, link_rel="noopener noreferrer"))
