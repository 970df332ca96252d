"""Prose as one small tree, which page, document and pack all use.

Markdown (CommonMark, read by markdown-it-py) without HTML, images and headings; plus two forms of our own:
`[R-output-3]` links a record, `[=R-output-3]` prints its value and unit from the table, so that a number is
never typed twice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from asfound.model.base import REF_PATTERN

if TYPE_CHECKING:
    from collections.abc import Sequence

    from markdown_it import MarkdownIt
    from markdown_it.token import Token

_CITE = re.compile(r"\[(=?)(" + REF_PATTERN.strip("^$") + r")\]")
# A line that begins with a letter or a citation and holds no other sign of Markdown. Lines like this alone are one
# paragraph, and most texts are such: the whole grammar takes ten times as long over them. Nothing is tried in two ways.
_LINE = re.compile(
    r"(?=[^\W\d_]|\[)(?:[^\\`*_\[\]<&!\x00-\x1f]++|\[=?" + REF_PATTERN.strip("^$") + r"\](?![(\[:]))++(?<!\s)"
)


@dataclass(frozen=True, slots=True)
class Node:
    """A node of the tree.

    kind: `paragraph`, `list`, `numbered`, `entry`, `quote`, `code` (block); `text`, `strong`, `stress`, `mono`,
    `break`, `link` (inline, `text` is the address), `cite` (`text` is an id), `value` (`text` is an id whose
    value is printed).
    """

    kind: str
    text: str = ""
    children: tuple[Node, ...] = ()


@dataclass(frozen=True, slots=True)
class ProseFault:
    """Something the small language does not have. `line` counts from 0 within the text."""

    line: int
    found: str
    needed: str
    mend: str


@dataclass(frozen=True, slots=True)
class Prose:
    """A text, read."""

    nodes: tuple[Node, ...]
    faults: tuple[ProseFault, ...] = ()

    def walk(self) -> Iterator[Node]:
        """Every node, parents first."""
        stack = list(reversed(self.nodes))
        while stack:
            node = stack.pop()
            yield node
            stack.extend(reversed(node.children))

    @property
    def refs(self) -> tuple[str, ...]:
        """Ids it cites or prints, in order, each once."""
        return tuple(dict.fromkeys(node.text for node in self.walk() if node.kind in {"cite", "value"}))

    @property
    def plain(self) -> str:
        """The words alone, for word rules: citations drop out, blocks are parted by a line end."""
        return "\n".join("".join(_plain(node)) for node in self.nodes)


QUOTED = re.compile(r'“[^”]*”|"[^"]*"|‘[^’\n]{2,}’')
"""Words in quotation marks, straight or curly."""
_WORD = re.compile(r"\w+")


def quotations(text: str) -> tuple[str, ...]:
    """Words of somebody else in a text: quoted passages, and quotation marks around three words or more.

    A word or two in quotation marks is a label or a legend and tells nothing.

    >>> quotations('The tag reads “READY”. The porter said: “it moved by itself”.')
    ('it moved by itself',)
    """
    prose = read_prose(text)
    passages = tuple(" ".join("".join(_plain(node)).split()) for node in prose.walk() if node.kind == "quote")
    outside = Prose(tuple(node for node in prose.nodes if node.kind != "quote"), ()).plain
    said = tuple(one[1:-1].strip() for one in QUOTED.findall(outside))
    return (*passages, *(one for one in said if len(_WORD.findall(one)) > 2))


def _plain(node: Node) -> Iterator[str]:
    if node.kind in {"text", "mono", "code"}:
        yield node.text
    elif node.kind == "break":
        yield "\n"
    for child in node.children:
        yield from _plain(child)
    if node.kind in {"paragraph", "entry"} and node.children:
        yield "\n" if node.kind == "entry" else ""


_BLOCKS = {
    "paragraph_open": "paragraph",
    "bullet_list_open": "list",
    "ordered_list_open": "numbered",
    "list_item_open": "entry",
    "blockquote_open": "quote",
}
_INLINE = {"strong_open": "strong", "em_open": "stress", "link_open": "link"}
_REFUSED = {
    "html_block": ("HTML", "Say it in plain Markdown."),
    "html_inline": ("HTML", "Say it in plain Markdown."),
    "image": ("an image", "Register the picture in evidence.yml and cite it, as in [E-3]."),
    "heading_open": ("a heading", "Leave headings to the report; write paragraphs and lists."),
    "hr": ("a rule", "Leave it out; write paragraphs and lists."),
}


@lru_cache(maxsize=4096)
def read_prose(source: str) -> Prose:
    """Read a text. Never raises on what a person typed; what the language lacks becomes a fault."""
    lines = source.split("\n")
    if all(_LINE.fullmatch(line) for line in lines):
        inline: list[Node] = []
        for line in lines:
            inline += (Node("text", " "), *_cites(line)) if inline else _cites(line)
        return Prose((Node("paragraph", "", tuple(inline)),))
    return read_markdown(source)


def read_markdown(source: str) -> Prose:
    """Read a text by the whole grammar, to which `read_prose` leaves all but the plainest."""
    faults: list[ProseFault] = []
    tokens = _parser().parse(source)
    nodes, _ = _blocks(tokens, 0, faults)
    return Prose(tuple(nodes), tuple(faults))


@cache
def _parser() -> MarkdownIt:
    """The parser, which keeps nothing from one text to the next; making one costs as much as a text."""
    # Imported here: commands that read no prose need not load it.
    from markdown_it import MarkdownIt

    return MarkdownIt("commonmark")


def _refuse(token: Token, line: int, faults: list[ProseFault]) -> None:
    what, mend = _REFUSED[token.type]
    faults.append(ProseFault(line, f"the text holds {what}", "paragraphs, lists and citations are needed", mend))


def _blocks(tokens: Sequence[Token], at: int, faults: list[ProseFault]) -> tuple[list[Node], int]:
    nodes: list[Node] = []
    while at < len(tokens):
        token = tokens[at]
        line = token.map[0] if token.map else 0
        at += 1
        if token.nesting == -1:
            return nodes, at
        if token.type in _REFUSED:
            _refuse(token, line, faults)
        if token.nesting == 1:
            children, at = _blocks(tokens, at, faults)
            nodes.append(Node(_BLOCKS.get(token.type, "paragraph"), "", tuple(children)))
        elif token.type == "inline":
            inline, _ = _inline(token.children or [], 0, line, faults)
            nodes.extend(inline)
        elif token.type in {"fence", "code_block"}:
            nodes.append(Node("code", token.content))
        elif token.type == "html_block":
            nodes.append(Node("paragraph", "", (Node("text", token.content),)))
    return nodes, at


def _inline(tokens: Sequence[Token], at: int, line: int, faults: list[ProseFault]) -> tuple[list[Node], int]:
    nodes: list[Node] = []
    while at < len(tokens):
        token = tokens[at]
        at += 1
        if token.nesting == -1:
            return nodes, at
        if token.nesting == 1:
            children, at = _inline(tokens, at, line, faults)
            href = str(token.attrGet("href") or "")
            if token.type == "link_open" and not href.startswith(("https://", "http://", "mailto:")):
                faults.append(
                    ProseFault(
                        line,
                        f'a link leads to "{href}"',
                        "an address that starts with https:// is needed",
                        "Cite records by id in square brackets instead.",
                    )
                )
                nodes.extend(children)
            else:
                nodes.append(Node(_INLINE.get(token.type, "stress"), href, tuple(children)))
        elif token.type == "text":
            nodes.extend(_cites(token.content))
        elif token.type == "code_inline":
            nodes.append(Node("mono", token.content))
        elif token.type in {"softbreak", "hardbreak"}:
            line += 1
            nodes.append(Node("text", " ") if token.type == "softbreak" else Node("break"))
        elif token.type in _REFUSED:
            _refuse(token, line, faults)
            nodes.append(Node("text", token.content))
    return nodes, at


def _cites(text: str) -> Iterator[Node]:
    end = 0
    for match in _CITE.finditer(text):
        if match.start() > end:
            yield Node("text", text[end : match.start()])
        yield Node("value" if match.group(1) else "cite", match.group(2))
        end = match.end()
    if end < len(text):
        yield Node("text", text[end:])
