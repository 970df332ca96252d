"""How strong a part of the conclusion may be by what could be read.

A sheet that cannot be read is refused by itself. What it may hold once it is mended is not known, so no level is held
against a link of the chain that hangs on it; the links that stand whatever it says are held as ever.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from asfound.model.facts import Facts
from asfound.model.reasoning import ConfidenceLevel
from asfound.model.weighing import Ceiling, Link, rank

_OF_THE_CASE = frozenset({"exception-on-the-way", "exceptions", "exception", "not-independent", "not-reviewed"})
"""Links about people and exceptions, in which what was read or not has no part."""


def firm(facts: Facts, part: str) -> Ceiling | None:
    """The ceiling of a part, by the links that do not hang on what could not be read; None where nobody weighed."""
    if facts.weighing is None:
        return None
    ceiling = facts.weighing.ceiling(part)
    if facts.unread.nothing:
        return ceiling
    links = tuple(_firm(facts, part, ceiling))
    level = min((one.caps for one in links), key=rank, default=ConfidenceLevel.ESTABLISHED)
    return replace(ceiling, level=level, links=links)


def _firm(facts: Facts, part: str, ceiling: Ceiling) -> Iterator[Link]:
    unread = facts.unread
    weighed = ceiling.named or [ref for ref, one in facts.case.explanations.items() if one.explains == part]
    bare = facts.case.some_unread("X") or unread.any(weighed)
    open_ = {"intermittent-not-provoked": unread.some_sheet, "as-found-unknown": facts.case.some_unread("A")}
    for one in ceiling.links:
        if one.name == "mechanism-no-stronger":
            below = firm(facts, "mechanism")
            if below is not None and rank(below.level) < rank(ConfidenceLevel.ESTABLISHED):
                yield replace(one, caps=below.level)
            continue
        hangs = bare or open_.get(one.name) or unread.any(_behind(facts, one.refs))
        if one.name in _OF_THE_CASE or not hangs:
            yield one


def _behind(facts: Facts, refs: Iterable[str]) -> Iterator[str]:
    """Of what a link names: explanations, and the sheets of readings, whose spread is a part of each one's doubt."""
    for ref in refs:
        if ref[:1] == "X":
            yield ref
        elif ref in facts.case.reading:
            yield facts.case.reading[ref].sheet


__all__ = ["firm"]
