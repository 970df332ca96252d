"""*Undetermined* says what was tried, what is missing, and what would settle it.

Fails: `level: undetermined` and no `undetermined` in conclusion.yml, or one without `would_settle`.
Passes: all three lists, each with at least one line.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.reasoning import ConfidenceLevel
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed
from asfound.rules.weighing._shared import opinions

ENTRY = Entry(
    name="undetermined-unlisted",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="What is undetermined comes with what was tried, what is missing and what would settle it.",
    reason="Not knowing is an answer only to those who learn how far one looked and where one would look next.",
    source="NFPA 921-2014 (classification undetermined)",
    status="from memory",
    mend="Fill tried, missing and would_settle under undetermined in conclusion.yml.",
    rows=("R87", "V4"),
)

_ASKED = (("tried", "what was tried"), ("missing", "what is missing"), ("would_settle", "what would settle it"))


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem, at the first part that is undetermined."""
    made = facts.case.conclusion
    if made is None:
        return
    part = next((name for name, one in opinions(facts) if one.level is ConfidenceLevel.UNDETERMINED), None)
    if part is None:
        return
    missing = [words for name, words in _ASKED if made.undetermined is None or not getattr(made.undetermined, name)]
    if missing:
        where = ("undetermined",) if made.undetermined is not None else (part, "level")
        yield facts.problem(
            ENTRY,
            "conclusion.yml",
            *where,
            found=f"the {part} is undetermined, and nothing says {listed(missing)}",
            needed="all three are needed",
        )
