"""What git tells of a case: commits, and what each did to which record."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from asfound.model.ways import named

PAST_RULES = frozenset(
    (
        "basis-changed-after-results",
        "evidence-replaced",
        "fact-changed-after-results",
        "plan-after-results",
        "plan-changed-after-results",
        "reading-changed",
        "record-taken-out",
        "statements-opened-early",
    )
)
"""Rules whose answer depends on how much of the history a clone holds: they have no say in the digest of a core."""


NOT_LISTED = "an author not listed"
"""The role of an author whom `.asfound/roles.yml` does not name."""


@dataclass(frozen=True, slots=True)
class Commit:
    """A commit. Its time is git's and is never shown as the time of evidence.

    author   a label that tells authors apart (`author 2`), in the order in which they first appear: names and
             addresses of people stay in git
    role     the author, by `.asfound/roles.yml`; `an author not listed` where nobody is
    at       commit time, by the clock of whoever committed
    subject, body  the message; lines of the body that name a person with an address are left out
    after    the nearest commits of the same `Past` on which it rests; empty for the first ones
    anew     whether it was made anew after first being written, as by an amendment or a rebase
    """

    id: str
    parents: tuple[str, ...]
    author: str
    role: str
    at: dt.datetime
    subject: str
    body: str = ""
    after: tuple[str, ...] = ()
    anew: bool = False

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

    ref      its id; a file that is one record, or holds none, goes by its path below the case folder; a file that
             evidence.yml names goes by the id of that evidence. Of the organisation's files: `<set>/<limit>`,
             `limits/<set>` (what a set says beside its limits), `protocols/<name>`, `.asfound/settings.yml`
    kind     `added`, `changed`, `removed`, `moved` (same record, other file or folder)
    file     path at that commit, relative to the repository
    fields   what differs; of a record added or removed all of it. A row added to a table carries none, nor does a file
    edition  the first edition that holds the change; 0 where none does yet
    """

    commit: str
    ref: str
    kind: str
    file: str
    line: int = 0
    fields: tuple[FieldChange, ...] = ()
    edition: int = 0


def brought_value(changes: Iterable[RecordChange]) -> RecordChange | None:
    """Of what happened to one reading, oldest first: what brought its value. None where it never had one to be seen.

    A row may be laid out empty, with the plan, and be filled later; then it is the filling. One that had a value, lost
    it and got another is as old as its row. One that was taken out as empty as it had been laid out brought nothing.
    """
    added: RecordChange | None = None
    for change in changes:
        if change.kind == "added":
            added = added or change
        elif change.kind == "removed" and not any(
            _value(field) and (field.old or "").strip() for field in change.fields
        ):
            added = None
        for field in change.fields:
            if change.kind == "changed" and _value(field):
                return change if not (field.old or "").strip() else added
    return added


def _value(field: FieldChange) -> bool:
    return field.name.partition("[")[0].strip() == "value"


SHOWN = 160
"""Characters of a value that words about a change show; the change itself has them all."""


def field_words(field: FieldChange, most: int = SHOWN) -> str:
    """A field from old to new on one line, long values cut. Of two long texts the part that differs is shown.

    >>> field_words(FieldChange("value", "88.1", "118.1"))
    'value: “88.1” → “118.1”'
    >>> field_words(FieldChange("calibrations / 1 / due", "2026-11-10", "2026-11-30"))
    'due day of calibration 1: “2026-11-10” → “2026-11-30”'
    """
    name = named(field.name)
    if field.old is None:
        return f"{name}: {_short(field.new, most)}"
    if field.new is None:
        return f"{name}: {_short(field.old, most)} → nothing"
    skip = 0
    if max(len(field.old), len(field.new)) > most:
        # A little of what comes before the difference is shown with it.
        both = zip(_words(field.old), _words(field.new), strict=False)
        skip = max(next((at for at, (old, new) in enumerate(both) if old != new), 0) - most // 4, 0)
    return f"{name}: {_short(field.old, most, skip)} → {_short(field.new, most, skip)}"


def _short(value: str | None, most: int, skip: int = 0) -> str:
    words = _words(value)
    if not words:
        return "blank"
    begin, rest = ("…", words[skip:]) if skip else ("", words)
    return f"“{begin}{rest}”" if len(rest) <= most else f"“{begin}{rest[: most - 1].rstrip()}…”"


def _words(value: str | None) -> str:
    return " ".join((value or "").split())


@dataclass(frozen=True)
class Past:
    """The history of one case.

    known     false where it was not asked for or cannot be told
    why       then the reason, one sentence
    changes   oldest first
    gaps      what cannot be proved, one sentence each (a squash, a rewritten branch)
    own       the sets of limits and the protocols that are the organisation's own, as `limits/<set>` and
              `protocols/<name>`; those of the program change with its versions, and no commit tells of them
    cut       whether commits are missing at the beginning, so that nothing is known of what came first
    uncommitted  how the files as they lie there differ from the last commit; their `commit` is empty
    """

    known: bool = False
    why: str = "the history was not asked for"
    commits: tuple[Commit, ...] = ()
    changes: tuple[RecordChange, ...] = ()
    gaps: tuple[str, ...] = ()
    uncommitted: tuple[RecordChange, ...] = ()
    cut: bool = False
    own: tuple[str, ...] = ()

    def of(self, ref: str) -> tuple[RecordChange, ...]:
        """What happened to one record, oldest first."""
        return self.by_ref.get(ref, ())

    @cached_property
    def _by_id(self) -> dict[str, Commit]:
        return {one.id: one for one in self.commits}

    @cached_property
    def by_ref(self) -> dict[str, tuple[RecordChange, ...]]:
        """What happened to each record, oldest first."""
        found: dict[str, list[RecordChange]] = {}
        for change in self.changes:
            found.setdefault(change.ref, []).append(change)
        return {ref: tuple(changes) for ref, changes in found.items()}

    @cached_property
    def lying(self) -> dict[str, tuple[RecordChange, ...]]:
        """What is not committed yet of each record."""
        found: dict[str, list[RecordChange]] = {}
        for change in self.uncommitted:
            found.setdefault(change.ref, []).append(change)
        return {ref: tuple(changes) for ref, changes in found.items()}

    def commit(self, ident: str) -> Commit | None:
        """A commit by its id."""
        return self._by_id.get(ident)

    def before(self, one: str, other: str) -> bool:
        """Whether a commit came before another and the other rests on it.

        Two commits of branches that ran side by side are neither before nor after one another, whatever their times.
        """
        known, waiting, seen = self._by_id, [other], {other}
        while waiting:
            commit = known.get(waiting.pop())
            for parent in commit.after if commit is not None else ():
                if parent == one:
                    return True
                if parent not in seen:
                    seen.add(parent)
                    waiting.append(parent)
        return False
