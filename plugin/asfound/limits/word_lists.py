"""Lists of words put together: what comes with the program, and what the organisation adds or lets pass.

Nothing of a list can be taken out. An organisation adds entries under names of its own, and lets phrases pass, each
with a reason and someone who answers for it; where such a phrase lets a word pass, the check still says so, as a note.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from asfound.limits.fault import BookFault, Path, nearest
from asfound.model.phrases import PhraseError, read_phrase
from asfound.model.words import Allowance, OwnWords, Word, WordList

_MEND = "Write the words as they are said; * is any ending, (a|b) one of these, … up to three words, # a number."


def put_together(
    packaged: Mapping[str, WordList], own: Mapping[str, OwnWords]
) -> tuple[dict[str, WordList], tuple[BookFault, ...]]:
    """The lists by name, and everything wrong with the organisation's. Both are given by the path of their file.

    An entry or a phrase with a fault is left out. Raises nothing on what people wrote.
    """
    lists = {one.words: one for one in sorted(packaged.values(), key=lambda one: one.words)}
    faults: list[BookFault] = []
    for file, mine in sorted(own.items()):
        base = lists.get(mine.adds_to)
        if base is None:
            faults.append(
                BookFault(
                    file, ("adds_to",), "word-list-unknown", f'no list of words is named "{mine.adds_to}"',
                    "the name of a list is needed", nearest(mine.adds_to, lists) or f"There are {', '.join(lists)}.",
                )
            )  # fmt: skip
            continue
        lists[mine.adds_to] = _joined(file, base, mine, faults)
    return lists, tuple(faults)


def _joined(file: str, base: WordList, mine: OwnWords, faults: list[BookFault]) -> WordList:
    entries, allow = dict(base.entries), dict(base.allow)
    if base.closed and mine.entries:
        faults.append(
            BookFault(
                file, ("entries",), "word-list-closed", f'entries are added to "{base.words}", whose words let pass',
                "phrases under allow are needed, each with why, by and on",
                "Move them to allow; where such a phrase lets something pass, the check says so.",
            )
        )  # fmt: skip
        mine = mine.model_copy(update={"entries": {}})
    for name, word in mine.entries.items():
        found = [*_twice(file, ("entries", name), name, entries), *_unreadable(file, ("entries", name), word)]
        own = word.model_copy(update={"source": word.source or mine.source, "status": word.status or mine.status})
        alone = base.having(entries={name: own}, allow={})
        found += () if found else _examples(file, ("entries", name), word, alone)
        faults += found
        if not found:
            entries[name] = own
    for name, allowance in mine.allow.items():
        found = [*_twice(file, ("allow", name), name, allow), *_unread(file, ("allow", name, "say"), allowance.say)]
        found += () if found else _too_wide(file, ("allow", name, "say"), allowance, base)
        faults += found
        if not found:
            allow[name] = allowance
    return base.having(entries=entries, allow=allow)


def _twice(file: str, path: Path, name: str, taken: Mapping[str, object]) -> Iterator[BookFault]:
    if name in taken:
        yield BookFault(
            file, path, "word-entry-twice", f'the list has an entry "{name}" already', "a name of its own is needed",
            "Choose another name; what a list holds already is not taken out of it.",
        )  # fmt: skip


def _unreadable(file: str, path: Path, word: Word) -> Iterator[BookFault]:
    for field in ("say", "unless"):
        for index, text in enumerate(getattr(word, field)):
            yield from _unread(file, (*path, field, index), text)


def _unread(file: str, path: Path, text: str) -> Iterator[BookFault]:
    try:
        read_phrase(text)
    except PhraseError as error:
        yield BookFault(file, path, "word-phrase-unreadable", f'of "{text}" {error}', "a phrase is needed", _MEND)


def _examples(file: str, path: Path, word: Word, alone: WordList) -> Iterator[BookFault]:
    for index, text in enumerate(word.refuses):
        if not alone.hits(text):
            yield BookFault(
                file, (*path, "refuses", index), "word-example-wrong", f'"{text}" is not found out by this entry',
                "a sentence that trips it is needed", "Correct the phrase under say, or the sentence.",
            )  # fmt: skip
    for index, text in enumerate(word.passes):
        if alone.hits(text):
            yield BookFault(
                file, (*path, "passes", index), "word-example-wrong", f'"{text}" is refused by this entry',
                "a sentence that it lets pass is needed", "Add the exception under unless, or correct the sentence.",
            )  # fmt: skip


def _too_wide(file: str, path: Path, allowance: Allowance, base: WordList) -> Iterator[BookFault]:
    """A phrase that is no more than the word itself would take the word out of the list."""
    say = allowance.say
    bare = " " not in say or any((hit.start, hit.end) == (0, len(say)) for hit in base.hits(say))
    if bare or any(sign in say for sign in "*…"):
        yield BookFault(
            file, path, "word-allowance-too-wide", f'"{say}" would let the word pass everywhere',
            "the phrase in which it is harmless is needed", "Write the words around it as well, without * and ….",
        )  # fmt: skip
