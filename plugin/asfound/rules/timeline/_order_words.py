"""Words by which a text sets one event before another.

Read narrowly, since a text is refused for it: an order counts where two citations of events stand on both sides of one
word of order (`[T-3] before [T-5]`, `After [T-5], … [T-1]`), or both behind it (`… before … [T-3] [T-5]`). What is
denied, asked, supposed, or said in another clause, is no order.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from msgspec import Struct

from asfound.rules._texts import sentences

_EVENT = "\ue000(T-[a-z0-9-]+)\ue001"
_OTHER = re.compile("\ue000(?!T-)[^\ue001]*\ue001")
_GROUP = re.compile(f"{_EVENT}(?:(?:\\s*(?:,|,?\\s*and|&)\\s*|\\s+){_EVENT})*")
_NAME = re.compile(_EVENT)
_SEGMENT = re.compile(r"[;:]\s|,? \b(?:but|while|whereas|although|though|because|since)\b ")

_EARLIER = r"before(?!-)|prior to|earlier than|ahead of|precede[sd]?|preceding"
_LATER = r"after(?!-)|later than|subsequent to|follow(?:s|ed)(?! by| from)"
_THEN = r"(?<!until )(?<!by )(?<!since )then|followed by|afterwards?|subsequently|only later|later(?! than)"
_WORD = re.compile(rf"\b(?:(?P<earlier>{_EARLIER})|(?P<then>{_THEN})|(?P<later>{_LATER}))\b", re.IGNORECASE)
_LENGTH = re.compile(
    r"\s*(?:(?:and|was|were|is|are) )?(?:(?:\S+ )?\S+ (?:seconds?|minutes?|hours?|min|s|h) )?"
    r"(?:only |soon |shortly )?$",
    re.IGNORECASE,
)
_OPEN = re.compile(
    r"\b(?:whether|if|unless|cannot|can not|could|might|may|would|perhaps|possibly|unknown|uncertain|unclear|unsettled|"
    r"which came first|not (?:known|settled|certain|clear|told|possible)|before (?:or|and|as well as) after|no order|"
    r"after (?:or|and) before|before or at|nothing (?:tells|shows|says)|nobody knows)\b|\?",
    re.IGNORECASE,
)
_DENIED = re.compile(r"(?:\b(?:not|never|no|nor|neither|without|nothing|none)\b|n['’]t\b)(?:\s+\S+){0,3}\s*$", re.I)
_ASIDE = re.compile(r"\b(?:as|which|that|who|where|when)\b", re.IGNORECASE)
_LEAD = re.compile(
    r"\s*(?:And |Only |Shortly |Soon |\S+ (?:seconds?|minutes?|hours?) )?"
    rf"(?:(?P<earlier>{_EARLIER})|(?P<later>after))\b",
    re.IGNORECASE,
)
_NEAR = 8
"""How many words may lie between a citation and the word of order, or the other way round."""


class Stated(Struct, frozen=True):
    """An order that a text states: `early` before `late`.

    `sure` is false where the words do not tell which citation stands for which event.
    """

    early: str
    late: str
    word: str
    sure: bool = True


def orders(text: str) -> tuple[Stated, ...]:
    """Every order of two cited events that a text states, each once."""
    found: dict[tuple[str, str], Stated] = {}
    for sentence in sentences(text):
        for part in _SEGMENT.split(_OTHER.sub("", sentence)):
            if _OPEN.search(part):
                continue
            for one in _stated(part):
                found.setdefault((one.early, one.late), one)
    return tuple(found.values())


def _stated(part: str) -> Iterator[Stated]:
    groups = list(_GROUP.finditer(part))
    for one, other in pairwise(groups):
        between = part[one.end() : other.start()]
        word = _between(between, part[: one.end()])
        first, second = _NAME.findall(one.group(0)), _NAME.findall(other.group(0))
        if word is not None:
            flip = word.lastgroup == "later"
            yield from _pairs(*((second, first) if flip else (first, second)), word.group(0))
            continue
        lead = _leading(part[: one.start()])
        if lead is not None and "," in between and not _WORD.search(between) and one is groups[0]:
            flip = lead.lastgroup == "earlier"
            yield from _pairs(*((second, first) if flip else (first, second)), lead.group(0))
    if len(groups) == 1:
        names = list(dict.fromkeys(_NAME.findall(groups[0].group(0))))
        words = [word for word in _WORD.finditer(part[: groups[0].start()]) if not _denied(part, word)]
        if len(names) == 2 and len(words) == 1:
            yield Stated(names[0], names[1], words[0].group(0), sure=False)


def _pairs(early: list[str], late: list[str], word: str) -> Iterator[Stated]:
    for one in early:
        for other in late:
            if one != other:
                yield Stated(one, other, word)


def _denied(part: str, word: re.Match[str]) -> bool:
    return _DENIED.search(part[: word.start()]) is not None


def _between(between: str, lead: str) -> re.Match[str] | None:
    """The one word of order between two citations, with nothing beside it that could belong to something else."""
    words = list(_WORD.finditer(between))
    if len(words) != 1:
        return None
    before, after = between[: words[0].start()], between[words[0].end() :]
    if _DENIED.search(lead + before) or "," in after or _ASIDE.search(after) or len(after.split()) > _NEAR:
        return None
    if words[0].lastgroup == "then":
        # `[T-1], and then [T-6]`: the word stands right behind the citation, or a length of time lies between.
        return words[0] if _LENGTH.fullmatch(before.lstrip(" ,")) else None
    head, comma, tail = before.partition(",")
    if (comma and (head.strip() or not _LENGTH.fullmatch(tail))) or len(before.split()) > _NEAR:
        return None
    # `[T-1] and the drape came off before [T-6]` speaks of the drape, and not of T-1.
    return None if re.match(r"\s*(?:and|or)\b", before) else words[0]


def _leading(lead: str) -> re.Match[str] | None:
    """`After the drape came off`, before the first citation and at the start of what is said."""
    word = _LEAD.match(lead)
    if word is None or "," in lead or len(lead.split()) > _NEAR + 3 or len(list(_WORD.finditer(lead))) != 1:
        return None
    return word
