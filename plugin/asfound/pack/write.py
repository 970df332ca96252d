"""Writing a pack: one reading of every file, constant memory, the same bytes from the same input, all or nothing.

A stock library could write the archive, but none promises its bytes from one version to the next, nor lets the list of
digests stand before what it lists without reading everything twice. The few structures of the archive are in `alone`,
beside their reader (PKWARE's APPNOTE 6.3.3; the fields are those every program reads).
"""

from __future__ import annotations

import hashlib
import os
import secrets
import stat
import zlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

from msgspec import Struct

from asfound.pack import alone
from asfound.pack.alone import CENTRAL, DAY, END, HASHES, LOCAL, MODE, SUMS, as_bytes, local_header

FORMAT = 2
"""2: a whole pack may hold the report as PDF."""
TEMPORARY = ".~lock.asfound-"
"""How the names of temporary files begin; readers of a case pass over them."""

_CHUNK = 1 << 20
_READ = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
_MAKE = os.O_RDWR | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0)

Tell = Callable[[str], None]
"""Told the name of each step just before it is taken; the tests kill a run there."""


def _silent(_step: str) -> None:
    return None


class Unpackable(Exception):
    """Why no pack can be made; one clause a reason."""

    def __init__(self, *reasons: str) -> None:
        super().__init__("; ".join(reasons))
        self.reasons = reasons


class Part(Struct, frozen=True):
    """A file of payload.

    name       path below the top folder, beginning with `data/`
    data       its bytes, or where they lie
    canonical  SHA-256 of the canonical bytes, where they were read before and must not have changed since
    media      media type, empty where it is not known
    about      what it is, a sentence for the metadata; may be empty
    """

    name: str
    data: bytes | Path
    canonical: str = ""
    media: str = ""
    about: str = ""

    def size(self) -> int:
        """Its size in bytes. Raises OSError."""
        return len(self.data) if isinstance(self.data, bytes) else os.lstat(self.data).st_size


class Contents(Struct, frozen=True):
    """A pack before it is written.

    info   case, edition and kind; the name of the top folder follows from them
    on     date of the pack: the day the edition was issued, or a draft was assessed for, never that of a clock; of a
           redacted pack the year
    parts  the payload
    readme text of README.txt
    """

    info: alone.Info
    on: str
    parts: tuple[Part, ...]
    readme: str
    made_with: str


def write_pack(out: Path, contents: Contents, tell: Tell = _silent) -> str:
    """Write a pack to `out`; the SHA-256 of its SHA256SUMS, which stands for everything in it.

    It is written under a temporary name in the same folder, brought to the disk, and only then given its name. A file
    that stands there already is left as it is: FileExistsError is raised, unless its bytes are the same. Raises
    Unpackable where something stands against it, OSError where the disk refuses; nothing is left behind then.
    """
    sizes = _sizes(contents.parts)
    temporary = out.with_name(f"{TEMPORARY}{secrets.token_hex(8)}")
    tell("begin")
    handle = os.open(temporary, _MAKE, 0o666)
    try:
        with os.fdopen(handle, "w+b") as file:
            digest = _Writer(file, contents, sizes, tell).write()
            tell("flush")
            file.flush()
            os.fsync(handle)
        tell("name")
        _name(temporary, out)
    finally:
        with suppress(FileNotFoundError):
            temporary.unlink()
    tell("settle")
    _settle(out.parent)
    return digest


def _sizes(parts: Sequence[Part]) -> dict[str, int]:
    names = [part.name for part in parts]
    reasons = [f"{one}, so not every system could unpack it" for one in alone.names_faults(names)]
    if len(parts) > alone.MOST_FILES - len(alone.TAG_FILES):
        reasons.append(f"{len(parts)} files are more than a pack can hold")
    if reasons:
        raise Unpackable(*reasons)
    sizes = {part.name: part.size() for part in parts}
    if sum(sizes.values()) + 512 * len(parts) > alone.MOST_BYTES - 64 * 1024 * 1024:
        raise Unpackable("a pack holds at most 4 GiB; keep the largest files elsewhere, by digest in evidence.yml")
    return sizes


