"""What a check said of a case before, kept under everything it was said of: the next who asks need not wait.

Kept is what was printed, and how heavy the heaviest problem was. The key is over the program, the organisation's
folder, the case folder to the last byte, the date, and what git and OpenSSH can answer, as for an assessment.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable
from functools import cached_property
from pathlib import Path

from msgspec import Struct, field

from asfound import history
from asfound.folders import BENCH
from asfound.history import Git, GitError
from asfound.store import Store, key, program_digest, tree_digest

_KIND = "told"
_FORMAT = "1"


class Told(Struct, frozen=True):
    """The lines a check printed of one case, and the levels of its problems."""

    lines: tuple[str, ...]
    levels: frozenset[str] = frozenset()


class Lies(Struct, frozen=True):
    """Digests of the organisation's folder and of a case folder, as they lay when the case was checked."""

    bench: str
    case: str


class ToldBefore(Struct, dict=True):
    """What was said of the cases of a repository on one date; where nothing is kept, nothing. Raises nothing."""

    root: Path
    on: dt.date
    store: Store | None
    git: Git | None = field(default=None)

    @cached_property
    def bench(self) -> str:
        """The organisation's folder, as it lies there."""
        return tree_digest(self.root, BENCH)

    @cached_property
    def _state(self) -> str | None:
        git = self.git if self.git is not None else Git.open(self.root)
        if not isinstance(git, Git):
            return None if history.GIT_SAID in git.why else git.why
        try:
            return history.state(git) or None
        except GitError:
            return None

    def begin(self) -> None:
        """Ask git now, so that a commit made meanwhile does not count for what was read before it."""
        _ = self._state

    def get(self, folder: str) -> Told | None:
        """What was said of a case as it lies there, with what git tells or else without; None where nothing is kept."""
        lies = Lies(self.bench, tree_digest(self.root, folder))
        return self._kept(folder, lies, True) or self._kept(folder, lies, False)

    def get_bench(self) -> Told | None:
        """What was said of the organisation's own files."""
        return self._kept(BENCH, Lies(self.bench, ""), False)

    def kept(self, folder: str, lies: Lies, past: bool) -> bool:
        """Whether what was said of a case as it lay so is kept already."""
        return self._kept(folder, lies, past) is not None

    def keep(self, folder: str, lies: Lies, past: bool, told: Told) -> None:
        """Keep what was said. `past` is whether git was asked who changed what."""
        name = self._name(folder, lies, past)
        if self.store is not None and name:
            said = json.dumps([list(told.lines), sorted(told.levels)], ensure_ascii=True)
            self.store.put(_KIND, name, said.encode("ascii"))

    def keep_bench(self, bench: str, told: Told) -> None:
        """Keep what was said of the organisation's own files."""
        self.keep(BENCH, Lies(bench, ""), False, told)

    def all(self, folders: Iterable[str]) -> tuple[Told, ...] | None:
        """What was said of the organisation's files and of each of these cases; None where anything is not kept."""
        if self.store is None:
            return None
        found = [self.get_bench(), *map(self.get, folders)]
        told = tuple(one for one in found if one is not None)
        return told if len(told) == len(found) else None

    def _kept(self, folder: str, lies: Lies, past: bool) -> Told | None:
        name = self._name(folder, lies, past)
        data = self.store.get(_KIND, name) if self.store is not None and name else None
        if data is None:
            return None
        try:
            lines, levels = json.loads(data)
            return Told(tuple(map(str, lines)), frozenset(map(str, levels)))
        except (ValueError, TypeError):
            return None

    def _name(self, folder: str, lies: Lies, past: bool) -> str:
        """The key; empty where nothing can be kept."""
        if self._state is None:
            return ""
        signed = _signing(self.root, folder)
        return key(_KIND, _FORMAT, program_digest(), lies.bench, folder, lies.case, self.on.isoformat(),
                   "with history" if past else "without history", self._state, signed)  # fmt: skip


def _signing(root: Path, folder: str) -> str:
    """Which program says whether signatures verify, where a case has any."""
    if folder == BENCH or not ((root / folder / "approvals").is_dir() or (root / folder / "editions").is_dir()):
        return ""
    from asfound import seal

    return seal.program_mark()
