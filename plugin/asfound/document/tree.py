"""HTML of ours as a tree. Nothing is repaired: a body that does not close its elements is a fault of a template."""

from __future__ import annotations

import re
from html.parser import HTMLParser

from msgspec import Struct, field

from asfound.document.report import Undocumentable

EMPTY = frozenset({"br", "hr", "img", "col", "wbr"})
_DRAWING = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
MARK = "drawing"
"""What stands in a body for a drawing. A reader of HTML would make its attributes small letters."""


class Node(Struct):
    """An element with its attributes, and what is in it: elements and texts."""

    tag: str
    attributes: dict[str, str]
    children: list[Node | str] = field(default_factory=list)

    @property
    def classes(self) -> frozenset[str]:
        """Its classes."""
        return frozenset(self.attributes.get("class", "").split())

    @property
    def id(self) -> str:
        """Its id; empty where it has none."""
        return self.attributes.get("id", "")

    def find(self, tag: str) -> Node | None:
        """The first element of that name directly in it."""
        return next((one for one in self.children if isinstance(one, Node) and one.tag == tag), None)

    def all(self, tag: str) -> list[Node]:
        """The elements of that name directly in it."""
        return [one for one in self.children if isinstance(one, Node) and one.tag == tag]

    @property
    def text(self) -> str:
        """All text in it, spaces as they are."""
        return "".join(one if isinstance(one, str) else one.text for one in self.children)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Node("body", {})
        self._open = [self.root]
        self.faults: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = Node(tag, {name: value or "" for name, value in attrs})
        self._open[-1].children.append(node)
        if tag not in EMPTY:
            self._open.append(node)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._open[-1].children.append(Node(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        if len(self._open) > 1 and self._open[-1].tag == tag:
            self._open.pop()
        elif tag not in EMPTY:
            line, column = self.getpos()
            self.faults.append(
                f"</{tag}> stands in line {line}, column {column + 1} of the report while <{self._open[-1].tag}> is "
                "open; each element has to be closed in its turn; mend the template that wrote it"
            )

    def handle_data(self, data: str) -> None:
        self._open[-1].children.append(data)

    @property
    def left(self) -> list[str]:
        return [node.tag for node in self._open[1:]]


def read(html: str) -> tuple[Node, list[str]]:
    """The tree of a body, and its drawings. An element `drawing` with the number of one stands in place of each.

    Raises Undocumentable where elements are not closed in their turn.
    """
    drawings: list[str] = []

    def take(found: re.Match[str]) -> str:
        drawings.append(found.group(0))
        return f'<{MARK} n="{len(drawings) - 1}"></{MARK}>'

    reader = _Reader()
    reader.feed(_DRAWING.sub(take, html))
    reader.close()
    if reader.left and not reader.faults:
        reader.faults.append(f"<{reader.left[-1]}> is never closed in the report; mend the template that wrote it")
    if reader.faults:
        raise Undocumentable(reader.faults[0])
    return reader.root, drawings
