"""Lists of words held against the texts of a case, for the rules that look for words."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from asfound.model.facts import Facts
from asfound.model.words import Hit, Passage
from asfound.problems import Entry, Level, Problem
from asfound.rules._texts import Said, own_sentences, passages, whole_sentences

MOST = 4


def spoken(facts: Facts, name: str, text: str) -> tuple[Hit, ...]:
    """The words of a list in a text, each once: outside quotation marks among facts, outside longer ones elsewhere.

    A book without the list, as some trials of single rules have, finds nothing.
    """
    words = facts.book.words.get(name)
    if words is None:
        return ()
    found: dict[tuple[str, bool], Hit] = {}
    cut = whole_sentences if Passage.FACTS in words.where else own_sentences
    for sentence in cut(text):
        for hit in words.hits(sentence.text):
            found.setdefault((hit.text.lower(), hit.allowed is None), hit)
    return tuple(found.values())


def word_problems(
    facts: Facts, entry: Entry, name: str, needed: str, refused: Callable[[Said, Hit], bool] = lambda text, hit: True
) -> Iterator[Problem]:
    """One problem a text for all its words, and one note a text for words that the organisation lets pass.

    `refused` says whether words that were found are refused in this text.
    """
    words = facts.book.words.get(name)
    for text in passages(facts, words.where) if words is not None else ():
        hits = [hit for hit in spoken(facts, name, text.text) if refused(text, hit)]
        bare = [hit for hit in hits if hit.allowed is None]
        if bare:
            yield facts.problem(
                entry,
                text.where,
                *text.path,
                about="",
                found=f"{text.name} says {quoted(bare)}, which {bare[0].word.why}",
                needed=needed,
            )
        for hit in hits:
            if hit.allowed is not None:
                yield let_pass(facts, entry, text, hit)


def let_pass(facts: Facts, entry: Entry, text: Said, hit: Hit) -> Problem:
    """The note that an organisation's allowance leaves behind."""
    assert hit.allowed is not None
    return facts.problem(
        entry,
        text.where,
        *text.path,
        about=f"let pass {hit.text}",
        found=f'{text.name} says "{hit.text}", which the organisation lets pass in "{hit.allowed.say}"',
        needed=f"whoever reads it should know that the {hit.allowed.by.replace('-', ' ')} answers for that",
        mend=f"Nothing need be done. The reason given: {' '.join(hit.allowed.why.split()).rstrip('.')}.",
        level=Level.NOTE,
    )


def quoted(hits: list[Hit]) -> str:
    """The first few words, in quotation marks."""
    shown = ", ".join(f'"{" ".join(hit.text.lower().split())}"' for hit in hits[:MOST])
    return f"{shown} and {len(hits) - MOST} more" if len(hits) > MOST else shown
