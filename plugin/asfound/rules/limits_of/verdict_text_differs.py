"""A verdict in the text is the verdict that was computed.

Fails: "The earth resistance [=R-earth-2] passes." where the computed verdict is *fail*.
Passes: "The earth resistance [=R-earth-2] fails."
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._claims import clashes
from asfound.rules._texts import said

ENTRY = Entry(
    name="verdict-text-differs",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A verdict in the text of a finding or of the conclusion is the one that was computed.",
    reason="A reader who finds one sentence that the table contradicts will believe neither.",
    source="ILAC-G8:09/2019; JCGM 106:2012",
    status="confirmed",
    mend="Say what was computed, or correct the reading, its conditions or its limit where these are wrong.",
    rows=("R68",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text and reading. Readings without any verdict are asked only where there is a plan."""
    for text in said(facts):
        for clash in clashes(facts, text):
            if clash.plain or facts.unread.on(clash.ref) or (not clash.computed and facts.case.plan is None):
                continue
            computed = " and ".join(clash.computed) or "none: no limit of the plan speaks to it"
            yield facts.problem(
                ENTRY,
                text.where,
                *text.path,
                about=clash.ref,
                found=f'{text.name} says "{clash.words}" of {clash.ref}, whose computed verdict is {computed}',
                needed="the verdict that was computed is needed",
            )
