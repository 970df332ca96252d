"""A difference between two dossiers of one case."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

EARNED = "what the evidence earns"
"""Beside a level or a status that was computed rather than held by the author."""


class Area(StrEnum):
    """What a difference is about."""

    LEVEL = "level of the conclusion"
    VERDICT = "verdict"
    EXCEPTION = "exception"
    PROBLEM = "problem"
    RECORD = "record"
    RESULT = "derived result"
    LIMIT = "limit"
    FILE = "file of evidence"


class Kind(StrEnum):
    """What became of it."""

    ADDED = "added"
    CHANGED = "changed"
    REMOVED = "removed"


@dataclass(frozen=True, slots=True)
class Move:
    """One field, before and after, in words and with its unit; None where it did not stand.

    told is what a sentence calls it, where a field inside another has a name for programs only
    """

    name: str
    old: str | None
    new: str | None
    told: str = ""

    @property
    def called(self) -> str:
        """Its name for a reader."""
        return self.told or self.name


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that two dossiers say differently.

    ref     id of the record; the file's name where the file is one record; `mechanism` or `reason` for a level, the id
            of an explanation for a status; the record spoken of for a verdict or a problem (empty where a problem
            speaks of none); `set/name` for a limit; the path for a file
    beside  the limit a verdict is held against; the rule of a problem; `EARNED` for a level that was computed
    moves   what stood there and what stands there; for a record that is new or gone, its fields with one side None
    said    one line that says what it is: what a problem found, the title of a result, the records of a file, the
            value of a verdict that moved without it
    weight  0 is the biggest
    """

    area: Area
    kind: Kind
    ref: str
    moves: tuple[Move, ...] = ()
    beside: str = ""
    said: str = ""
    weight: int = 0

    def move(self, name: str) -> Move | None:
        """One of the fields."""
        return next((one for one in self.moves if one.name == name), None)
