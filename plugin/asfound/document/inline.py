"""Text within a line, as data for the typesetter: strings, and elements that say what they are."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from asfound.document.tree import Node

Element = dict[str, Any]
"""An element: `k` is its kind, `in` what is in it. A text is a string, so that no text is taken for an element."""
Inline = list[Any]
"""Strings and elements."""

_BREAK = {"k": "br"}
_SPACE = re.compile(r"[ \t\r\n\f]+")
PLAIN = {"span", "abbr", "time", "cite", "q", "summary", "small", "label", "data"}
"""Elements that say nothing about how their text is set, unless a class of theirs does."""
STYLES = {"b": "b", "strong": "b", "em": "em", "i": "i", "code": "code", "kbd": "code", "sup": "sup", "sub": "sub",
          "mark": "b", "u": "em"}  # fmt: skip
TONES = {"af-gap": "gap", "af-out": "out", "af-soft": "soft", "af-line": "line", "af-label": "label"}
"""Classes that give a text its colour or its face."""
INLINE = frozenset({"a", "br", "wbr", *PLAIN, *STYLES})


def tone(node: Node) -> str:
    """What a class of an element says about how its text is set; empty where none does."""
    return next((TONES[one] for one in sorted(node.classes) if one in TONES), "")


def inline(children: list[Node | str], unknown: Callable[[Node], Any]) -> Inline:
    """A line of text; `unknown` is asked about an element that is none of a line."""
    out: Inline = []
    for one in children:
        if isinstance(one, str):
            said = _SPACE.sub(" ", one)
            if said:
                out.append(said)
        elif one.tag == "br":
            out.append({"k": "br"})
        elif one.tag == "wbr":
            out.append("\u200b")
        elif one.tag not in INLINE:
            out.append(unknown(one))
        else:
            out += _element(one, unknown)
    return out


def _element(one: Node, unknown: Callable[[Node], Any]) -> Inline:
    inner = inline(one.children, unknown)
    if one.tag == "a" and one.attributes.get("href"):
        inner = [{"k": "a", "to": one.attributes["href"], "in": inner}]
    elif one.tag in STYLES:
        inner = [{"k": STYLES[one.tag], "in": inner}]
    kind = tone(one)
    if kind:
        inner = [{"k": "s", "tone": kind, "in": inner}]
    return [{"k": "at", "id": one.id}, *inner] if one.id else inner


def trimmed(line: Inline) -> Inline:
    """Without spaces at its ends and beside its breaks."""
    out = list(line)
    for at, one in enumerate(out):
        if isinstance(one, str):
            before = at == 0 or out[at - 1] == _BREAK
            after = at == len(out) - 1 or out[at + 1] == _BREAK
            said = one.lstrip(" ") if before else one
            out[at] = said.rstrip(" ") if after else said
    while out and out[-1] in (_BREAK, ""):
        out.pop()
    while out and out[0] in (_BREAK, ""):
        out.pop(0)
    return [one for one in out if one != ""]


def plain(line: Inline) -> str:
    """The words of a line; a break is a line end."""
    out = []
    for one in line:
        if isinstance(one, str):
            out.append(one)
        else:
            out.append("\n" if one["k"] == "br" else plain(one.get("in", [])))
    return "".join(out)


def empty(line: Inline) -> bool:
    """Whether a line has neither words nor anything a link leads to."""
    return not plain(line).strip() and all(isinstance(one, str) or one["k"] == "br" for one in line)
