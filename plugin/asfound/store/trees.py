"""A folder as it lies there, to the last byte: one digest over all that reading it could depend on, or all its bytes.

The digest is taken of more than a reader uses: of names that are refused, of links that are not followed, of folders
that hold nothing. A reader that begins to look at more than it did finds it covered.
"""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Iterator
from pathlib import Path

from msgspec import Struct

from asfound.model.files import EVIDENCE_BYTES, is_litter

_CHUNK = 1 << 20


class TreeFile(Struct, frozen=True):
    """A file, or a folder where `data` is None; `path` is below the folder taken, with `/`."""

    path: str
    data: bytes | None


def tree_digest(root: Path, folder: str) -> str:
    """SHA-256 over every name below `folder` (from `root`), what it is, and the bytes of each file.

    Links are not followed. Of a file larger than any that is read only the size counts. Raises nothing: a file that
    cannot be read counts as such, with the system's reason. A folder that is not there has a digest too.
    """
    whole = hashlib.sha256(b"asfound tree digest 1\n")
    place = os.path.join(os.path.realpath(root), folder) if folder else os.path.realpath(root)  # noqa: PTH118
    # The reader refuses a folder that lies behind a link.
    whole.update(b"real\n" if os.path.realpath(place) == place else b"behind a link\n")
    for kind, path, entry in _walk(place, b""):
        said = _file(entry) if kind == b"file" and entry is not None else b""
        # Names may hold line ends; their length parts them from what follows.
        whole.update(b"%s %d %s %s\n" % (kind, len(path), path, said))
    return whole.hexdigest()


def take_tree(root: Path, folder: str, most: int) -> tuple[TreeFile, ...] | None:
    """Every folder and file below `folder` (from `root`), with the bytes; None where they cannot stand elsewhere.

    That is where a link, a pipe, a repository, a name that is not UTF-8, or a file that cannot be read is among them,
    or where all bytes together are more than `most`.
    """
    place = os.path.join(os.path.realpath(root), folder) if folder else os.path.realpath(root)  # noqa: PTH118
    if os.path.realpath(place) != place:
        return None
    found: list[TreeFile] = []
    held = 0
    for kind, raw, entry in _walk(place, b""):
        try:
            path = raw.decode("utf-8")
        except UnicodeDecodeError:
            return None
        if kind == b"folder":
            found.append(TreeFile(path, None))
        elif kind == b"litter":
            found.append(TreeFile(path, b""))
        elif kind == b"file" and entry is not None:
            try:
                held += entry.stat(follow_symlinks=False).st_size
                if held > most:
                    return None
                found.append(TreeFile(path, Path(entry.path).read_bytes()))
            except OSError:
                return None
        else:
            return None
    return tuple(found)


def put_tree(root: Path, folder: str, files: tuple[TreeFile, ...]) -> None:
    """Write what was taken to `folder` below an empty `root`. Raises ValueError for a path that leads out of it."""
    home = root.joinpath(*folder.split("/"))
    home.mkdir(parents=True, exist_ok=True)
    for one in files:
        parts = one.path.split("/")
        if any(part in ("", ".", "..") or (os.name == "nt" and (":" in part or "\\" in part)) for part in parts):
            raise ValueError(f"{one.path} cannot stand below another folder")
        place = home.joinpath(*parts)
        if one.data is None:
            place.mkdir(parents=True, exist_ok=True)
        else:
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(one.data)


def _walk(place: str, path: bytes) -> Iterator[tuple[bytes, bytes, os.DirEntry[str] | None]]:
    """What each thing below a folder is, its path in the system's bytes, and the entry; sorted by name."""
    try:
        with os.scandir(place) as entries:
            found = sorted(entries, key=lambda entry: os.fsencode(entry.name))
    except OSError as error:
        yield b"closed", path + b" %d" % (error.errno or 0), None
        return
    for entry in found:
        name = path + os.fsencode(entry.name)
        try:
            mode = entry.stat(follow_symlinks=False).st_mode
        except OSError as error:
            yield b"lost", name + b" %d" % (error.errno or 0), None
            continue
        if is_litter(entry.name):
            yield b"litter", name, entry
        elif stat.S_ISDIR(mode) and entry.name != ".git" and os.path.realpath(entry.path) == entry.path:
            yield b"folder", name, entry
            yield from _walk(entry.path, name + b"/")
        elif stat.S_ISREG(mode) and entry.name != ".git":
            yield b"file", name, entry
        else:
            yield b"other %o" % stat.S_IFMT(mode), name, entry


def _file(entry: os.DirEntry[str]) -> bytes:
    """The digest of a file's bytes; its size where that is refused; the number of the error where it cannot be read."""
    try:
        size = entry.stat(follow_symlinks=False).st_size
        if size > EVIDENCE_BYTES:
            return b"size %d" % size
        whole = hashlib.sha256()
        with open(entry.path, "rb") as file:  # noqa: PTH123
            while chunk := file.read(_CHUNK):
                whole.update(chunk)
        return whole.hexdigest().encode("ascii")
    except OSError as error:
        return b"error %d" % (error.errno or 0)
