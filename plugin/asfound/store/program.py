"""What computes: one digest over the program's own files, Python, and every package beside it."""

from __future__ import annotations

import hashlib
import os
import sys
from functools import cache
from pathlib import Path

_HOME = Path(__file__).resolve().parent.parent


@cache
def program_digest() -> str:
    """SHA-256 over each file of the program, the version of Python, and the names and versions of all packages.

    The files themselves are read, installed or not: whoever changes one never sees what the old one said. Names of
    packages come from the folders in which installers note them, so that one that comes, goes or changes counts.
    """
    whole = hashlib.sha256(b"asfound program digest 1\n")
    whole.update(f"{sys.implementation.name} {sys.version}\n".encode())
    for place in sys.path:
        try:
            names = sorted(name for name in os.listdir(place or ".") if name.endswith((".dist-info", ".egg-info")))  # noqa: PTH208
        except OSError:
            continue
        if names:
            whole.update(f"{names}\n".encode("utf-8", "surrogateescape"))
    for path, _, _ in _as_begun():
        data = (_HOME / path).read_bytes()
        whole.update(f"{path} {hashlib.sha256(data).hexdigest()}\n".encode("utf-8", "surrogateescape"))
    return whole.hexdigest()


def unchanged() -> bool:
    """Whether the program's files still lie there as they did when their digest was taken.

    Somebody who works on the program while it runs gets a mixture of old and new modules: nothing of it is kept.
    """
    program_digest()
    return _as_begun() == tuple(_files())


@cache
def _as_begun() -> tuple[tuple[str, int, int], ...]:
    return tuple(_files())


def _files() -> list[tuple[str, int, int]]:
    """Path, size and time of change of each file of the program, sorted."""
    found = []
    waiting = [""]
    while waiting:
        folder = waiting.pop()
        with os.scandir(_HOME / folder) as entries:
            for entry in entries:
                path = f"{folder}/{entry.name}" if folder else entry.name
                if entry.is_dir():
                    if entry.name != "__pycache__" and not entry.is_symlink():
                        waiting.append(path)
                elif not entry.name.endswith(".pyc"):
                    state = entry.stat()
                    found.append((path, state.st_size, state.st_mtime_ns))
    return sorted(found)
