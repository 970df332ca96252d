"""What keeps a verdict from being given is told, once a sheet, limit and reason.

Fails: eleven energies into 50 Ω whose stated value was entered for 75 Ω: each says for itself that nothing is stated.
Passes: the stated value entered for 50 Ω; and a reading that was not obtainable, whose sheet gives the reason.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.verdict import Outcome
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named

ENTRY = Entry(
    name="verdict-not-assessable",
    family=Family.COMPLETENESS,
    level=Level.NOTE,
    title="Where a limit speaks to a reading and no verdict can be given, the reader is told, and why.",
    reason="What is missing is often a word or a unit in another file, and can be entered while it is still known.",
    source="ISO/IEC 17025:2017, 7.8.6.2 a and b (to which results a statement applies, and which clauses)",
    status="confirmed",
    mend="Enter what is missing, or correct it; where it cannot be known, the verdict stays not assessable.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """In the order of the readings. What a person gave a reason for is told already, by that reason."""
    found: dict[tuple[str, str, str], list[str]] = {}
    for one in facts.verdicts:
        row = facts.case.reading.get(one.subject)
        if one.outcome is Outcome.NOT_ASSESSABLE and row is not None and not row.value.why:
            limit = one.limit.id if one.limit is not None else "a limit of the plan's sets"
            found.setdefault((row.sheet, limit, one.why), []).append(row.id)
    for (sheet, limit, why), refs in found.items():
        yield facts.problem(
            ENTRY, sheet,
            about=limit, found=f"no verdict can be given of {named(refs, 3)} against {limit}: {_clause(why)}",
            needed="what the verdict depends on is needed",
        )  # fmt: skip


def _clause(why: str) -> str:
    """A sentence as the end of another."""
    text = why.strip().removesuffix(".")
    return text[:1].lower() + text[1:] if text[:2].istitle() else text
