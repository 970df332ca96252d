"""One pass over the whole history: every commit, and the files each brought, changed or removed.

A merge is told against its first parent, not as the combined difference git offers: the combined one is silent where a
merge takes one side whole and drops what the other side had changed, and that is where a change can be lost unseen.
`history.replay` works out from it what a merge did of its own.
"""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterator
from typing import NamedTuple

from msgspec import Struct

from asfound.history.git import LONG_SECONDS, Git, GitError

_FIELDS = 6
_FORMAT = "%H%x00%P%x00%an%x00%ae%x00%at %cd%x00%B"
_ARGUMENTS = (
    "log", "--raw", "-z", "--diff-merges=first-parent", "--topo-order", "--no-renames", "--no-abbrev",
    "--no-ext-diff", "--no-textconv", "--no-color", "--no-decorate", "--no-notes", "--no-mailmap",
    "--no-show-signature", "--root", "--ignore-submodules=none", "--submodule=short", "--encoding=UTF-8",
    "--date=raw", f"--format={_FORMAT}",
)  # fmt: skip
_FILE_MODES = ("100644", "100755", "100664")
_EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)


class FileChange(NamedTuple):
    """What a commit did to one file.

    path      from the root of the cases, with `/`
    old, new  ids of the contents before and after; None where no file stood (a link or a submodule is none)
    sides     in a merge: the contents each of its parents has
    base      in a merge: the contents before the sides parted
    """

    path: str
    old: str | None
    new: str | None
    sides: tuple[str | None, ...] = ()
    base: str | None = None


class LogCommit(Struct, frozen=True):
    """A commit as git keeps it.

    at        the time at which it was made, by the committer's clock; None where git cannot place it
    authored  the author's time in seconds since 1970, `committed` the committer's
    changes   its files, against its first parent
    """

    id: str
    parents: tuple[str, ...]
    name: str
    email: str
    authored: int
    committed: int
    at: dt.datetime | None
    subject: str
    body: str
    changes: tuple[FileChange, ...]


def log(git: Git, head: str) -> tuple[LogCommit, ...]:
    """Every commit `head` rests on, parents first. Raises GitError where git cannot tell."""
    try:
        said = git.run(*_ARGUMENTS, head, "--", seconds=LONG_SECONDS)
    except GitError as error:
        if "unrecognized argument" in str(error) or "unknown value" in str(error):
            raise GitError(f"{error}; git 2.31 or newer is needed", error.code) from error
        raise
    return tuple(reversed(tuple(parse(said, git.prefix))))


def parse(said: bytes, prefix: str = "") -> Iterator[LogCommit]:
    """The commits in what git wrote, in git's order. Paths outside `prefix` are left out, inside it cut from it."""
    # One decoding for all: surrogates keep the bytes of a name that is not UTF-8.
    tokens = said.decode("utf-8", "surrogateescape").split("\0")
    at, end = 0, len(tokens)
    while at + _FIELDS <= end:
        ident, parents, name, email, times, message = tokens[at : at + _FIELDS]
        at += _FIELDS
        changes: list[FileChange] = []
        while at + 1 < end:
            told = tokens[at].lstrip("\n")
            if not told.startswith(":"):
                break
            path = tokens[at + 1]
            at += 2
            if prefix:
                if not path.startswith(prefix):
                    continue
                path = path[len(prefix) :]
            was, now, old, new, _ = told[1:].split(" ")
            before, after = (old if was in _FILE_MODES else None), (new if now in _FILE_MODES else None)
            if before != after:
                changes.append(FileChange(path, before, after))
        authored, committed, zone = times.split(" ")
        subject, _, body = _clean(message).strip("\n").partition("\n")
        yield LogCommit(
            ident, tuple(parents.split()), _clean(name), _clean(email), int(authored or 0), int(committed or 0),
            moment(committed, zone), subject.strip(), body.strip("\n"), tuple(changes),
        )  # fmt: skip


def moment(seconds: str, zone: str) -> dt.datetime | None:
    """A commit's time on its own offset; None for one that lies outside the calendar, or 0, which git writes for it."""
    try:
        sign = -1 if zone.startswith("-") else 1
        offset = sign * (int(zone[1:3]) * 60 + int(zone[3:5]))
        at = _EPOCH + dt.timedelta(seconds=int(seconds))
        return at.astimezone(dt.timezone(dt.timedelta(minutes=offset))) if int(seconds) else None
    except (ValueError, OverflowError):
        return None


def _clean(text: str) -> str:
    # Undecodable bytes of a name or message are shown as such; a path keeps them, since it must lead to the file.
    return text if text.isascii() else os.fsencode(text).decode("utf-8", "replace")
