"""Parties in interest, what each was told, and the acts that alter evidence and need their leave."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from asfound.account import role_called
from asfound.model.base import Moment, Refs
from asfound.model.facts import Facts
from asfound.model.reasoning import Answer, Notice
from asfound.model.things import ItemRole
from asfound.model.work import Tier
from asfound.rules._words import same
from asfound.rules.order._gates import sheets_with_tests, subjects

MAKER, OWNER, INJURED = "maker", "owner", "injured side"

_WORDS = {
    MAKER: ("maker", "manufacturer"),
    OWNER: ("owner", "hospital", "clinic"),
    INJURED: ("injured", "patient", "family"),
}
_NOBODY = frozenset({"independent", "none", "no party", "neutral"})
"""What people write of somebody who stands for no party; nobody can be told of anything under such a name."""
_ALTERS = frozenset({Tier.CHANGES, Tier.DESTROYS})


def parties(facts: Facts) -> tuple[str, ...]:
    """Every party in interest on record: of people, and of notices; each once, in order."""
    found: dict[str, str] = {}
    for person in facts.case.head.people.values():
        if person.party and person.party.casefold() not in _NOBODY:
            found.setdefault(person.party.casefold(), person.party)
    for notice in facts.case.notices.values():
        for party in notice.parties:
            found.setdefault(party.casefold(), party)
    return tuple(found.values())


def sort_of(party: str) -> str:
    """`maker`, `owner`, `injured side`; empty for any other party."""
    words = party.casefold().replace("-", " ").split()
    return next((sort for sort, names in _WORDS.items() if any(name in words for name in names)), "")


def speaks_to(facts: Facts, notice: Notice, party: str) -> bool:
    """Whether a notice goes to a party: it names the party, or somebody who stands for it."""
    if any(same(one, party) for one in notice.parties):
        return True
    if notice.parties:
        return False
    if same(notice.to, party) or same(notice.to, f"the {party}"):
        return True
    return any(
        person.party is not None and same(person.party, party) and role_called(facts.case, notice.to, role)
        for role, person in facts.case.head.people.items()
    )


def notices_to(facts: Facts, party: str) -> list[tuple[str, Notice]]:
    """The notices to a party, earliest first. Urgent warnings tell of a hazard, not of an examination."""
    found = [
        (ref, notice)
        for ref, notice in facts.case.notices.items()
        if not notice.urgent and speaks_to(facts, notice, party)
    ]
    return sorted(found, key=lambda pair: pair[1].sent_at.at)


def broken_parties(facts: Facts) -> bool:
    """Whether a notice stands in the file but could not be read."""
    return facts.case.some_unread("N")


def asks(facts: Facts, party: str) -> bool:
    """Whether the examination was asked for, or allowed, by somebody who stands for a party: it knows."""
    head = facts.case.head
    who = {one.by for one in (head.asked, head.authority) if one is not None}
    return any((head.people[role].party or "").casefold() == party.casefold() for role in who if role in head.people)


class Act(Struct, frozen=True):
    """A step, or a sheet of a test, that changes or destroys something of the evidence.

    names  the ids by which a notice may agree to it: its own, its items', its planned test's
    """

    ref: str
    field: str
    items: tuple[str, ...]
    tier: Tier
    at: Moment
    what: str
    consents: Refs
    order: Refs
    names: frozenset[str]


def acts(facts: Facts) -> Iterator[Act]:
    """Every altering act on a thing of the event, steps first. What is done to an exemplar alters no evidence."""
    items = facts.case.items
    for ref, step in facts.case.gates.steps.items():
        touched = tuple(one for one in step.items if one not in items or items[one].role is not ItemRole.EXEMPLAR)
        if step.tier in _ALTERS and touched:
            names = frozenset({ref, *touched})
            yield Act(ref, "at", touched, step.tier, step.at, step.what, step.consents, step.order, names)
    for ref, sheet, test in sheets_with_tests(facts):
        touched = subjects(facts, sheet)
        if test.alters in _ALTERS and touched and facts.case.standing(ref):
            names = frozenset({ref, f"P-{sheet.test}", *touched})
            what = f"the test {sheet.test}"
            yield Act(ref, "from", touched, test.alters, sheet.from_, what, sheet.consents, sheet.order, names)


def agreed(act: Act, ref: str, notice: Notice) -> bool:
    """Whether a notice and its answer allow an act: sent before it, naming it, and not refused.

    A party that is gone can be asked nothing more; silence and an objection are no consent.
    """
    if notice.sent_at > act.at or (notice.answered_at is not None and notice.answered_at > act.at):
        return False
    if notice.answer is Answer.GONE:
        return True
    if notice.answer in {Answer.OBJECTS, Answer.NO_ANSWER} or (notice.answer is None and notice.reply is None):
        return False
    return ref in act.consents or bool(act.names.intersection(notice.consents_to))


def first_work(facts: Facts) -> tuple[str, Moment] | None:
    """The earliest inspection row or sheet of the case: when its examination began."""
    found = [(row.at.at, row.id, row.at) for row in facts.case.inspection if row.at is not None]
    found += [(sheet.from_.at, ref, sheet.from_) for ref, sheet in facts.case.sheets.items()]
    first = min(found, key=lambda one: one[:2], default=None)
    return None if first is None else (first[1], first[2])
