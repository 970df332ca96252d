"""The files of a pack, unpacked or as one file, and the names they may have."""

# ruff: noqa: PTH118, PTH119
# Paths are texts here: they are names in an archive before they are places on a disk.

from __future__ import annotations

import os
import re
import stat
import struct
import unicodedata
import zlib
from typing import TYPE_CHECKING, Any, BinaryIO, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator

# From here on this is part of the verifier that every pack carries.

FORMATS = (1, 2)
PASSED, FAILED, NOT_DONE = "passed", "failed", "not done"
TITLES = {
    1: "layout", 2: "names", 3: "counts", 4: "digests", 5: "chain of editions",
    6: "verdicts computed again", 7: "signatures", 8: "tag",
}  # fmt: skip
SUMS = "SHA256SUMS"
HASHES = ("sha256", "sha512")
MANIFESTS = tuple(f"manifest-{name}.txt" for name in HASHES)
TAG_MANIFESTS = tuple(f"tagmanifest-{name}.txt" for name in HASHES)
BAGIT = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
TAG_FILES = frozenset(("README.txt", SUMS, "bag-info.txt", "bagit.txt", "verify.py", *MANIFESTS, *TAG_MANIFESTS))
WHOLE = ("data/dossier.json", "data/history.json", "data/report.html", "data/ro-crate-metadata.json")
REDACTED = ("data/redacted.json", "data/report.html", "data/ro-crate-metadata.json")
DOCUMENT = "data/report.pdf"
FOLDERS = {
    "whole": ("data/case/", "data/asfound/", "data/editions/", "data/approvals/"),
    "redacted": ("data/pictures/",),
}

MOST_FILES = 65534
MOST_BYTES = 4294967294
MOST_TEXT = 64 * 1048576
MOST_JSON = 256 * 1048576
CHUNK = 1 << 20
MANY = 20


class Refused(Exception):
    """Why something cannot be taken; one clause a fault."""

    def __init__(self, *faults: str) -> None:
        super().__init__("; ".join(faults))
        self.faults = faults


class Bag:
    """The files of a pack: `names` in order (each below the top folder), `sizes`, and the bytes of each."""

    top = ""

    def __init__(self) -> None:
        self.names: list[str] = []
        self.sizes: dict[str, int] = {}

    def pieces(self, name: str) -> Iterator[bytes]:
        raise NotImplementedError

    def read(self, name: str, most: int) -> bytes:
        """A whole file. Raises Refused for one larger than `most`."""
        if self.sizes[name] > most:
            raise Refused(f"{name} has {self.sizes[name]} bytes, more than such a file has")
        return b"".join(self.pieces(name))


# A folder


class FolderBag(Bag):
    """An unpacked pack. Links and what is no ordinary file are refused, not followed."""

    def __init__(self, place: str) -> None:
        super().__init__()
        self.place = os.path.realpath(place)
        self.top = os.path.basename(self.place)
        faults: list[str] = []
        waiting = [""]
        while waiting:
            below = waiting.pop()
            with os.scandir(os.path.join(self.place, below) if below else self.place) as entries:
                for entry in entries:
                    name = below + entry.name
                    state = entry.stat(follow_symlinks=False)
                    if stat.S_ISLNK(state.st_mode):
                        faults.append(f"{shown(name)} is a link")
                    elif stat.S_ISDIR(state.st_mode):
                        waiting.append(name + "/")
                    elif not stat.S_ISREG(state.st_mode):
                        faults.append(f"{shown(name)} is no ordinary file")
                    else:
                        self.names.append(name)
                        self.sizes[name] = state.st_size
        self.names.sort(key=as_bytes)
        if faults:
            raise Refused(*sorted(faults))

    def pieces(self, name: str) -> Iterator[bytes]:
        flags = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0)
        with os.fdopen(os.open(os.path.join(self.place, *name.split("/")), flags), "rb") as file:
            while True:
                piece = file.read(CHUNK)
                if not piece:
                    return
                yield piece


# A ZIP, read strictly: one layout is taken, and whatever two programs could read in two ways is refused unread.

LOCAL = struct.Struct("<4s5H3L2H")
CENTRAL = struct.Struct("<4s6H3L5H2L")
END = struct.Struct("<4s4H2LH")
DAY = 0x21  # 1980-01-01, the first day a ZIP knows
MODE = (stat.S_IFREG | 0o644) << 16


