"""The parties in interest are on record: maker, owner and injured side, or the reason why one is not.

A person of case.yml stands for a party by `party`; a notice names parties by `parties`. `parties_missing` gives the
reason where one is not known or does not exist. Without a person harmed there is no injured side.

Fails: people without any `party`; a maker whom nobody looked for.
Passes: `party: maker` on its representative; `parties_missing: {maker: {not_known: the label is gone}}`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.event import Harmed
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed
from asfound.rules.parties._parties import INJURED, MAKER, OWNER, broken_parties, parties, sort_of

ENTRY = Entry(
    name="parties-missing",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Maker, owner and injured side are on record as parties in interest, or the reason why one is not.",
    reason="Whoever was forgotten was not told, and can say that the evidence was examined behind their back.",
    source="ASTM E1138-89 (withdrawn 1995), party in interest",
    status="confirmed",
    mend="Give the person who stands for each a party in case.yml, or say why there is none under parties_missing.",
    rows=("R38",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem."""
    if broken_parties(facts):
        return
    head = facts.case.head
    known = {sort_of(party) for party in (*parties(facts), *head.parties_missing)}
    wanted = [MAKER, OWNER, *([] if head.harmed is Harmed.NONE else [INJURED])]
    lacking = [sort for sort in wanted if sort not in known]
    if lacking:
        every = lacking == wanted
        yield facts.problem(
            ENTRY,
            "case.yml",
            "people",
            found="no party in interest is on record" if every else f"nobody stands for {listed(_the(lacking))}",
            needed=f"{listed(_the(lacking))} or the reason {'for each' if len(lacking) > 1 else 'why not'} is needed",
        )


def _the(sorts: list[str]) -> list[str]:
    return [f"the {sort}" for sort in sorts]
