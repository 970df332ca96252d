"""Who reviewed, and whose work it was, as far as signatures and git tell."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.approval import Approval
from asfound.model.facts import Facts

OWN = ("R-", "F-")
"""Records that are somebody's work to be reviewed: readings and findings."""


def standing(facts: Facts, role: str) -> tuple[Approval, ...]:
    """The approvals in a role that verify and that no later one took the place of."""
    if facts.signing is None:
        return ()
    return tuple(one for one in facts.signing.approvals if one.verified and one.role == role and not one.superseded)


def last_hands(facts: Facts) -> Iterator[tuple[str, str]]:
    """Each reading and finding that git knows of, with the role of whoever changed it last."""
    hands: dict[str, str] = {}
    for change in facts.past.changes:
        if change.ref.startswith(OWN) and change.kind != "moved" and facts.case.exists(change.ref):
            commit = facts.past.commit(change.commit)
            hands[change.ref] = commit.role if commit is not None else ""
    return iter(sorted(hands.items()))


def reviewing_roles(facts: Facts) -> frozenset[str]:
    """The roles of git authors that are the reviewer of this case."""
    named = facts.case.head.reviewer
    return frozenset(role for role in ("reviewer", named) if role)
