"""A conditional verdict is not told as a plain one.

Fails: "The leakage [=R-touch-3] passes." where the doubt reaches over the limit and the verdict is *conditional pass*.
Passes: "The leakage [=R-touch-3] is a conditional pass."
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._claims import clashes
from asfound.rules._texts import said

ENTRY = Entry(
    name="plain-verdict-under-guard-band",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A conditional pass or fail is told as conditional.",
    reason="Within the doubt of its limit a value could lie on either side; a plain word hides that.",
    source="ILAC-G8:09/2019, 4.2.3",
    status="confirmed",
    mend="Write conditional pass or conditional fail, and what the doubt is.",
    rows=("R69",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text and reading."""
    for text in said(facts):
        for clash in clashes(facts, text):
            if clash.plain:
                yield facts.problem(
                    ENTRY,
                    text.where,
                    *text.path,
                    about=clash.ref,
                    found=f'{text.name} says "{clash.words}" of {clash.ref}, a {" and ".join(clash.computed)}',
                    needed="the word conditional is needed, since the doubt reaches over the limit",
                )
