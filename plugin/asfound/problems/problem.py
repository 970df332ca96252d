"""A problem is a value, not an exception: it is collected, sorted, shown, counted."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum

from asfound.problems.span import Span


class Level(StrEnum):
    """How much a problem weighs.

    `reject`: the case cannot be merged. `warn`: it can, and the report prints the gap.
    `needed`: an open case still lacks this; becomes what its rule says once the case is in review.
    `note`: for information.
    """

    REJECT = "reject"
    WARN = "warn"
    NEEDED = "still needed"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 is the heaviest; for sorting."""
        return _RANK[self]


_RANK = {Level.REJECT: 0, Level.WARN: 1, Level.NEEDED: 2, Level.NOTE: 3}


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong or missing.

    rule    kebab-case name of the rule that speaks
    level   how much it weighs here (set by whoever runs the rule, not by the rule)
    span    where
    found   what was found, in words, as a clause without a final stop
    needed  what was needed, likewise
    mend    how to mend it, one sentence
    subject id of the record concerned (`I-4`), empty where there is none
    related other places that belong to it
    lifted  id of the exception that lifts a reject to a warning, if one does
    about   what of the record it speaks of, where its rule may say several things of one: fields, an id, a name.
            Nothing prints it; it is how one problem is known again from run to run
    """

    rule: str
    level: Level
    span: Span
    found: str
    needed: str
    mend: str = ""
    subject: str = ""
    related: tuple[Span, ...] = field(default=())
    lifted: str = ""
    about: str = field(default="", compare=False)

    @property
    def key(self) -> tuple[str, int, int, int, str, str]:
        """Stable order: by place, then weight, then rule."""
        return (self.span.path, self.span.line, self.span.column, self.level.rank, self.rule, self.found)

    def at(self, level: Level, lifted: str = "") -> Problem:
        """The same problem at another level."""
        return replace(self, level=level, lifted=lifted)

    def headline(self) -> str:
        """`path:line:column level rule — what was found; what was needed.`"""
        return f"{self.span} {self.level} {self.rule} — {self.found}; {self.needed}."
