"""A thing is returned or destroyed only when every party has let it go, and no earlier than it must be kept.

`releases` of its disposition gives for each party the notice or paper by which it let the thing go.

Fails: `disposition: {what: destroyed, …}` with the release of the maker alone; returned before `retain_until`.
Passes: a release of every party in interest; or `what: kept`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.base import Moment
from asfound.model.facts import Facts
from asfound.model.things import DispositionKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed, same
from asfound.rules.parties._parties import broken_parties, parties

ENTRY = Entry(
    name="disposition-without-releases",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A thing is returned or destroyed only with the release of every party, and no earlier than it must be kept.",
    reason="What is gone can be asked nothing more, and whoever was not asked will say why it had to go.",
    source="ISO/IEC 17025:2017, 7.4.1; ASTM E1138-89 (withdrawn 1995), party in interest",
    status="secondary",
    mend="Record each release under releases; if one was not asked for, say so in the note, and ask now.",
    rows=("L22",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem an item and cause."""
    if broken_parties(facts):
        return
    every = parties(facts)
    for ref, item in facts.case.items.items():
        end = item.disposition
        if end is None or end.what is DispositionKind.KEPT:
            continue
        given = [party for party, refs in end.releases.items() if any(_before(facts, ref, end.at) for ref in refs)]
        lacking = [party for party in every if not any(same(one, party) for one in given)]
        if lacking or not every:
            who = listed([f"the {party}" for party in lacking], 4) if every else "any party"
            yield facts.problem(
                ENTRY,
                ref,
                "disposition",
                found=f"{ref} was {end.what} without the release of {who}",
                needed="the written release of every party is needed before",
            )
        until = max((day for day in (item.retain_until, facts.case.head.retain_until) if day), default=None)
        if until is not None and end.at.at.date() < until:
            yield facts.problem(
                ENTRY,
                ref,
                "disposition",
                "at",
                found=f"{ref} was {end.what} at {end.at.text}, and was to be kept until {until}",
                needed="the end of that time, or the agreement of all to an earlier one, is needed before",
            )
        hold = facts.case.head.held
        held = hold is not None and (not hold.items or ref in hold.items) and hold.since <= end.at
        if hold is not None and held and (hold.ended_at is None or hold.ended_at > end.at):
            yield facts.problem(
                ENTRY,
                ref,
                "disposition",
                "what",
                found=f"{ref} was {end.what} at {end.at.text}, while it was held for joint examination",
                needed="the end of the hold is needed before",
            )


def _before(facts: Facts, ref: str, at: Moment) -> bool:
    """Whether a release was there before the thing went; one whose time is not on record is taken to have been."""
    notice, evidence = facts.case.notices.get(ref), facts.case.evidence.get(ref)
    if notice is not None:
        return (notice.answered_at or notice.sent_at) <= at
    return evidence is None or evidence.taken_at is None or evidence.taken_at <= at
