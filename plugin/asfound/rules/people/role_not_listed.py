"""Every role that a record uses stands among the people of the case.

Fails: a statement `by: porter` where case.yml has no `porter`.
Passes: the same with `people: {porter: {title: porter}}`; and `store`, which stands for a sealed store.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import STORE
from asfound.model.facts import Facts
from asfound.model.walk import SpotKind, walk_case
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids

ENTRY = Entry(
    name="role-not-listed",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Every role that a record uses stands among the people of the case.",
    reason="A role that nobody can place is a signature by nobody.",
    source="NIST SP 800-61 rev. 2, evidence handling (name and title of each handler), here by role",
    status="confirmed",
    mend="Add the role to people in case.yml, or correct the word.",
    rows=("R12", "R99"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a role, at the place where it is first used."""
    people = facts.case.head.people
    used: dict[str, list[tuple[str, tuple[str | int, ...]]]] = {}
    for spot in walk_case(facts.case):
        if spot.kind is not SpotKind.ROLE or spot.value in people:
            continue
        if spot.model == "CustodyLine" and spot.value == STORE:
            continue
        used.setdefault(spot.value, []).append((spot.where, spot.path))
    for role, places in used.items():
        where, path = places[0]
        others = {other for other, _ in places[1:]} - {where}
        yield facts.problem(
            ENTRY,
            where,
            *path,
            found=f'the role "{role}" is used here' + (f" and in {ids(others, 3)}" if others else ""),
            needed="a role that stands under people in case.yml is needed",
        )
