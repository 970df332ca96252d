"""Whether the last commit holds the files as they lie here, by their contents and not by what git's index says."""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterator

from asfound import history, intake
from asfound.assess.repository import Repository
from asfound.history import Git, GitError
from asfound.model.layout import BENCH, canonical

_POINTER = re.compile(rb"oid sha256:([0-9a-f]{64})\n")
_POINTER_SIZE = 1024
_LEFT_BEHIND = "editions/."
"""What an issue that was interrupted leaves; the next one takes it away."""


def not_committed(shared: Repository, folder: str) -> tuple[str, ...]:
    """What stands against an edition's resting on the last commit: one clause a file. Raises nothing.

    The case folder and the organisation's own files are asked. A flag that hides a change from `git status` hides
    nothing here, since contents are compared. Line ends of YAML and CSV count as the case digest counts them.
    """
    git = Git.open(shared.root)
    if not isinstance(git, Git):
        return (f"an edition rests on a commit, and there is none: {git.why.rstrip('.')}",)
    try:
        head = git.head()
        if head is None:
            return ("nothing is committed yet, and an edition rests on a commit",)
        return tuple(_unlike(shared, git, head, folder))
    except GitError as error:
        return (f"git could not tell what is committed. It said: {error}",)


def _unlike(shared: Repository, git: Git, head: str, folder: str) -> Iterator[str]:
    held = {
        path.removeprefix(git.prefix): ident
        for path, ident in history.tree(git, head).items()
        if path.startswith(git.prefix)
    }
    for part in (folder, BENCH):
        if not (shared.root / part).is_dir():
            continue
        walked = intake.walk_case(shared.root, shared.root / part)
        here = {walked.at(path) for path in walked.paths if not path.startswith(_LEFT_BEHIND)}
        for path in sorted(here | {path for path in held if path.startswith(f"{part}/")}):
            if path not in here:
                # What the walk passes over, as programs leave it behind, or refuses, is told by the walk itself.
                if not os.path.lexists(shared.root / path):
                    yield f"{path} stands in the last commit and not in the folder"
            elif path not in held:
                yield f"{path} is not committed"
            elif not _same(shared, git, path, path[len(part) + 1 :], held[path]):
                yield f"{path} differs from the last commit"


def _same(shared: Repository, git: Git, path: str, below: str, ident: str) -> bool:
    data = intake.read_bytes(shared.root, path).data
    if data is None:
        return False
    if history.content_id(data, ident) == ident:
        return True
    for _, kept in history.contents(git, (ident,)):
        if kept is None:
            return False
        pointer = _POINTER.search(kept) if len(kept) <= _POINTER_SIZE else None
        if pointer is not None and pointer[1].decode() == hashlib.sha256(data).hexdigest():
            return True
        return canonical(below, kept) == canonical(below, data)
    return False