class Entry(NamedTuple):
    """A file in a ZIP: where its bytes begin, how many, and their CRC."""

    start: int
    size: int
    crc: int


class ZipBag(Bag):
    """A pack as one file. Raises Refused with everything that is not as a pack is written."""

    def __init__(self, file: BinaryIO) -> None:
        super().__init__()
        self.file = file
        self.entries: dict[str, Entry] = {}
        whole, faults = read_directory(file)
        tops = {name.partition("/")[0] for name, _ in whole}
        for name, _ in whole:
            if "/" not in name:
                faults.append(f"{shown(name)} lies in no folder")
        if len(tops) > 1:
            faults.append(f"there are {len(tops)} folders at the top, where one is needed")
        faults += names_faults([name for name, _ in whole])
        if faults:
            raise Refused(*dict.fromkeys(faults))
        self.top = tops.pop() if tops else ""
        for name, entry in whole:
            below = name.partition("/")[2]
            self.names.append(below)
            self.sizes[below] = entry.size
            self.entries[below] = entry
        if [name for name, _ in whole] != sorted((name for name, _ in whole), key=as_bytes):
            raise Refused("the files do not stand in order")

    def pieces(self, name: str) -> Iterator[bytes]:
        entry = self.entries[name]
        self.file.seek(entry.start)
        left, crc = entry.size, 0
        while left:
            piece = self.file.read(min(CHUNK, left))
            if not piece:
                raise Refused(f"the pack ends within {name}")
            left -= len(piece)
            crc = zlib.crc32(piece, crc)
            yield piece
        if crc != entry.crc:
            raise Refused(f"{name} does not have the CRC that the ZIP states")


def read_directory(file: BinaryIO) -> tuple[list[tuple[str, Entry]], list[str]]:
    """Every entry of a ZIP in order, and every fault. Raises Refused where the directory itself cannot be taken."""
    length = file.seek(0, os.SEEK_END)
    if length < END.size:
        raise Refused(f"this is no ZIP: it has {length} bytes")
    file.seek(max(0, length - END.size - 65535))
    tail = file.read()
    at = len(tail) - END.size
    if tail[at : at + 4] != b"PK\5\6":
        found = tail.rfind(b"PK\5\6")
        if found < 0 or found > at:
            raise Refused("this is no ZIP, or it was cut off: its directory has no end")
        raise Refused(f"{at - found} bytes stand behind the end of the directory")
    _, disk, first, here, count, size, offset, comment = END.unpack(tail[at:])
    if 0xFFFF in (here, count) or 0xFFFFFFFF in (size, offset):
        raise Refused("it is a ZIP of the 64-bit kind, and packs are not")
    if disk or first or here != count or comment:
        raise Refused("it is in parts, or has a comment, and packs have neither")
    if offset + size + END.size != length:
        told = length - END.size - size - offset
        raise Refused(
            f"{told} bytes stand before the first file, or between files and directory"
            if told > 0
            else "its directory says that it is longer than it is"
        )
    if size > MOST_TEXT:
        raise Refused(f"its directory has {size} bytes, more than that of any pack")
    file.seek(offset)
    directory = file.read(size)
    found_entries: list[tuple[str, Entry]] = []
    faults: list[str] = []
    at = running = 0
    for _ in range(count):
        if directory[at : at + 4] != b"PK\1\2" or at + CENTRAL.size > size:
            raise Refused("its directory is cut off, or holds what is no entry")
        head = CENTRAL.unpack_from(directory, at)
        raw = directory[at + CENTRAL.size : at + CENTRAL.size + head[10]]
        at += CENTRAL.size + head[10] + head[11] + head[12]
        try:
            name = raw.decode("utf-8")
        except UnicodeDecodeError:
            name = raw.decode("utf-8", "backslashreplace")
            faults.append(f"the name {shown(name)} is not UTF-8")
        faults += entry_faults(name, head)
        if head[16] != running:
            how = (
                "overlaps the file before it" if head[16] < running else "does not begin where the file before it ends"
            )
            faults.append(f"{shown(name)} {how}")
        file.seek(head[16])
        if file.read(LOCAL.size + len(raw)) != local_header(raw, head[3], head[7], head[9]):
            faults.append(f"{shown(name)} is described otherwise at its place than in the directory")
        running = head[16] + LOCAL.size + len(raw) + head[8]
        found_entries.append((name, Entry(head[16] + LOCAL.size + len(raw), head[9], head[7])))
    if at != size:
        faults.append("something stands in the directory behind its last entry")
    if running != offset:
        faults.append("the last file does not end where the directory begins")
    return found_entries, faults


