"""Words that rules look for in prose, as data: each with its reason, its source, and what it lets pass."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import Any

from asfound.model.base import Day, Prose, Record, Role, Slug, Text, YesNo
from asfound.model.phrases import Phrase, fold, read_phrase
from asfound.model.reasoning import ConfidenceLevel
from asfound.model.source import SourceStatus


class Passage(StrEnum):
    """Which texts of a case a list is held against."""

    FACTS = "facts"
    """Findings, the account and the summary of the event, captions, inspection, what was touched, the time line."""
    CONCLUSION = "conclusion"
    """Mechanism, reason, the facts that carry them, what stays open, the limits of the work."""
    EXPLANATIONS = "explanations"
    """What is said of the rival explanations."""
    EVERYWHERE = "everywhere"
    """Every text of the case."""


class Word(Record):
    """One entry of a list: phrases that share a reason."""

    say: tuple[Text, ...]
    """Phrases, as they are said; `*` any ending, `(a|b)` one of these, `…` up to three words, `#` a number."""
    why: Text
    """The reason, a clause that follows *which*."""
    unless: tuple[Text, ...] = ()
    """Phrases that let a word pass where they cover it."""
    only_asserted: YesNo = False
    """Whether a denial, a question or a supposition is let pass, as in `does not prove` or `whether it proves`."""
    from_level: ConfidenceLevel | None = None
    """The level of the conclusion from which the words may be said; without it, they may not be said at any."""
    source: Text | None = None
    """Where it differs from the list's."""
    status: SourceStatus | None = None
    """How well the source was read."""
    refuses: tuple[Text, ...] = ()
    """Sentences that must be found out; tried whenever the list is read."""
    passes: tuple[Text, ...] = ()
    """Sentences that must be let pass; tried as well."""


class Allowance(Record):
    """A phrase an organisation lets pass. Where it does, the check says so in a note; nothing falls silent."""

    say: Text
    """The phrase, with a word of its own around what the list would find."""
    why: Prose
    """Why these words may stand."""
    by: Role
    """Who answers for it, by role."""
    on: Day
    """Day it was decided."""


class WordList(Record):
    """A list of words that a rule looks for."""

    words: Slug
    """Name of the list."""
    rule: Slug
    """The rule that asks it."""
    title: Text
    where: tuple[Passage, ...]
    source: Text
    status: SourceStatus
    closed: YesNo = False
    """Whether its words let something pass, so that an organisation adds to it only under `allow`, and with a note."""
    let_pass_with: tuple[Text, ...] = ()
    """Phrases that, anywhere in the same sentence, make it a denial or a question."""
    entries: dict[Slug, Word]
    allow: dict[Slug, Allowance] = {}

    @cached_property
    def ready(self) -> tuple[_Ready, ...]:
        """The phrases, read once."""
        return tuple(
            _Ready(name, word, phrase, tuple(read_phrase(one) for one in word.unless))
            for name, word in self.entries.items()
            for phrase in (read_phrase(one) for one in word.say)
        )

    @cached_property
    def keyed(self) -> tuple[tuple[str, int], ...]:
        """Each key of a phrase, with the number of the phrase: a sentence without its keys is not asked of it.

        In one row, since a sentence holds the keys of few phrases and is asked of a hundred.
        """
        return tuple((key, number) for number, ready in enumerate(self.ready) for key in ready.phrase.keys)

    @cached_property
    def denials(self) -> tuple[Phrase, ...]:
        """The phrases of `let_pass_with`, read once."""
        return tuple(read_phrase(one) for one in self.let_pass_with)

    @cached_property
    def typed(self) -> frozenset[str]:
        """The words as typed, for lists of words rather than phrases: titles, callings and the like."""
        return frozenset(one for word in self.entries.values() for one in word.say)

    def having(self, **changes: Any) -> WordList:
        """The list with fields changed. A plain copy would carry the phrases read of the old ones along."""
        fields = {name: getattr(self, name) for name in type(self).model_fields}
        return type(self).model_construct(**{**fields, **changes})

    def hits(self, sentence: str) -> tuple[Hit, ...]:
        """What stands in one sentence, in order, the longest where words overlap.

        Raises PhraseError where a phrase cannot be read; lists are looked over before they come into a book.
        """
        folded = fold(sentence)
        found: list[Hit] = []
        for number in sorted({number for key, number in self.keyed if key in folded}):
            ready = self.ready[number]
            for start, end in ready.phrase.find(folded):
                if any(_covers(one, folded, start, end) for one in ready.unless):
                    continue
                if ready.word.only_asserted and not asserted(folded, start):
                    continue
                found.append(Hit(ready.name, ready.word, sentence[start:end], start, end))
        if not found or any(next(one.find(folded), None) for one in self.denials):
            return ()
        return tuple(self._allowed(hit, folded) for hit in _longest(found))

    def _allowed(self, hit: Hit, folded: str) -> Hit:
        for allowance in self.allow.values():
            if _covers(read_phrase(allowance.say), folded, hit.start, hit.end):
                return Hit(hit.entry, hit.word, hit.text, hit.start, hit.end, allowance)
        return hit


class OwnWords(Record):
    """An organisation's words; .asfound/words/*.yml: entries it adds to a list, and phrases it lets pass."""

    adds_to: Slug
    """Name of the list."""
    source: Text
    """Where the words come from."""
    status: SourceStatus
    """How well the source was read."""
    entries: dict[Slug, Word] = {}
    """What the organisation looks for besides."""
    allow: dict[Slug, Allowance] = {}
    """What the organisation lets pass, with the reason."""


@dataclass(frozen=True, slots=True)
class _Ready:
    name: str
    word: Word
    phrase: Phrase
    unless: tuple[Phrase, ...]


@dataclass(frozen=True, slots=True)
class Hit:
    """Words that stand in a sentence. `allowed` is what lets them pass with a note; `text` is as typed."""

    entry: str
    word: Word
    text: str
    start: int
    end: int
    allowed: Allowance | None = None


def covers(say: str, text: str, start: int, end: int) -> bool:
    """Whether a phrase stands in a text where it overlaps `start` to `end`."""
    return _covers(read_phrase(say), fold(text), start, end)


def _covers(phrase: Phrase, folded: str, start: int, end: int) -> bool:
    return any(begin < end and start < stop for begin, stop in phrase.find(folded))


def _longest(hits: Iterable[Hit]) -> tuple[Hit, ...]:
    kept: list[Hit] = []
    for hit in sorted(hits, key=lambda one: (one.start - one.end, one.start, one.entry)):
        if all(hit.end <= other.start or other.end <= hit.start for other in kept):
            kept.append(hit)
    return tuple(sorted(kept, key=lambda one: one.start))


_DENIED = re.compile(
    r"(?:\b(?:not(?!\s+(?:only|just|merely)\b)|never|nor|neither|no|none|nothing|nobody|cannot|without|hardly)\b|n't\b)(?:[\s\ue000-\ue001]+[^\s,;:]+){0,4}\s*$"
)
_SUPPOSED = re.compile(
    r"\b(?:whether|if|unless|until|as though|as if)\b[^,;.]*$"
    r"|\b(?:would|could|might|may|should|shall|to|will)(?:\s+(?:it|they|also|then|still|be|have))?\s*$"
)


def asserted(folded: str, start: int) -> bool:
    """Whether what begins at `start` of a folded sentence is said outright: not denied, asked or supposed."""
    before = folded[:start]
    return not (_DENIED.search(before) or _SUPPOSED.search(before) or folded.rstrip().endswith("?"))
