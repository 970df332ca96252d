"""Entries of the store: written whole or not at all, held against their digest, the oldest used given up first.

A file begins with one line that names the kind, the key, and the digest of what follows; what follows is packed with
zlib. Text is kept, never objects of the language: nothing that is read from disk can run.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import tempfile
import zlib
from collections.abc import Iterator
from pathlib import Path

MOST = 512 * 1_048_576
"""Bytes the store may hold on disk."""
LARGEST = 256 * 1_048_576
"""The largest entry that is read, in bytes, packed or not."""
_MARK = "asfound cache 1"
_PART = ".part-"
_LEVEL = 1


class Store:
    """Entries below one folder. Two processes may use it at once. Nothing it does raises for what it finds on disk."""

    def __init__(self, place: Path, most: int = MOST) -> None:
        self.place, self.most = place, most
        self._put = False

    def get(self, kind: str, name: str) -> bytes | None:
        """What was put under a key; None where nothing was, or where it is not what was put: then it is taken away."""
        place = self._at(kind, name)
        try:
            with place.open("rb") as file:
                held = file.read(LARGEST + 1)
        except OSError:
            return None
        data = _unpacked(held, kind, name)
        # What was used last is given up last. An entry that is broken would only be met again.
        with contextlib.suppress(OSError):
            os.utime(place) if data is not None else place.unlink()
        return data

    def put(self, kind: str, name: str, data: bytes) -> None:
        """Keep something under a key. Where the disk refuses, nothing is kept and nothing is said."""
        packed = zlib.compress(data, _LEVEL)
        head = f"{_MARK} {kind} {name} {hashlib.sha256(packed).hexdigest()}\n".encode("ascii")
        if len(packed) > min(LARGEST, self.most) or len(data) > LARGEST:
            return
        place = self._at(kind, name)
        part = ""
        try:
            place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            descriptor, part = tempfile.mkstemp(prefix=_PART, dir=place.parent)
            with open(descriptor, "wb") as file:  # noqa: PTH123
                file.write(head + packed)
            # In one step: another process sees the whole entry or none.
            os.replace(part, place)  # noqa: PTH105
            self._put = True
        except OSError:
            if part:
                with contextlib.suppress(OSError):
                    Path(part).unlink()

    def trim(self) -> None:
        """Give up the entries used longest ago until the rest keeps the bound. Call it at the end of a run."""
        if not self._put:
            return
        self._put = False
        found = sorted(self._all())
        held = sum(size for _, size, _ in found)
        for _, size, path in found:
            if held <= self.most:
                return
            with contextlib.suppress(OSError):
                Path(path).unlink()
            held -= size

    def _all(self) -> Iterator[tuple[int, int, str]]:
        """When each file was last used, its size, its path; parts that a stopped run left behind are among them."""
        try:
            folders = [one.path for one in os.scandir(self.place) if one.is_dir(follow_symlinks=False)]
        except OSError:
            return
        for folder in folders:
            with contextlib.suppress(OSError), os.scandir(folder) as entries:
                for one in entries:
                    # Another process may take it away in between.
                    with contextlib.suppress(OSError):
                        if one.is_file(follow_symlinks=False):
                            state = one.stat(follow_symlinks=False)
                            yield state.st_mtime_ns, state.st_size, one.path

    def _at(self, kind: str, name: str) -> Path:
        return self.place / name[:2] / f"{name}.{kind}"


def _unpacked(held: bytes, kind: str, name: str) -> bytes | None:
    head, _, packed = held.partition(b"\n")
    if head != f"{_MARK} {kind} {name} {hashlib.sha256(packed).hexdigest()}".encode("ascii"):
        return None
    unpack = zlib.decompressobj()
    try:
        data = unpack.decompress(packed, LARGEST)
    except zlib.error:
        return None
    return data if unpack.eof and not unpack.unused_data else None
