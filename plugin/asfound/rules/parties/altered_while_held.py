"""While a thing is held for joint examination, nothing is done that alters it.

`held` in case.yml says since when, why and for which items; `ended_at` says when the joint examination began or the
parties agreed to end the hold. The stage *held for joint examination* needs such a record. An order lifts the lock.

Fails: `held: {since: 2026-03-05 …}`, and a step of the tier *changes* on 6 March; the stage without `held`.
Passes: the step after `ended_at`; a step on a thing that is not held; readings that alter nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.event import Stage
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, short, was
from asfound.rules.parties._parties import acts

ENTRY = Entry(
    name="altered-while-held",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="While a thing is held for joint examination, nothing is done that alters it.",
    reason="A hold that is broken once is worth nothing to those who relied on it.",
    source="ASTM E860-22, 4.1; National Institute of Justice, destructive testing",
    status="confirmed",
    mend="Record when and how the hold ended, if it had; else the step stands as it is, and is owned up to.",
    rows=("ST2", "ST3"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for a stage without its hold, else one an act."""
    hold = facts.case.head.held
    stage = facts.case.head.stage
    if hold is None or (stage is Stage.HELD and hold.ended_at is not None):
        if stage is Stage.HELD:
            yield facts.problem(
                ENTRY,
                "case.yml",
                "stage",
                found="the case is held for joint examination, and "
                + ("nothing says since when and why" if hold is None else "its hold has ended"),
                needed="a hold with its beginning and its reason is needed",
                mend="Add held to case.yml, with since and why; or change the stage if the hold has ended.",
            )
        if hold is None:
            return
    for act in acts(facts):
        held = [item for item in act.items if not hold.items or item in hold.items]
        over = hold.ended_at is not None and hold.ended_at <= act.at
        if held and hold.since <= act.at and not over and not act.order:
            yield facts.problem(
                ENTRY,
                act.ref,
                act.field,
                found=f"{ids(held)}, held since {hold.since.text}, "
                f"{was(held)} altered at {act.at.text} ({short(act.what)})",
                needed="the end of the hold, or an order, is needed before",
            )
