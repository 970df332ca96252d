"""What changes or destroys evidence is done by a written procedure, filmed, its residue kept and its cycles counted.

Fails: `tier: destroys` without `video`; a cable flexed without `cycles`.
Passes: `procedure`, `video` and `residue` on the step; `cycles: 20` where something was flexed or unmated.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.work import Sheet, Step, Tier
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, listed, short
from asfound.rules.parties._parties import acts

ENTRY = Entry(
    name="altering-step-unrecorded",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="What alters evidence is done by a written procedure, filmed, its residue kept, its cycles counted.",
    reason="Once a thing is altered, the record of how it was done is all that others can examine.",
    source="National Institute of Justice, destructive testing; ASTM E860-22, 4.1; cycles: common practice",
    status="confirmed",
    mend="Add procedure, video and residue to the step, and cycles where a thing was flexed, unmated or repeated.",
    rows=("ST3",),
)

_REPEATS = re.compile(r"flex|unmat|mated|mating|unplug|re-?plug|wiggl|cycl", re.IGNORECASE)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an act, listing what it lacks."""
    gates, sheets = facts.case.gates.steps, facts.case.sheets
    for act in acts(facts):
        record: Step | Sheet = gates[act.ref] if act.ref in gates else sheets[act.ref]
        lacks = list(_lacks(record, act.tier))
        if record.cycles is None and _REPEATS.search(act.what):
            lacks.append("how many cycles")
        if lacks:
            yield facts.problem(
                ENTRY,
                act.ref,
                found=f"the record of what was done to {ids(act.items)} ({short(act.what)}) lacks {listed(lacks)}",
                needed="a record that lets others judge what was done is needed",
            )


def _lacks(record: Step | Sheet, tier: Tier) -> Iterator[str]:
    if not isinstance(record, Step):
        return  # the planned test and its protocol are the written procedure of a sheet
    if not record.procedure:
        yield "its written procedure"
    if not record.video:
        yield "a film"
    if tier is Tier.DESTROYS and record.residue is None:
        yield "where the residue is kept"
