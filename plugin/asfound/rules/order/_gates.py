"""Gates by kind and item, and what a sheet did to the things on it."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.base import Moment
from asfound.model.facts import Facts
from asfound.model.limits import Test
from asfound.model.reasoning import Answer, Notice
from asfound.model.things import ItemRole
from asfound.model.work import Gate, GateKind, Sheet


def gates_for(facts: Facts, kind: GateKind, item: str) -> list[tuple[str, Gate]]:
    """The gates of a kind that cover an item, earliest first; a gate without items covers the whole case."""
    found = [
        (ref, gate)
        for ref, gate in facts.case.gates.gates.items()
        if gate.gate is kind and (not gate.items or item in gate.items)
    ]
    return sorted(found, key=lambda pair: pair[1].at.at)


def broken_gates(facts: Facts) -> bool:
    """Whether a gate stands in the file but could not be read; what depends on gates is then not asked."""
    return facts.case.some_unread("G")


def sheets_with_tests(facts: Facts) -> Iterator[tuple[str, Sheet, Test]]:
    """Sheets whose test a protocol knows."""
    for ref, sheet in facts.case.sheets.items():
        test = facts.protocol_test(sheet.test)
        if test is not None:
            yield ref, sheet, test


def subjects(facts: Facts, sheet: Sheet) -> tuple[str, ...]:
    """The item of a sheet and those of its accessories that were there at the event; never an exemplar."""
    items = facts.case.items
    return tuple(
        dict.fromkeys(
            ref
            for ref in (sheet.item, *sheet.accessories)
            if ref in items
            and items[ref].role is not ItemRole.EXEMPLAR
            and (ref == sheet.item or items[ref].in_use_at_event)
        )
    )


def says_yes(outcome: str | None) -> bool:
    """Whether the outcome of a gate begins with yes."""
    return outcome is not None and outcome.strip().casefold().split()[:1] in (
        ["yes"],
        ["yes,"],
        ["yes:"],
        ["yes;"],
        ["yes."],
    )


def lets_go_on(notice: Notice, before: Moment) -> bool:
    """Whether a notice was sent and answered before a moment, so that one may go on.

    That a party is gone or will not attend is an answer; silence and an objection are none. An answer whose time is
    not on record is taken to have come in time.
    """
    if notice.answer in {Answer.NO_ANSWER, Answer.OBJECTS} or (notice.answer is None and notice.reply is None):
        return False
    return notice.sent_at <= before and (notice.answered_at is None or notice.answered_at <= before)