def local_header(raw: bytes, flags: int, crc: int, size: int) -> bytes:
    """What stands before the bytes of a file."""
    return LOCAL.pack(b"PK\3\4", 20, flags, 0, 0, DAY, crc, size, size, len(raw), 0) + raw


def entry_faults(name: str, head: tuple[Any, ...]) -> Iterator[str]:
    """What is not canonical in an entry of the directory."""
    _, made, needs, flags, method, time, day, _, packed, size, _, extra, comment, disk, inside, outside, _ = head
    who = shown(name)
    kind = stat.S_IFMT(outside >> 16)
    if flags & 1 or flags & 0x40:
        yield f"{who} is encrypted"
    elif flags & 8:
        yield f"{who} has a data descriptor, which can tell another size than the directory"
    elif flags != (0 if name.isascii() else 0x800):
        yield f"{who} has flags ({flags:#06x}) that no pack has"
    if method != 0:
        yield f"{who} is compressed (method {method}), and the files of a pack are stored"
    if packed != size:
        yield f"{who} states {packed} bytes stored and {size} unpacked"
    if 0xFFFFFFFF in (packed, size):
        yield f"{who} is an entry of the 64-bit kind"
    if kind == stat.S_IFLNK:
        yield f"{who} is a link"
    elif name.endswith("/") or kind == stat.S_IFDIR:
        yield f"{who} is a folder, and packs list files alone"
    elif outside != MODE:
        yield f"{who} has other permissions than the files of a pack"
    if extra or comment or disk:
        yield f"{who} has an extra field, a comment or another disk"
    if inside:
        yield f"{who} is marked as a text, which lets a program change its line ends"
    if (time, day) != (0, DAY) or made != 0x0314 or needs != 20:
        yield f"{who} is dated, or made, as no file of a pack is"


# Names

_UNFIT = re.compile(
    r'[<>:"|?*\\%\x00-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufffd]'
)
_RESERVED = re.compile(r"(?:con|prn|aux|nul|conin\$|conout\$|(?:com|lpt)[0-9\u00b9\u00b2\u00b3])(?:\..*)?", re.I | re.S)


def names_faults(names: list[str]) -> list[str]:
    """Everything in names that some system could not hold, or could take for another place or another file."""
    faults: list[str] = []
    seen: dict[str, str] = {}
    files = set()
    for name in names:
        who = shown(name)
        if name in files:
            faults.append(f"{who} stands twice")
        files.add(name)
        if name.startswith(("/", "\\", "~")) or re.match("[A-Za-z]:", name):
            faults.append(f"{who} is a path from the root")
            continue
        parts = name.split("/")
        if ".." in parts:
            faults.append(f"{who} leads out of the pack")
        elif "" in parts or "." in parts:
            faults.append(f"{who} is no plain path")
        for part in parts:
            if _UNFIT.search(part) or _RESERVED.fullmatch(part) or part[:1] == " " or part[-1:] in (" ", "."):
                if part != "..":
                    faults.append(f"{who} is a name that not every system can hold")
                break
        if len(as_bytes(name)) > 1024:
            faults.append(f"{who} is longer than any path of a pack")
        if unicodedata.normalize("NFC", name) != name:
            faults.append(f"{who} spells a letter in two parts (it is not in the Unicode form NFC)")
        for length in range(1, len(parts) + 1):
            here = "/".join(parts[:length])
            other = seen.setdefault(unicodedata.normalize("NFC", here).casefold(), here)
            if other != here:
                faults.append(f"{shown(other)} and {shown(here)} differ in capitals or spelling alone")
    for name in sorted(files):
        parts = name.split("/")
        for length in range(1, len(parts)):
            if "/".join(parts[:length]) in files:
                faults.append(f"{shown('/'.join(parts[:length]))} is a file and a folder at once")
    return list(dict.fromkeys(faults))


def as_bytes(name: str) -> bytes:
    """How names are sorted: by their UTF-8 bytes."""
    return name.encode("utf-8", "surrogateescape")


def shown(name: str) -> str:
    """A name as it can be printed, whatever it holds."""
    if len(name) > 200:
        name = name[:199] + "…"
    return "".join(char if char.isprintable() else ascii(char)[1:-1] for char in name)
