"""A page taken apart once: each element with its place, its attributes, what it stands in and its words."""

from __future__ import annotations

from html.parser import HTMLParser

from msgspec import Struct, field

_VOID = frozenset(
    ["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"]
)


class Element(Struct, eq=False):
    """One start tag. `line` and `column` count from 1; `words` are those between it and its end tag."""

    tag: str
    at: dict[str, str]
    line: int
    column: int
    above: Element | None
    words: list[str] = field(default_factory=list)
    inside: list[Element] = field(default_factory=list)

    @property
    def text(self) -> str:
        """All words inside it."""
        return "".join(self.words) + "".join(one.text for one in self.inside)

    def parents(self) -> list[Element]:
        """What it stands in, the nearest first."""
        found, one = [], self.above
        while one is not None:
            found.append(one)
            one = one.above
        return found


class Markup(HTMLParser):
    """All elements of a page in order, its ids, and the policy as it stands there."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[Element] = []
        self._open: list[Element] = []
        self.feed(text)
        self.close()
        self.names = {one.at[key] for one in self.elements for key in ("id", "name") if one.at.get(key)}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep an element, and what it stands in."""
        line, column = self.getpos()
        above = self._open[-1] if self._open else None
        found = Element(tag, {name: value or "" for name, value in attrs}, line, column + 1, above)
        self.elements.append(found)
        if above is not None:
            above.inside.append(found)
        if tag not in _VOID:
            self._open.append(found)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """`<path/>` closes itself within a drawing; in HTML proper the slash means nothing."""
        self.handle_starttag(tag, attrs)
        if tag not in _VOID and any(one.tag == "svg" for one in self._open):
            self._open.pop()

    def handle_endtag(self, tag: str) -> None:
        """Close the element, and whatever was left open in it."""
        for at in range(len(self._open) - 1, -1, -1):
            if self._open[at].tag == tag:
                del self._open[at:]
                return

    def handle_data(self, data: str) -> None:
        """Keep words with the element they stand in."""
        if self._open:
            self._open[-1].words.append(data)
