"""Whoever says that they touched the controls after the event stands in the account of the scene.

Fails: a statement with `touched_controls: yes`, and `touched_since` blank, or silent about that role.
Passes: `touched_since: The ward nurse stopped the pump.`
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed, plain

ENTRY = Entry(
    name="touched-not-in-scene",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Whoever touched the controls after the event stands in the account of the scene.",
    reason="A setting that somebody changed after the event is not the setting of the event.",
    source="ASTM E1020-13e1, 5.1.1 (a narrative in order of time that names its sources)",
    status="confirmed",
    mend="Add to touched_since in scene.yml who touched what, citing the statement.",
    rows=("R24",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem, naming the statements."""
    scene = facts.case.scene
    if "scene.yml" in facts.case.broken:
        return
    said = (scene.touched_since or "") if scene else ""
    silent = [
        ref
        for ref, statement in facts.case.statements.items()
        if statement.touched_controls == "yes" and not _speaks_of(facts, said, ref, statement.by)
    ]
    if silent:
        who = listed([f"the {_title(facts, facts.case.statements[ref].by)} [{ref}]" for ref in silent])
        yield facts.problem(
            ENTRY,
            "scene.yml",
            "touched_since",
            found=f"{who} touched controls, and the record of the scene "
            + ("speaks of others only" if said else "says nothing of it"),
            needed="who touched what between the event and the record is needed",
        )


def _title(facts: Facts, role: str) -> str:
    person = facts.case.head.people.get(role)
    return person.title if person else plain(role)


def _speaks_of(facts: Facts, said: str, ref: str, role: str) -> bool:
    names = (_title(facts, role), plain(role), role)
    return f"[{ref}]" in said or any(re.search(rf"\b{re.escape(name)}\b", said, re.IGNORECASE) for name in names)
