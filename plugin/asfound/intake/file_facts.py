"""Size, digest and kind of the files of a case."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path

from asfound.intake.camera import MEDIA, read_camera
from asfound.intake.sniff import sniff
from asfound.model.case import CameraFact, FileFact
from asfound.model.layout import canonical

_CHUNK = 1 << 20
LARGE = 1 << 20
"""Bytes from which on a file is worth a thread."""
AT_A_TIME = 2


def canonical_fact(path: str, data: bytes) -> FileFact:
    """The facts of a file that people type (YAML, a table), of its canonical bytes."""
    plain = canonical(path, data)
    return FileFact(path, len(plain), hashlib.sha256(plain).hexdigest(), sniff(plain))


def file_fact(place: Path, path: str, known: str = "") -> FileFact:
    """Size, digest and kind of a file whose bytes count as they are. Raises OSError where it cannot be read.

    Read in pieces; for text the digests with other line ends are taken on the way, of pictures what the camera wrote.
    `known` is the SHA-256 of these very bytes where somebody has just taken it: then only the beginning is read, unless
    it is text.
    """
    whole, plain, paired = hashlib.sha256(), hashlib.sha256(), hashlib.sha256()
    size = 0
    media = ""
    held = b""
    with place.open("rb") as file:
        while chunk := file.read(_CHUNK):
            if not size:
                media = sniff(chunk)
            size += len(chunk)
            whole.update(chunk)
            if not media.startswith("text/"):
                if known:
                    return FileFact(path, place.stat().st_size, known, media, (), _camera(place, media))
                continue
            # A CR at the end of a piece may belong to a CR LF that the next piece completes.
            held += chunk
            cut = len(held) - 1 if held.endswith(b"\r") else len(held)
            piece, held = held[:cut].replace(b"\r\n", b"\n"), held[cut:]
            plain.update(piece)
            paired.update(piece.replace(b"\n", b"\r\n"))
    if not size:
        media = sniff(b"")
    plain.update(held)
    paired.update(held)
    sha = whole.hexdigest()
    others = {plain.hexdigest(), paired.hexdigest()} - {sha} if media.startswith("text/") else set()
    return FileFact(path, size, sha, media, tuple(sorted(others)), _camera(place, media))


def facts_ahead(large: Mapping[str, Path], known: Mapping[str, str]) -> dict[str, FileFact | OSError]:
    """The facts of large files by path, several read at a time; or why one cannot be read.

    Digests are taken outside the interpreter's lock, so a set of photographs takes as long as its slowest part. What
    comes out does not depend on how many are read at a time.
    """

    def one(path: str) -> FileFact | OSError:
        try:
            return file_fact(large[path], path, known.get(path, ""))
        except OSError as error:
            return error

    if len(large) < 2:
        return {path: one(path) for path in large}
    from concurrent.futures import ThreadPoolExecutor  # few cases hold two large files

    with ThreadPoolExecutor(AT_A_TIME) as pool:
        return dict(zip(large, pool.map(one, large), strict=True))


def _camera(place: Path, media: str) -> CameraFact | None:
    written = read_camera(place) if media in MEDIA else None
    return None if written is None else written.fact
