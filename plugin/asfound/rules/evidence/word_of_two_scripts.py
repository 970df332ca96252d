"""A word is written in one script.

Fails: a Latin word in which one letter is its Cyrillic or Greek twin.
Passes: "61 μA" and "68 Ω", whose Greek letters are signs of units; a word wholly in another script.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.phrases import composed
from asfound.model.walk import SpotKind, walk_case
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="word-of-two-scripts",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A word is written in the letters of one script.",
    reason="Letters that look alike and are not make two words of one: a search, a rule and a reader then differ.",
    source="Unicode Technical Standard 39, 5.1 (mixed scripts)",
    status="from memory",
    mend="Type the word anew; it was probably copied from elsewhere.",
    rows=("R97",),
)

_WORD = re.compile(r"[^\W\d_]{2,}")
_SCRIPTS = ("LATIN", "GREEK", "CYRILLIC", "ARMENIAN", "CHEROKEE")
_SIGNS = frozenset("µμΩΩ°")
"""Signs of units that are letters of another script, or stand among letters."""


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text, at its first such word."""
    for spot in walk_case(facts.case):
        if spot.kind not in {SpotKind.PROSE, SpotKind.TEXT} or not isinstance(spot.value, str) or spot.value.isascii():
            continue
        word = mixed(spot.value)
        if word:
            odd = next(letter for letter in word if _script(letter) not in {"", _script_of_most(word)})
            yield facts.problem(
                ENTRY,
                spot.where,
                *spot.path,
                about="",
                found=f"in “{word}” one letter is {unicodedata.name(odd).lower()}",
                needed="a word in the letters of one script is needed",
            )


def mixed(text: str) -> str:
    """The first word of a text with letters of two scripts that have twins; empty where there is none.

    >>> mixed("defective"), mixed("61 μA")
    ('', '')
    """
    for match in _WORD.finditer(composed(text)):
        word = match.group()
        if not word.isascii() and len({_script(letter) for letter in word} - {""}) > 1:
            return word
    return ""


def _script(letter: str) -> str:
    name = "" if letter in _SIGNS else unicodedata.name(letter, "")
    return next((script for script in _SCRIPTS if name.startswith(script)), "")


def _script_of_most(word: str) -> str:
    scripts = [script for letter in word if (script := _script(letter))]
    return max(scripts, key=lambda script: (scripts.count(script), script == "LATIN"))
