"""A text sets one event before another only where the clocks settle it.

Two events on one clock share the error of that clock, so their order is known better than their times.

Fails: `[T-3] came before [T-5]`, whose times lie nearer each other than they are known; or the clocks say otherwise.
Passes: the same where the difference is larger than its doubt; `whether [T-3] came before [T-5] is not known`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.measure import show_doubt, show_duration, unit
from asfound.model.facts import Facts
from asfound.model.placing import Order, Placed
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import Said, said
from asfound.rules.timeline._events import unread
from asfound.rules.timeline._order_words import Stated, orders

ENTRY = Entry(
    name="order-not-supported",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A text sets one event before another only where the clocks settle it.",
    reason="An order read off two clocks that were minutes apart has made people look slow who were not.",
    source="Pennsylvania Patient Safety Advisory 2012;9(4):143-144",
    status="confirmed",
    mend="Say that the order is open, or bring what narrows it: another comparison of the clock, another record.",
    rows=("R91",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for each pair of events in each text."""
    if unread(facts):
        return
    for text in (*said(facts), *_answers(facts)):
        for one in orders(text.text):
            early, late = facts.placing.placed(one.early), facts.placing.placed(one.late)
            if early is None or late is None:
                continue
            problem = _problem(facts, text, one, early, late)
            if problem is not None:
                yield problem


def _answers(facts: Facts) -> Iterator[Said]:
    """What is said of explanations; what an explanation would show is supposed and not said."""
    for ref, one in facts.case.explanations.items():
        for name in ("answer", "why"):
            text = getattr(one, name)
            if text is not None:
                yield Said(ref, (name,), ref, text, ())


def _problem(facts: Facts, text: Said, one: Stated, early: Placed, late: Placed) -> Problem | None:
    order = facts.placing.order(one.early, one.late)
    word = one.word.lower()
    if order is Order.OPEN:
        found = f'"{word}" gives {one.early} and {one.late} an order, and their times do not: {_apart(early, late)}'
        needed = "words that leave their order open are needed"
    elif order is Order.AFTER and one.sure:
        found = f'"{word}" sets {one.early} before {one.late}, and the clocks put it after: {_apart(early, late)}'
        needed = "the order of the clocks, or a reason against it, is needed"
    else:
        return None
    return facts.problem(ENTRY, text.where, *text.path, found=found, needed=needed)


def _apart(one: Placed, other: Placed) -> str:
    if one.at is None or other.at is None or one.doubt is None or other.doubt is None:
        lost = next(event for event in (one, other) if event.at is None)
        return f"the offset of {lost.clock} is not known"
    gap = show_duration(abs(other.at.at - one.at.at))
    second = unit("s")
    return f"{gap} apart, {show_doubt(one.doubt, second)} and {show_doubt(other.doubt, second)}"
