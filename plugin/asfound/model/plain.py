"""Text that people wrote, made safe to show in a line of its own.

A case may hold any character, and some of them act instead of being seen: escape sequences move a terminal's cursor,
bidirectional marks turn the order of what is read, a line end begins a line that looks like another problem. Here they
are written out as `<U+202E>`, so that a reader sees that they are there.
"""

from __future__ import annotations

import unicodedata

# Controls, format marks (bidirectional, zero width), halves of surrogates, line and paragraph separators.
_ACTING = frozenset(("Cc", "Cf", "Cs", "Zl", "Zp"))


def plain(text: str) -> str:
    """The text with every acting character written out as its code point; the same text where there is none."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_shown(char) for char in text)


def _shown(char: str) -> str:
    return f"<U+{ord(char):04X}>" if unicodedata.category(char) in _ACTING else char