class _Writer:
    def __init__(self, file: BinaryIO, contents: Contents, sizes: dict[str, int], tell: Tell) -> None:
        self._file = file
        self._contents = contents
        self._sizes = sizes
        self._tell = tell
        self._top = contents.info.name
        self._digests: dict[str, tuple[str, str]] = {}
        self._central: list[bytes] = []

    def write(self) -> str:
        """Every file in order, then the directory; the SHA-256 of SHA256SUMS."""
        payload = {part.name: part for part in self._contents.parts}
        fixed = {
            "README.txt": self._contents.readme.encode(),
            "bag-info.txt": self._info().encode(),
            "bagit.txt": alone.BAGIT,
            "verify.py": alone.verifier(),
        }
        names = sorted((*payload, *alone.TAG_FILES), key=as_bytes)
        sums_at = 0
        for name in names:
            self._tell(name)
            if name == SUMS:
                # Its digests are known at the end; its length is known now.
                sums_at = len(self._central)
                self._entry(name, bytes(sum(64 + 3 + len(as_bytes(one)) for one in names if one != SUMS)))
            elif name in payload:
                self._part(payload[name])
            elif name in fixed:
                self._entry(name, fixed[name])
            else:
                self._entry(name, self._manifest(name).encode())
        sums = self._list((name for name in names if name != SUMS), 0).encode()
        self._tell("sums")
        self._again(sums_at, sums)
        self._tell("directory")
        self._end()
        return hashlib.sha256(sums).hexdigest()

    def _info(self) -> str:
        info = self._contents.info
        return (
            f"Asfound-Case: {info.case}\nAsfound-Edition: {info.edition}\nAsfound-Kind: {info.kind}\n"
            f"Asfound-Pack-Format: {FORMAT}\nBag-Software-Agent: {self._contents.made_with}\n"
            f"{self._date()}External-Identifier: {info.name}\n"
            f"Payload-Oxum: {sum(self._sizes.values())}.{len(self._sizes)}\n"
        )

    def _date(self) -> str:
        # RFC 8493 knows whole dates only, and a redacted pack shows none.
        return f"Bagging-Date: {self._contents.on}\n" if len(self._contents.on) == 10 else ""

    def _manifest(self, name: str) -> str:
        of_tags = name.startswith("tag")
        kind = HASHES.index(name.rpartition("-")[2].removesuffix(".txt"))
        apart = {*alone.TAG_MANIFESTS, SUMS}
        if not of_tags:
            return self._list((one for one in self._digests if one.startswith("data/")), kind)
        # What stands behind the tag manifests, by its name, is listed in them all the same.
        if "verify.py" not in self._digests:
            data = alone.verifier()
            self._digests["verify.py"] = (hashlib.sha256(data).hexdigest(), hashlib.sha512(data).hexdigest())
        return self._list((one for one in self._digests if not one.startswith("data/") and one not in apart), kind)

    def _list(self, names: Iterable[str], kind: int) -> str:
        return "".join(f"{self._digests[name][kind]}  {name}\n" for name in sorted(names, key=as_bytes))

    def _entry(self, name: str, data: bytes) -> None:
        self._pour(name, len(data), iter((data,)))

    def _part(self, part: Part) -> None:
        canonical = None
        if part.canonical and not alone.kept_raw(part.name.removeprefix("data/case/")):
            canonical = alone.LineEnds()
        pieces = iter((part.data,)) if isinstance(part.data, bytes) else _pieces(part.data)
        self._pour(part.name, self._sizes[part.name], pieces, canonical)
        if part.canonical:
            found = canonical.hexdigest() if canonical else self._digests[part.name][0]
            if found != part.canonical:
                raise _changed(part.name)

    def _pour(self, name: str, size: int, pieces: Iterator[bytes], canonical: alone.LineEnds | None = None) -> None:
        raw = as_bytes(f"{self._top}/{name}")
        flags = 0 if raw.isascii() else 0x800
        at = self._file.tell()
        self._file.write(local_header(raw, flags, 0, size))
        sha256, sha512, crc, left = hashlib.sha256(), hashlib.sha512(), 0, size
        for piece in pieces:
            left -= len(piece)
            if left < 0:
                break
            sha256.update(piece)
            sha512.update(piece)
            crc = zlib.crc32(piece, crc)
            if canonical is not None:
                canonical.update(piece)
            self._file.write(piece)
        if left:
            raise _changed(name)
        self._digests[name] = (sha256.hexdigest(), sha512.hexdigest())
        end = self._file.tell()
        self._file.seek(at)
        self._file.write(local_header(raw, flags, crc, size))
        self._file.seek(end)
        self._central.append(_central(raw, flags, crc, size, at))

    def _again(self, place: int, data: bytes) -> None:
        """Put the right bytes where zeros were written."""
        _, _, _, flags, _, _, _, _, _, size, length, _, _, _, _, _, at = CENTRAL.unpack_from(self._central[place])
        raw = self._central[place][CENTRAL.size :]
        assert size == len(data) and length == len(raw)
        crc = zlib.crc32(data)
        end = self._file.tell()
        self._file.seek(at)
        self._file.write(local_header(raw, flags, crc, size) + data)
        self._file.seek(end)
        self._central[place] = _central(raw, flags, crc, size, at)

    def _end(self) -> None:
        at = self._file.tell()
        directory = b"".join(self._central)
        count = len(self._central)
        self._file.write(directory + END.pack(b"PK\5\6", 0, 0, count, count, len(directory), at, 0))


def _central(raw: bytes, flags: int, crc: int, size: int, at: int) -> bytes:
    head = (b"PK\1\2", 0x0314, 20, flags, 0, 0, DAY, crc, size, size, len(raw), 0, 0, 0, 0, MODE, at)
    return CENTRAL.pack(*head) + raw


def _changed(name: str) -> Unpackable:
    return Unpackable(f"{name.partition('/')[2]} changed while it was packed; run again")


def _pieces(place: Path) -> Iterator[bytes]:
    with os.fdopen(os.open(place, _READ), "rb") as file:
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise Unpackable(f"{place.name} is no ordinary file")
        while piece := file.read(_CHUNK):
            yield piece


def _name(temporary: Path, out: Path) -> None:
    """Give the file its name, and put it over nothing but its own bytes."""
    try:
        os.link(temporary, out)
        return
    except OSError:
        # Something stands there, or the file system has no hard links.
        if not os.path.lexists(out):
            temporary.rename(out)
            return
    if out.is_symlink() or not _same(temporary, out):
        raise FileExistsError(f"{out.name} stands there already, with other bytes")


def _same(one: Path, other: Path) -> bool:
    def digest(place: Path) -> str:
        found = hashlib.sha256()
        for piece in _pieces(place):
            found.update(piece)
        return found.hexdigest()

    return one.stat().st_size == other.stat().st_size and digest(one) == digest(other)


def _settle(folder: Path) -> None:
    """Bring the names of a folder to the disk, where the system can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


assert LOCAL.size == 30 and CENTRAL.size == 46 and END.size == 22
