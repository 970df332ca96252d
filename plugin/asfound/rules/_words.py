"""Small words for sentences: lists, counts, and how a role is called."""

from __future__ import annotations

from collections.abc import Iterable

from asfound.model.ids import sort_key

MOST = 6


def listed(names: Iterable[str], most: int = MOST) -> str:
    """`a, b and c`; beyond `most`, `and 3 more`."""
    every = list(names)
    if len(every) > most:
        return f"{', '.join(every[:most])} and {len(every) - most} more"
    return " and ".join(part for part in (", ".join(every[:-1]), every[-1] if every else "") if part)


def ids(refs: Iterable[str], most: int = MOST) -> str:
    """Ids in the order a person expects, as a list in words."""
    return listed(sorted(set(refs), key=sort_key), most)


def was(refs: Iterable[str]) -> str:
    """`was` of one, `were` of several."""
    return "were" if len(set(refs)) > 1 else "was"


def short(text: str, most: int = 60) -> str:
    """A text cut for a headline, on one line."""
    line = " ".join(text.split())
    return line if len(line) <= most else f"{line[: most - 1].rstrip()}…"


def same(one: str, other: str) -> bool:
    """Whether two places or words are the same but for case and spaces."""
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()


def plain(role: str) -> str:
    """`risk-manager` as words: `risk manager`."""
    return role.replace("-", " ")
