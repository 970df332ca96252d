"""Every custody line bears its signatures, its times, its places and its purpose.

Whoever receives signs, and whoever lets go signs; a sealed store does not sign, the person at its door does.

Fails: a transfer from the risk manager to the examiner with `signed_in` empty.
Passes: both signed; a collection, signed by the one who collected.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import STORE
from asfound.model.facts import Facts
from asfound.model.things import CustodyKind, CustodyLine
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed

ENTRY = Entry(
    name="custody-line-unsigned",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every custody line bears its signatures, its times, its places and its purpose.",
    reason="A hand-over that only one side remembers proves nothing about the other.",
    source="clinical-engineering handbook, chapter on accident investigation; NIST SP 800-61 rev. 2, evidence handling",
    status="confirmed",
    mend="Have the missing part signed or filled in by whoever was there, with today's date in the note.",
    rows=("R12",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a line, listing what it lacks. Before-custody lines are asked for by the rule on gaps."""
    for line in facts.case.custody:
        lacks = list(_lacks(line))
        if lacks:
            yield facts.problem(
                ENTRY,
                line.id,
                found=f"the line lacks {listed(lacks)}",
                needed="a hand-over with both signatures, times, places and its purpose is needed",
            )


def _lacks(line: CustodyLine) -> Iterator[str]:
    if line.kind is CustodyKind.BEFORE_CUSTODY:
        return
    first = line.kind is CustodyKind.COLLECTED
    if not line.received_by:
        yield "who received it"
    if not line.signed_in and (line.received_by != STORE or not line.signed_out):
        yield "the signature of whoever received it"
    if not first:
        if not line.released_by:
            yield "who let it go"
        if not line.signed_out and (line.released_by != STORE or not line.signed_in):
            yield "the signature of whoever let it go"
        if line.released_at is None:
            yield "the time it was let go"
    if line.received_at is None:
        yield "the time it was received"
    if not line.from_place:
        yield "the place it came from"
    if not line.to_place:
        yield "the place it went to"
    if not line.purpose:
        yield "its purpose"
