"""No person is named: people appear by role.

Looked for are a title and a surname ("Dr" and a capitalised word), a calling and a surname ("nurse" and a capitalised
word), and two capitalised words with letters of a calling behind them ("RN"), in every text of the case and in the
names of evidence files. The words are the lists *titles*, *callings*, *letters-after-names* and *not-surnames*; an
organisation may let a phrase pass, and the check then says so in a note.

Fails: an account that names the nurse by title and surname.
Passes: "the ward nurse"; "Nurse Call button"; "the nurse on Monday".
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache

from msgspec import Struct

from asfound.model.facts import Facts
from asfound.model.phrases import composed
from asfound.model.prose import read_prose
from asfound.model.walk import SpotKind, walk_case
from asfound.model.words import Hit, Word, WordList, covers
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._lexicon import let_pass
from asfound.rules._texts import Said

ENTRY = Entry(
    name="person-named",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="No person is named: people appear by role.",
    reason="Names invite blame, and once a name is in the history of a repository it is hard to take out.",
    source="ASTM E1020-13e1, 4.2 (factual, without blame); the rule against names is ours",
    status="ours",
    mend="Write the role instead, and see that the name also leaves the history before the case is shared.",
    rows=("R99",),
)

_INITIALS = r"(?:[^\W\d_]\.[ \u00a0]*)*"
_BEFORE = r"(?:[OD]['’]|(?:Mac|Mc|van der|von der|van|von|de|di|du|da|la|le|El|Al|Ben) )?"
_NAME = rf"(?:{_BEFORE}[^\W\d_]+(?:[-'’][^\W\d_]+)*)"
_PARTS = re.compile(r"[-'’ ]")
_RUN = re.compile(r"\w+")


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text that names somebody. The name itself is not repeated, since problems are printed."""
    looked = Looked.of(facts.book.words)
    if looked is None:
        return
    for spot in walk_case(facts.case):
        if spot.kind not in {SpotKind.PROSE, SpotKind.TEXT} or not isinstance(spot.value, str):
            continue
        text = read_prose(spot.value).plain if spot.kind is SpotKind.PROSE else spot.value
        found = looked.names(text)
        bare = [one for one in found if one.allowed is None]
        if bare:
            yield facts.problem(
                ENTRY,
                spot.where,
                *spot.path,
                about="",
                found="the text seems to name a person, by a title or calling and a surname",
                needed="the role is needed instead of the name",
            )
        for one in found:
            if one.allowed is not None:
                said = Said(spot.where, spot.path, "the text", text, ())
                yield let_pass(facts, ENTRY, said, one)
    for ref, evidence in facts.case.evidence.items():
        if evidence.file is not None and looked.names(re.sub(r"[_./-]+", " ", evidence.file)):
            yield facts.problem(
                ENTRY,
                ref,
                "file",
                about="",
                found="the file's name seems to name a person",
                needed="a name without persons is needed",
            )


class Looked(Struct, frozen=True):
    """What is looked for, made ready once.

    by_…          patterns, each with the surname as its only group
    not_surnames  words that are none behind a calling; a calling behind a calling is none either
    callings      every calling, in small letters
    heads_of_…    how the words begin of which one must stand in a text with a name, in small letters
    """

    by_title: re.Pattern[str]
    by_calling: re.Pattern[str]
    by_letters: re.Pattern[str]
    not_surnames: WordList
    callings: frozenset[str]
    heads_of_titles: frozenset[str]
    heads_of_callings: frozenset[str]
    heads_of_letters: frozenset[str]

    @staticmethod
    def of(words: Mapping[str, WordList]) -> Looked | None:
        """From the lists of a book; None from a book without them, as some trials of single rules have."""
        lists = [words[name] for name in ("titles", "callings", "letters-after-names", "not-surnames") if name in words]
        return _looked(*lists) if len(lists) == 4 else None

    def names(self, text: str) -> tuple[Hit, ...]:
        """Surnames a text seems to hold. A phrase that an organisation lets pass is marked as such."""
        text, found = composed(text), []
        # Most texts hold none of the words, and to see that costs far less than a pattern. A word of the lists stands
        # between bounds of words, so its beginning is a word of the text.
        words = {"", *_RUN.findall(text.lower())}
        if not words.isdisjoint(self.heads_of_titles):
            found += [(match, True) for match in self.by_title.finditer(text)]
        if not words.isdisjoint(self.heads_of_callings):
            found += [(match, False) for match in self.by_calling.finditer(text)]
        if not words.isdisjoint(self.heads_of_letters):
            found += [(match, False) for match in self.by_letters.finditer(text)]
        allowed = self.not_surnames.allow.values()
        hits = []
        for match, titled in found:
            name = match.group("name")
            if not _like_a_name(name) or (not titled and self._no_surname(name)):
                continue
            start, end = match.span("name")
            passed = next((one for one in allowed if covers(one.say, text, start, end)), None)
            hits.append(Hit("surname", _SURNAME, match.group(0), start, end, passed))
        return tuple(hits)

    def _no_surname(self, name: str) -> bool:
        return name in self.not_surnames.typed or name.lower() in self.callings


_SURNAME = Word(say=("a surname",), why="names a person")


def _like_a_name(word: str) -> bool:
    """A capital, then small letters, in any script that has both; joined names too (O'Neil, Smith-Jones, von Berg)."""
    last = [part for part in _PARTS.split(word) if part][-1]
    return last[0].isupper() and len(last) > 1 and any(letter.islower() for letter in last)


@lru_cache(maxsize=16)
def _patterns(
    titles: frozenset[str], callings: frozenset[str], letters: frozenset[str]
) -> tuple[re.Pattern[str], re.Pattern[str], re.Pattern[str]]:
    title, calling, behind = (
        "|".join(re.escape(one) for one in sorted(many, key=lambda one: (-len(one), one)))
        for many in (titles, callings, letters)
    )
    return (
        re.compile(rf"\b(?:{title})\b\.?[ \u00a0]+(?:(?:Dr|med|Prof)\.?[ \u00a0]+)*{_INITIALS}(?P<name>{_NAME})"),
        re.compile(rf"\b(?i:{calling})[ \u00a0]+{_INITIALS}(?P<name>{_NAME})"),
        re.compile(rf"\b[^\W\d_]+[ \u00a0]+(?P<name>{_NAME}),?[ \u00a0]+(?:{behind})\b"),
    )


def _looked(titles: WordList, callings: WordList, letters: WordList, not_surnames: WordList) -> Looked:
    words = (titles.typed, callings.typed, letters.typed)
    return Looked(*_patterns(*words), not_surnames, callings.typed, *(_heads(one) for one in words))


def _heads(words: frozenset[str]) -> frozenset[str]:
    """How words begin: what stands in each up to the first sign, in small letters; empty for one of signs alone."""
    return frozenset(next(iter(_RUN.findall(word.lower())), "") for word in words)
