r"""A small language for phrases that are looked for in prose.

A phrase is written as it is said. Case does not count; a space is any white space; the phrase stands between the
bounds of words. Beyond that there are five signs:

    owing to                the words themselves
    neglig*                 an ending, or none
    caus(e|ed|ing)          one of these
    should (not|) have      one of these or nothing
    cause of … death        up to three words between
    # % certain             a number

Nothing in it repeats without end, so no phrase, whoever wrote it, can make a check run for ever.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

_TOKEN = re.compile(r"[()|*#…]|\s+|[^\s()|*#…]+")
_GAP = r"(?:\S+\s+){0,3}?"
_SIGNS = {"*": r"\w*", "#": r"\d[\d.,\u00a0\u202f]*"}
_PLAIN = str.maketrans({"’": "'", "‘": "'", "\u2010": "-", "\u2011": "-"})


class PhraseError(ValueError):
    """A phrase that cannot be read; its text is a clause that says why."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """One phrase, read.

    text     what was written
    keys     pieces of which one stands in every text it matches: looked for before anything else
    pattern  a regular expression for a folded text
    """

    text: str
    keys: tuple[str, ...]
    pattern: str

    def find(self, folded: str) -> Iterator[tuple[int, int]]:
        """Where it stands in a text that `fold` has made plain."""
        if any(key in folded for key in self.keys):
            for match in _compiled(self.pattern).finditer(folded):
                yield match.span()


def fold(text: str) -> str:
    """A text as phrases are held against it: apostrophes straight, no capitals, every letter in its place.

    >>> fold("It’s DUE")
    "it's due"
    """
    lowered = text.lower()
    if len(lowered) != len(text):
        # Some capitals have two small letters; such a one is left alone rather than move all that follows it.
        lowered = "".join(small if len(small := letter.lower()) == 1 else letter for letter in text)
    return lowered.translate(_PLAIN)


def composed(text: str) -> str:
    """A text with its accents put together (NFC), so that a letter is one letter however it was typed."""
    return text if text.isascii() else unicodedata.normalize("NFC", text)


@lru_cache(maxsize=4096)
def read_phrase(text: str) -> Phrase:
    """Read a phrase.

    Raises PhraseError where it holds no word of its own, a bracket is not closed, or a sign stands where it means
    nothing.

    >>> [*read_phrase("should (not|) have").find("it should have been shut")]
    [(3, 14)]
    """
    tokens = _TOKEN.findall(fold(text.strip()))
    reader = _Reader(tokens)
    pattern = reader.sequence()
    if reader.at < len(tokens):
        raise PhraseError(f'"{tokens[reader.at]}" stands outside brackets')
    key = max(reader.fixed, key=len, default="")
    keys = (key,) if key else reader.heads
    if not keys:
        raise PhraseError("it holds no word that always stands there")
    return Phrase(text, keys, rf"(?<!\w){pattern}(?!\w)")


@lru_cache(maxsize=4096)
def _compiled(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern)


class _Reader:
    """Reads tokens from left to right.

    fixed  the words outside brackets
    heads  how the choices of the first bracket begin that is never empty
    """

    def __init__(self, tokens: list[str]) -> None:
        self.tokens = tokens
        self.at = 0
        self.depth = 0
        self.fixed: list[str] = []
        self.heads: tuple[str, ...] = ()

    def sequence(self) -> str:
        """Words with white space between them, up to a bar or a bracket."""
        found, between = "", ""
        while self.at < len(self.tokens) and self.tokens[self.at] not in "|)":
            if self.tokens[self.at].isspace():
                self.at += 1
            elif self.tokens[self.at] == "…":
                if not found:
                    raise PhraseError("three dots stand before the first word")
                between = rf"\s+{_GAP}"
                self.at += 1
            else:
                word, optional = self.word()
                if not optional:
                    found, between = f"{found}{between}{word}", r"\s+"
                elif found:
                    # A word that may be left away takes the space before it along, or, as the first one, the next.
                    found = f"{found}(?:{between}{word})?"
                else:
                    found = rf"(?:{word}\s+)?"
        return found

    def word(self) -> tuple[str, bool]:
        """One word, and whether it may be left away."""
        pieces: list[str] = []
        empty = False
        while self.at < len(self.tokens):
            token = self.tokens[self.at]
            if token.isspace() or token in "|)…":
                break
            self.at += 1
            if token == "(":
                choice, empty = self.choice()
                pieces.append(choice + "?" * empty)
            elif token == "*" and not pieces:
                raise PhraseError("a star stands without the beginning of a word")
            else:
                pieces.append(_SIGNS.get(token) or re.escape(token))
                if not self.depth:
                    self.fixed.append("" if token in _SIGNS else token)
        alone = empty and len(pieces) == 1
        return pieces[0].removesuffix("?") if alone else "".join(pieces), alone

    def choice(self) -> tuple[str, bool]:
        """What stands between brackets, and whether one of the choices is nothing."""
        self.depth += 1
        starts = [self.at]
        options = [self.sequence()]
        while self.at < len(self.tokens) and self.tokens[self.at] == "|":
            self.at += 1
            starts.append(self.at)
            options.append(self.sequence())
        if self.at >= len(self.tokens):
            raise PhraseError("a bracket is not closed")
        self.at += 1
        self.depth -= 1
        said = sorted((one for one in options if one), key=len, reverse=True)
        if not said:
            raise PhraseError("a bracket holds nothing")
        heads = tuple(self.tokens[start] for start in starts)
        if not self.depth and not self.heads and all(options) and not {*heads} & {"(", *_SIGNS}:
            self.heads = heads
        return f"(?:{'|'.join(said)})", "" in options
