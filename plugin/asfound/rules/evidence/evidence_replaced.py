"""A file that was registered as evidence was not exchanged for another under the same id.

Asked of the commits: the digest below an id. `evidence-altered` holds the file against today's digest, and cannot see
that both were exchanged together.

Fails: E-4 with one digest, and with another in a later commit.
Passes: the new file under an id of its own; a digest put back; a change that the reason of an edition, or the limits of
the work, name.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._past import owned_up, told_of, when

ENTRY = Entry(
    name="evidence-replaced",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A registered file is not exchanged for another under its id.",
    reason="Whoever looked at it before and whoever looks now see two different things under one name.",
    source="ISO/IEC 17025:2017, 7.5.2; ISO/IEC 27037:2012 (digest at acquisition)",
    status="from memory",
    mend="Put the first file and its digest back (the commit before holds them), and register the other under an id of "
    "its own.",
    rows=("R26", "R62"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a piece of evidence, at its digest."""
    if not told_of(facts):
        return
    for ref, evidence in facts.case.evidence.items():
        changes = [
            (change, field)
            for change in (*facts.past.of(ref), *facts.past.lying.get(ref, ()))
            for field in change.fields
            if field.name == "sha256" and field.old and field.new and change.kind == "changed"
        ]
        if not changes or changes[0][1].old == evidence.sha256 or owned_up(facts, changes[-1][0]):
            continue
        yield facts.problem(
            ENTRY,
            ref,
            "sha256",
            found=f"{ref} was registered as {str(changes[0][1].old)[:12]}…, until another file took its place "
            f"{when(changes[-1][0].commit)}",
            needed="the file that was registered first is needed",
        )
