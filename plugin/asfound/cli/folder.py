"""A folder that the program fills and fills again: it writes over what it wrote, and over nothing else."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path

import click
from msgspec import Struct

from asfound.cli.files import write_whole
from asfound.model.plain import plain

LIST = ".asfound-rendered.json"
"""What the program wrote into the folder: path → SHA-256. Generators of sites pass over hidden names."""
NAMED = 5


class Filled(Struct, frozen=True):
    """What was done: how many files there are now, were written, and taken away."""

    files: int
    written: int
    removed: int


class Folder:
    """A folder to be filled with `files`, looked at before anything is written.

    Raises UsageError where it holds anything that the program did not write, or that was changed since.
    """

    def __init__(self, place: Path, shown: str, files: Mapping[str, bytes]) -> None:
        self._place, self._files = place, dict(files)
        if place.exists() and not place.is_dir():
            raise click.UsageError(f"{shown} is no folder; name the folder to write into")
        self._now = {name: _digest(data) for name, data in self._files.items()}
        before = _listed(place / LIST)
        self._there: dict[str, str] = {}
        strange: list[str] = []
        changed: list[str] = []
        for path in sorted(place.rglob("*")) if place.is_dir() else ():
            name = path.relative_to(place).as_posix()
            if path.is_symlink() or not (path.is_file() or path.is_dir()):
                strange.append(name)
            elif path.is_file() and name != LIST:
                self._there[name] = _digest(path.read_bytes())
                # A run that was cut off has written some files that no list names yet: they are what is to be written.
                if self._there[name] not in (before.get(name), self._now.get(name)):
                    (changed if name in before else strange).append(name)
        if strange:
            raise click.UsageError(
                f"{shown} holds what asfound did not write there: {_few(strange)}; "
                "name a folder of its own, or empty it"
            )
        if changed:
            raise click.UsageError(
                f"{shown} holds files that were changed since asfound wrote them: {_few(changed)}; "
                "keep what is yours elsewhere, and delete them"
            )

    def fill(self) -> Filled:
        """Write what is new or differs, take away what is no more, and list all of it last."""
        written = [name for name, digest in self._now.items() if self._there.get(name) != digest]
        gone = [name for name in self._there if name not in self._now]
        for name in written:
            target = self._place / name
            target.parent.mkdir(parents=True, exist_ok=True)
            write_whole(target, self._files[name])
        for name in gone:
            self._remove(self._place / name)
        self._place.mkdir(parents=True, exist_ok=True)
        told = json.dumps({"format": 1, "files": dict(sorted(self._now.items()))}, indent=1) + "\n"
        write_whole(self._place / LIST, told.encode())
        return Filled(len(self._now), len(written), len(gone))

    def _remove(self, path: Path) -> None:
        path.unlink()
        for above in path.parents:
            if above == self._place or any(above.iterdir()):
                return
            above.rmdir()


def _listed(path: Path) -> dict[str, str]:
    # A list that is none makes every file a strange one, and nothing is written over.
    try:
        told = json.loads(path.read_bytes())
        return {str(name): str(digest) for name, digest in told["files"].items()}
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return {}


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _few(names: list[str]) -> str:
    more = len(names) - NAMED
    return ", ".join(plain(name) for name in names[:NAMED]) + (f" and {more} more" if more > 0 else "")
