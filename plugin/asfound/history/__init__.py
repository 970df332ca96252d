"""Floor 5: what git keeps. The only box that calls git; reads, and writes nothing but a new repository and a
tag, each when somebody asks for it."""

from __future__ import annotations

from collections.abc import Generator, Iterable
from pathlib import Path

from msgspec import Struct

from asfound.history.begin import BRANCH, around, begin
from asfound.history.contents import content_id, contents
from asfound.history.git import GIT_SAID, Git, GitError, Unknown, shallow_words
from asfound.history.log import FileChange, LogCommit, log
from asfound.history.own import Own, own
from asfound.history.refs import MAIN_BRANCHES, Tag, Tips, behind, odd_entries, resolve, tips, tree
from asfound.history.replay import Replay, Step
from asfound.history.set_tag import set_tag
from asfound.history.staged import Staged, hooked, indexed, sizes, staged, state


class Log(Struct, frozen=True):
    """The history of a repository.

    head      id of the commit that stands in the working folder; None where nothing is committed yet
    commits   every commit it rests on, parents first
    replaced  how many objects this clone would show in the place of others; they were set aside
    """

    git: Git
    head: str | None
    commits: tuple[LogCommit, ...]
    replaced: int = 0

    def replay(self) -> Replay:
        """The history, ready to be walked from its first commit."""
        return Replay(self.commits)

    def contents(self, idents: Iterable[str]) -> Generator[tuple[str, bytes | None], None, None]:
        """The contents under each id, in order; None where this clone does not hold them. Raises GitError."""
        return contents(self.git, idents)


def read(root: Path) -> Log | Unknown:
    """The history of the repository around `root`, in one pass; or why it cannot be told. Raises nothing.

    Call it once for all cases. Paths are from `root`; what lies outside it is left out. A clone that is cut short is
    not read at all: git would date every file by the newest commits, without a word.
    """
    git = Git.open(root)
    if isinstance(git, Unknown):
        return git
    if git.shallow:
        return Unknown(shallow_words())
    try:
        head = git.head()
        if head is None:
            return Log(git, None, ())
        return Log(git, head, log(git, head), git.replaced())
    except GitError as error:
        return Unknown(f"git could not tell the history. {GIT_SAID}{error}")


__all__ = [
    "BRANCH",
    "GIT_SAID",
    "MAIN_BRANCHES",
    "FileChange",
    "Git",
    "GitError",
    "Log",
    "LogCommit",
    "Own",
    "Replay",
    "Staged",
    "Step",
    "Tag",
    "Tips",
    "Unknown",
    "around",
    "begin",
    "behind",
    "content_id",
    "contents",
    "hooked",
    "indexed",
    "odd_entries",
    "own",
    "read",
    "resolve",
    "set_tag",
    "sizes",
    "staged",
    "state",
    "tips",
    "tree",
]
