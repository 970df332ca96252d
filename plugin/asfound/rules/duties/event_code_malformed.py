"""A code that somebody chose has the form of the list it comes from.

Fails: `D1`, `H02`, `B0102` (its annex has one level).
Passes: `B01`, `D1001`, `A070101`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="event-code-malformed",
    family=Family.INTEGRITY,
    level=Level.WARN,
    title="A code chosen for a report has the form of its list: a letter, then two digits for each level.",
    reason="A code with a slip of the hand tells the reader of the report something else, or nothing.",
    source="IMDRF/AE WG/N43, edition 4, 2020, structure of the annexes",
    status="confirmed",
    mend="Copy the code from the release that is current, with its term.",
    rows=("R114",),
    private=True,
)

LEVELS = {"A": 3, "B": 1, "C": 3, "D": 2, "E": 3, "F": 3, "G": 3}
"""How many levels an annex has. For G the list gives none; three is the most of any other."""


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a code."""
    for ref, duty in facts.case.duties.items():
        for code in duty.codes:
            levels = LEVELS.get(code[:1], 0)
            if re.fullmatch(rf"[A-G]([0-9]{{2}}){{1,{levels or 1}}}", code) and levels:
                continue
            needed = f"{code[:1]} and up to {2 * levels} digits, two a level" if levels else "a letter from A to G"
            yield facts.problem(
                ENTRY, ref, "codes", code,
                about="", found=f'{ref} holds the code "{code[:20]}"',
                needed=f"{needed} is needed",
            )  # fmt: skip
