"""Under which key an assessment is kept: everything it is worked out from has a say in it, and nothing else."""

from __future__ import annotations

import datetime as dt
from functools import cached_property
from pathlib import Path

from asfound.assess.outside import outside_state
from asfound.assess.repository import Repository
from asfound.model.layout import BENCH
from asfound.store import key, program_digest, tree_digest

ASSESSMENT, LEAD = "assessment", "lead"


def bench_digest(root: Path) -> str:
    """The organisation's folder as it lies there."""
    return tree_digest(root, BENCH)


class Keys:
    """The keys of one run over the cases of a repository; what all cases share is looked at once.

    `bench` is the digest of the organisation's folder from before it was read.
    """

    def __init__(self, shared: Repository, bench: str, on: dt.date, history: bool) -> None:
        self._root, self._shared, self.bench = shared.root, shared, bench
        self._on, self._history = on.isoformat(), "with history" if history else "without history"

    @cached_property
    def state(self) -> str:
        """What the answers of git and OpenSSH hang on; empty where that cannot be said."""
        return outside_state(self._shared)

    def still(self, folder: str, tree: str) -> bool:
        """Whether the files of a case, and those of the organisation, lie there as they did when they were read."""
        return bench_digest(self._root) == self.bench and self.tree(folder) == tree

    def tree(self, folder: str) -> str:
        """The case folder as it lies there."""
        return tree_digest(self._root, folder)

    def lead(self, folder: str, tree: str) -> str:
        """The key under which is kept what was known of a case from outside, as a digest. It leads to the other."""
        return key(LEAD, program_digest(), self.bench, folder, tree, self._on, self._history, self.state)

    def assessment(self, folder: str, tree: str, outside: str) -> str:
        """The key of an assessment; `outside` is the digest of what is known from outside."""
        return key(ASSESSMENT, program_digest(), self.bench, folder, tree, self._on, outside)
