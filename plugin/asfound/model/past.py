"""What git tells of a case: commits, and what each did to which record."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Commit:
    """A commit. Its time is git's and is never shown as the time of evidence.

    role  the author, by `.asfound/roles.yml`; `an author not listed` where nobody is
    """

    id: str
    parents: tuple[str, ...]
    author: str
    role: str
    at: dt.datetime
    subject: str
    body: str = ""

    @property
    def short(self) -> str:
        """The first ten digits."""
        return self.id[:10]


@dataclass(frozen=True, slots=True)
class FieldChange:
    """A field of a record, before and after; None where it did not stand."""

    name: str
    old: str | None
    new: str | None


@dataclass(frozen=True, slots=True)
class RecordChange:
    """What one commit did to one record.

    kind   `added`, `changed`, `removed`, `moved` (same record, other file or folder)
    file   path at that commit, relative to the repository
    """

    commit: str
    ref: str
    kind: str
    file: str
    line: int = 0
    fields: tuple[FieldChange, ...] = ()


@dataclass(frozen=True)
class Past:
    """The history of one case.

    known     false where it was not asked for or cannot be told
    why       then the reason, one sentence
    changes   oldest first
    gaps      what cannot be proved, one sentence each (a squash, a rewritten branch)
    """

    known: bool = False
    why: str = "the history was not asked for"
    commits: tuple[Commit, ...] = ()
    changes: tuple[RecordChange, ...] = ()
    gaps: tuple[str, ...] = ()

    def of(self, ref: str) -> tuple[RecordChange, ...]:
        """What happened to one record, oldest first."""
        return tuple(change for change in self.changes if change.ref == ref)

    def commit(self, ident: str) -> Commit | None:
        """A commit by its id."""
        return next((one for one in self.commits if one.id == ident), None)
