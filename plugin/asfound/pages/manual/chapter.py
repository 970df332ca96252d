"""A chapter of the manual: Markdown to HTML. The text is the program's own; raw HTML in it is shown as text.

A fenced block says what it is in its first words, so that the tests can do what a reader is told to do:

    sh run            typed at a shell, in order, in one folder a chapter; `fails=1` where that exit code is meant
    text shows        what the block before it prints; a line of `…` stands for any lines
    yaml file=PATH    what the file at PATH holds from here on, likewise csv and the others
    csv spreadsheet=PATH  what is typed in a spreadsheet, which saves it at PATH as one with decimal commas does
    text camera       photographs that lie there from here on: a name, and the time the camera wrote into it, a line
    sh                shown, and not tried: where a network or a person is needed
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from html import escape
from typing import Any

from markdown_it import MarkdownIt
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markupsafe import Markup
from msgspec import Struct

from asfound.pages.page import Entry

Link = Callable[[str], str]

_WHOLE = 32
"""A longer word may break, since a phone's line holds no more."""


class Fence(Struct, frozen=True):
    """A fenced block: language, the words after it, text, and the line in the chapter its fence stands on, from 1."""

    language: str
    marks: tuple[str, ...]
    text: str
    line: int

    def mark(self, name: str) -> str | None:
        """What stands behind `name=`; "" for the bare word, None where it is not there."""
        for one in self.marks:
            key, _, value = one.partition("=")
            if key == name:
                return value
        return None


class Chapter(Struct, frozen=True):
    """A chapter, read: its title and first paragraph apart from the rest."""

    title: str
    lede: str
    body: Markup
    headings: tuple[Entry, ...]


def fences(text: str) -> Iterator[Fence]:
    """The fenced blocks of a chapter in order."""
    for token in _parser().parse(text):
        if token.type == "fence":
            yield _fence(token)


def read_chapter(text: str, link: Link) -> Chapter:
    """Read a chapter. It begins with a heading of level 1 and a paragraph; raises ValueError where it does not."""
    parser = _parser()
    tokens = parser.parse(text)
    kinds = [token.type for token in tokens[:6]]
    if kinds[:4] != ["heading_open", "inline", "heading_close", "paragraph_open"] or tokens[0].tag != "h1":
        raise ValueError("a chapter begins with its title and a paragraph that says what it is for")
    headings = []
    taken: set[str] = set()
    for at, token in enumerate(tokens):
        if token.type == "heading_open" and token.tag != "h1":
            title = _plain(tokens[at + 1])
            anchor = _slug(title)
            if anchor in taken:
                raise ValueError(f'two headings of a chapter are both "{anchor}"')
            taken.add(anchor)
            token.attrSet("id", anchor)
            headings.append(Entry(int(token.tag[1]), anchor, title))
        for inner in token.children or ():
            if inner.type == "link_open":
                inner.attrSet("href", link(str(inner.attrGet("href"))))
    body = parser.renderer.render(tokens[6:], parser.options, {})
    return Chapter(_plain(tokens[1]), _plain(tokens[4]), Markup(body), tuple(headings))


def _parser() -> MarkdownIt:
    parser = MarkdownIt("commonmark", {"html": False}).enable("table")
    parser.add_render_rule("fence", _fence_html)
    parser.add_render_rule("code_inline", _code_html)
    parser.add_render_rule("table_open", _table_open)
    parser.add_render_rule("table_close", _table_close)
    parser.add_render_rule("th_open", _head_open)
    return parser


def _fence(token: Token) -> Fence:
    language, *marks = token.info.split()
    return Fence(language, tuple(marks), token.content, (token.map or [0])[0] + 1)


def _fence_html(_self: RendererHTML, tokens: Sequence[Token], at: int, _options: Any, _env: Any) -> str:
    one = _fence(tokens[at])
    file, typed = one.mark("file"), one.mark("spreadsheet")
    if typed:
        name, kind = f"Typed in a spreadsheet, {typed}", "af-file"
    elif one.mark("camera") is not None:
        name, kind = "From the camera, with the time it wrote", "af-file"
    elif one.mark("shows") is not None:
        name, kind = "It prints", "af-printed"
    elif file:
        name, kind = file, "af-file"
    else:
        name, kind = "Type", "af-typed"
    told = f'<p class="af-code-name">{escape(name)}</p>' if kind != "af-typed" else ""
    return (
        f'<div class="af-code {kind}">{told}<pre tabindex="0" role="region" aria-label="{escape(name)}"><code>'
        f"{escape(one.text)}</code></pre></div>\n"
    )


def _code_html(_self: RendererHTML, tokens: Sequence[Token], at: int, _options: Any, _env: Any) -> str:
    """What is typed, in a line of text. A word stays whole: `--` at a line's end would read as an option itself."""
    words = (escape(word) for word in tokens[at].content.split(" "))
    whole = (f'<span class="af-whole">{word}</span>' if "-" in word and len(word) <= _WHOLE else word for word in words)
    return f"<code>{' '.join(whole)}</code>"


def _table_open(_self: RendererHTML, _tokens: Sequence[Token], _at: int, _options: Any, _env: Any) -> str:
    return '<div class="af-scroll" tabindex="0" role="region" aria-label="Table"><table class="af-table">\n'


def _table_close(_self: RendererHTML, _tokens: Sequence[Token], _at: int, _options: Any, _env: Any) -> str:
    return "</table></div>\n"


def _head_open(_self: RendererHTML, _tokens: Sequence[Token], _at: int, _options: Any, _env: Any) -> str:
    return '<th scope="col">'


def _plain(token: Token) -> str:
    return "".join(" " if one.type == "softbreak" else one.content for one in token.children or ())


def _slug(title: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")
