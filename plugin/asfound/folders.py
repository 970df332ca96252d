"""Where a repository begins, and where its cases lie: one walk for the check, the hook, the watch and a shell.

Next to nothing is loaded for it: a hook before a commit and somebody between two keys wait for the answer.
"""

from __future__ import annotations

import os
from pathlib import Path

CASES, BENCH, HEAD = "cases", ".asfound", "case.yml"
MARKS = (BENCH, ".git", "mkdocs.yml")


def find_root(start: Path) -> Path:
    """The nearest folder, from `start` upwards, that holds `.asfound`, `.git` or `mkdocs.yml`; else `start`."""
    start = start.resolve()
    for folder in (start, *start.parents):
        if any((folder / mark).exists() for mark in MARKS):
            return folder
    return start


def find_cases(root: Path, below: str = CASES) -> tuple[Path, ...]:
    """The case folders of a repository: those at or below `below` that hold a case.yml, sorted.

    A case never lies within another's evidence, nor in a hidden folder. What cannot be looked into, or goes while it
    is looked for, is not there; raises nothing for it.
    """
    found: list[Path] = []
    # Not by a pattern of pathlib, which raises where a folder goes between being listed and being opened.
    for place, folders, names in os.walk(root / below):
        folders[:] = [name for name in folders if name != "evidence" and not name.startswith(".")]
        if (HEAD in names or HEAD in folders) and Path(place, HEAD).exists():
            found.append(Path(place))
    return tuple(sorted(found))
