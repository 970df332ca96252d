"""The past of every case of a repository, from one pass over its history."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import replace
from functools import cached_property
from itertools import groupby
from pathlib import Path

from asfound import history
from asfound.assess.changes import Teller, Versions
from asfound.assess.lineage import Lineage, Touch
from asfound.assess.uncommitted import uncommitted
from asfound.assess.used import Used
from asfound.history import GIT_SAID, GitError, Log, LogCommit, Unknown
from asfound.model.bench import Roles
from asfound.model.past import NOT_LISTED, Commit, Past, RecordChange, brought_value
from asfound.model.pause import without_collecting

NOTHING = Used()
_EDITION = re.compile(r"editions/([1-9]\d{0,5})/edition\.json")
_EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)
# A line at the end of a message that names a person with an address, whatever it is called.
_PERSON = re.compile(r"^[A-Za-z][A-Za-z-]*: .*<[^<>\s]+@[^<>\s]+>\s*$", re.MULTILINE)


class Chronicle:
    """What git tells of the cases of one repository. Reads the history once, when it is first asked."""

    def __init__(self, root: Path, roles: Roles | None = None) -> None:
        self._root = root
        self._roles = {name.casefold(): role for name, role in (roles or Roles()).authors.items()}

    @cached_property
    def log(self) -> Log | Unknown:
        """The history, or why it cannot be told."""
        return history.read(self._root)

    @cached_property
    def lineage(self) -> Lineage:
        """The history sorted into cases. Only where `log` is one. Raises GitError."""
        assert isinstance(self.log, Log)
        return Lineage(self.log)

    def read_ahead(self) -> None:
        """Read what the pasts of all cases share, before this process is copied. Raises nothing."""
        if isinstance(self.log, Log):
            # Whoever asks for the past of a case meets the error again, and tells it.
            with suppress(GitError):
                _ = self.lineage.unknown_parents, self._bench

    def past(self, case: str, folder: str, used: Used = NOTHING) -> Past:
        """The past of a case: what every commit did to its records and to what it uses of the organisation's.

        `folder` is where it lies now, from the root; what lies there differently from the last commit is told apart.
        Raises nothing.
        """
        if isinstance(self.log, Unknown):
            return Past(why=self.log.why)
        try:
            with without_collecting():
                return self._past(self.log, case, folder, used)
        except GitError as error:
            return Past(why=f"git could not tell the history. {GIT_SAID}{error}")

    def _past(self, log: Log, case: str, folder: str, used: Used) -> Past:
        touches = self.lineage.touches(case)
        teller, told = _tell(log, touches)
        told += [(number, change) for number, change in self._bench[1] if used.holds(change.ref)]
        editions = self._editions(log, touches)
        if editions:
            told = [(number, replace(change, edition=editions.get(number, 0))) for number, change in told]
        told.sort(key=lambda one: one[0])
        # A file may have come before the record that names it.
        told = [(number, _named(change, teller.names)) for number, change in told]
        numbers = sorted({number for number, _ in told})
        gaps = [
            *self._gaps(log, case, numbers),
            *_order(log, told),
            *_unread([*teller.unreadable, *(self._bench[0].unreadable if not used.nothing else ())]),
        ]
        if teller.missing or (not used.nothing and self._bench[0].missing):
            gaps.append(
                "This clone holds back older contents of files, so what some commits changed cannot be told record by "
                "record; a clone made without a filter holds them all."
            )
        return Past(
            known=True,
            why="",
            commits=tuple(
                self._commit(log.commits[number], after)
                for number, after in zip(numbers, _after(log, numbers), strict=True)
            ),
            changes=tuple(change for _, change in told),
            gaps=tuple(gaps),
            uncommitted=uncommitted(self._root, log, self.lineage, case, folder, used, teller.names),
            cut=bool(self.lineage.unknown_parents),
            own=used.own,
        )

    @cached_property
    def _bench(self) -> tuple[Teller, list[tuple[int, RecordChange]]]:
        """Changes of what the organisation brings."""
        assert isinstance(self.log, Log)
        return _tell(self.log, self.lineage.bench)

    @cached_property
    def _authors(self) -> dict[tuple[str, str], str]:
        """A label for each author, in the order in which they first appear."""
        assert isinstance(self.log, Log)
        found: dict[tuple[str, str], str] = {}
        for commit in self.log.commits:
            found.setdefault((commit.name, commit.email), f"author {len(found) + 1}")
        return found

    def _commit(self, commit: LogCommit, after: tuple[str, ...]) -> Commit:
        role = self._roles.get(commit.email.casefold()) or self._roles.get(commit.name.casefold()) or NOT_LISTED
        body = _PERSON.sub("", commit.body).strip("\n")
        label = self._authors[commit.name, commit.email]
        return Commit(
            commit.id, commit.parents, label, role, commit.at or _EPOCH, commit.subject, body,
            after, commit.authored != commit.committed,
        )  # fmt: skip

    def _editions(self, log: Log, touches: list[Touch]) -> dict[int, int]:
        """Commit → the first edition whose own commit rests on it."""
        issued: dict[int, int] = {}
        for touch in touches:
            match = _EDITION.fullmatch(touch.new or "")
            if match is not None and touch.change.new is not None:
                issued.setdefault(int(match[1]), touch.number)
        places = {commit.id: number for number, commit in enumerate(log.commits)} if issued else {}
        found: dict[int, int] = {}
        for edition, number in sorted(issued.items()):
            waiting = [number]
            while waiting:
                here = waiting.pop()
                if here in found:
                    continue
                found[here] = edition
                waiting += [places[parent] for parent in log.commits[here].parents if parent in places]
        return found

    def _gaps(self, log: Log, case: str, numbers: list[int]) -> Iterator[str]:
        """What the history as a whole cannot prove."""
        if log.replaced:
            yield (
                f"This clone would show {_many(log.replaced, 'object')} in the place of others (refs/replace); it was "
                "set aside, and the history is told as it was committed."
            )
        for ident, parent in self.lineage.unknown_parents[:1]:
            yield (
                f"Commit {ident[:10]} rests on commit {parent[:10]}, which this clone does not hold; what came before "
                "is not known."
            )
        name = case
        while name in self.lineage.renamed:
            before, at = self.lineage.renamed[name]
            yield f"Up to commit {at.id[:10]} the case bore the identity “{before}”."
            name = before
        commits = [log.commits[number] for number in numbers]
        anew = [commit for commit in commits if commit.authored != commit.committed]
        if anew:
            subject = "One commit was" if len(anew) == 1 else f"{len(anew)} commits were"
            yield (
                f"{subject} made anew after first being written, beginning with {anew[0].id[:10]}: author time and "
                "commit time differ, as after an amendment or a rebase. What stood before is not in this history."
            )
        undated = [commit for commit in commits if commit.at is None]
        if undated:
            yield (
                f"The commit time of {undated[0].id[:10]} cannot be read as a date; it is shown as the first of "
                "January 1970."
            )
        times = {commit.id: commit.committed for commit in log.commits}
        for commit in commits:
            later = [parent for parent in commit.parents if times.get(parent, commit.committed) > commit.committed]
            if later:
                yield (
                    f"The commit time of {commit.id[:10]} is earlier than that of {later[0][:10]}, on which it rests: "
                    "a clock was wrong or set, so the order of commits counts here and not their times."
                )
                break


def _after(log: Log, numbers: list[int]) -> list[tuple[str, ...]]:
    """Of some commits, by their numbers: the nearest others of them on which each rests."""
    wanted = set(numbers)
    ends: dict[str, tuple[str, ...]] = {}
    found = []
    # Commits stand parents first. What a commit leads back to is kept only while a child may still ask.
    for number, commit in enumerate(log.commits[: numbers[-1] + 1] if numbers else ()):
        if len(commit.parents) == 1:
            back = ends.get(commit.parents[0], ())
        else:
            back = tuple(dict.fromkeys(one for parent in commit.parents for one in ends.get(parent, ())))
        if number in wanted:
            found.append(back)
            back = (commit.id,)
        ends[commit.id] = back
    return found


def _tell(log: Log, touches: list[Touch]) -> tuple[Teller, list[tuple[int, RecordChange]]]:
    """What each commit did, by its number in the log."""
    versions = Versions(log)
    versions.expect(touches)
    teller = Teller(versions)
    try:
        together = groupby(touches, key=lambda touch: touch.number)
        return teller, [(number, change) for number, of_one in together for change in teller.tell(list(of_one))]
    finally:
        versions.close()


def _named(change: RecordChange, names: Mapping[str, str]) -> RecordChange:
    name = names.get(change.ref)
    return change if name is None else replace(change, ref=name)


def _order(log: Log, told: list[tuple[int, RecordChange]]) -> Iterator[str]:
    """A squash: the plan and its results in one commit. (That results came first is no gap; a rule says it.)"""
    plan = next(
        (number for number, one in told if one.kind == "added" and (one.ref == "plan.yml" or one.ref[:2] == "P-")), None
    )
    rows: dict[str, list[tuple[int, RecordChange]]] = {}
    for number, one in told:
        if one.ref.startswith("R-"):
            rows.setdefault(one.ref, []).append((number, one))
    brought = [(found, of_one) for of_one in rows.values() if (found := brought_value(one for _, one in of_one))]
    result = min((number for found, of_one in brought for number, one in of_one if one is found), default=None)
    if plan is not None and plan == result:
        yield (
            f"The plan and its first results entered git in one commit, {log.commits[plan].id[:10]}: git cannot show "
            "which was written first."
        )


def _unread(unreadable: list[tuple[str, str]]) -> Iterator[str]:
    if unreadable:
        commit, file = unreadable[0]
        more = f" (and {_many(len(unreadable) - 1, 'further version')})" if len(unreadable) > 1 else ""
        yield (
            f"{file} could not be read as it stood in commit {commit[:10]}{more}; what such a version changed is told "
            "with the next that can be read."
        )


def _many(count: int, what: str) -> str:
    return f"1 {what}" if count == 1 else f"{count} {what}s"
