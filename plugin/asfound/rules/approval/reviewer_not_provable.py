"""That a reviewer did not review their own work can be proved from the history of the case.

Signatures tell that two people signed. Who typed the readings and findings only git can tell, and not where the history
was not asked for, is cut short, or names an author whom `.asfound/roles.yml` does not know.

Fails: a reviewer's approval in a case whose history was not asked for.
Passes: the history is known, and every last author of a reading or finding has a role.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem, Span
from asfound.rules.approval._reviewing import last_hands, standing

ENTRY = Entry(
    name="reviewer-not-provable",
    family=Family.COMPLETENESS,
    level=Level.NOTE,
    title="That a reviewer did not review their own work can be proved from the history of the case.",
    reason="What nobody can show later is better said now than found by the other side.",
    source="ours; it follows from what a signature can tell and what it cannot",
    status="ours",
    mend="Name the authors in .asfound/roles.yml and keep the whole history; where that cannot be, nothing is needed.",
    rows=("R3",),
    liftable=False,
)

_KNOWN_NOT = ("", "an author not listed")


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem an approval by a reviewer."""
    for one in standing(facts, "reviewer"):
        why = _why(facts)
        if why:
            yield facts.problem(
                ENTRY,
                Span(facts.file(one.path)),
                found=f"who last changed the readings and findings cannot be proved: {why}",
                needed="the whole history, with its authors' roles, would prove it",
            )


def _why(facts: Facts) -> str:
    if not facts.past.known:
        return facts.past.why.rstrip(".")
    hands = list(last_hands(facts))
    nobody = [ref for ref, role in hands if role in _KNOWN_NOT]
    if nobody:
        more = f" and {len(nobody) - 1} more" if len(nobody) > 1 else ""
        return f"the author of {nobody[0]}{more} is not listed"
    return facts.past.gaps[0].rstrip(".") if facts.past.gaps else ""
