"""Archives made to mislead: each is refused by name, before anything in it is read."""

from __future__ import annotations

import io
import struct
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from asfound.pack import alone, verify
from tests.rules.support import Copy
from tests.unit.pack.support import TOP, archive, bundled, draft, failing, files_of, outcomes, sealed

Craft = Callable[[bytes], bytes]


@pytest.fixture(scope="module")
def pack(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    return draft(tmp_path_factory.mktemp("pack")).read_bytes()


def _offset(data: bytes) -> int:
    """Where the directory begins."""
    return int(alone.END.unpack(data[-alone.END.size :])[6])


def _with_end(data: bytes, **changes: int) -> bytes:
    names = ("mark", "disk", "first", "here", "count", "size", "offset", "comment")
    fields = dict(zip(names, alone.END.unpack(data[-alone.END.size :]), strict=True)) | changes
    return data[: -alone.END.size] + alone.END.pack(*fields.values())


_FIELDS = (
    "mark", "made", "needs", "flags", "method", "time", "day", "crc", "packed", "size", "name", "extra", "comment",
    "disk", "inside", "outside", "at",
)  # fmt: skip


def _with_entry(data: bytes, both: bool = False, **changes: int) -> bytes:
    """The first entry of the directory changed; with `both`, the header at its place too, so that the two agree."""
    at = _offset(data)
    fields = dict(zip(_FIELDS, alone.CENTRAL.unpack_from(data, at), strict=True)) | changes
    data = data[:at] + alone.CENTRAL.pack(*fields.values()) + data[at + alone.CENTRAL.size :]
    if both:
        head = list(alone.LOCAL.unpack_from(data, 0))
        for place, name in ((2, "flags"), (3, "method"), (6, "crc"), (7, "packed"), (8, "size")):
            head[place] = fields[name]
        data = alone.LOCAL.pack(*head) + data[alone.LOCAL.size :]
    return data


def _overlap(data: bytes) -> bytes:
    """The second file told to begin where the first does: one stretch of bytes under two names."""
    at = _offset(data)
    second = at + alone.CENTRAL.size + alone.CENTRAL.unpack_from(data, at)[10]
    return data[: second + 42] + struct.pack("<L", 0) + data[second + 46 :]


def _shifted(data: bytes, before: bytes) -> bytes:
    """Bytes put before the first file, and every place in the directory mended, as self-extracting archives have it."""
    at = _offset(data)
    directory = bytearray(data[at : -alone.END.size])
    here = 0
    while here < len(directory):
        fields = list(alone.CENTRAL.unpack_from(directory, here))
        fields[16] += len(before)
        alone.CENTRAL.pack_into(directory, here, *fields)
        here += alone.CENTRAL.size + fields[10]
    return _with_end(before + data[:at] + bytes(directory) + data[-alone.END.size :], offset=at + len(before))


def _extra(data: bytes) -> bytes:
    at = _offset(data)
    name = alone.CENTRAL.unpack_from(data, at)[10]
    end = at + alone.CENTRAL.size + name
    data = data[:end] + b"\x01\x00\x00\x00" + data[end:]
    data = data[: at + 30] + struct.pack("<H", 4) + data[at + 32 :]
    return _with_end(data, size=alone.END.unpack(data[-22:])[5] + 4)


def _with_64(data: bytes) -> bytes:
    """The end of the 64-bit kind and its pointer put before the plain end, telling of another directory."""
    at = len(data) - alone.END.size
    end = struct.pack("<4sQ2H2L4Q", b"PK\6\6", 44, 45, 45, 0, 0, 1, 1, 46, 0)
    return data[:at] + end + struct.pack("<4sLQL", b"PK\6\7", 0, at, 1) + data[at:]


def _two_ends(data: bytes) -> bytes:
    """A second end, within the comment of the first: looked at from behind and from before, there are two archives."""
    end = data[-alone.END.size :]
    return _with_end(data, comment=len(end)) + alone.END.pack(b"PK\5\6", 0, 0, 0, 0, 0, len(data), 0)


def _deflated_bomb(data: bytes) -> bytes:
    """An archive as the stock library writes it, whose one file is a thousand times as large as the archive."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as write:
        write.writestr(f"{TOP}/bag-info.txt", bytes(1 << 26))
    assert len(made.getvalue()) < 1 << 17
    return made.getvalue()


def _local_extra(data: bytes) -> bytes:
    """An extra field at the place of the first file alone, so that its bytes begin elsewhere for some readers."""
    return data[:28] + struct.pack("<H", 4) + data[30:]


CRAFTED: dict[str, tuple[Craft, str]] = {
    "bytes before the first file": (lambda data: b"#!/bin/sh\n" + data, "10 bytes stand before the first file"),
    "bytes before, with places mended": (
        lambda data: _shifted(data, b"MZ"), "does not begin where the file before it ends",
    ),
    "bytes behind": (lambda data: data + b"\0", "1 bytes stand behind the end"),
    "a comment": (lambda data: _with_end(data, comment=2) + b"hi", "2 bytes stand behind the end"),
    "cut off": (lambda data: data[:-30], "no ZIP, or it was cut off"),
    "empty": (lambda data: b"", "this is no ZIP: it has 0 bytes"),
    "no ZIP": (lambda data: b"%PDF-1.7" + bytes(100), "this is no ZIP"),
    "in parts": (lambda data: _with_end(data, disk=1), "it is in parts"),
    "64-bit": (lambda data: _with_end(data, here=0xFFFF, count=0xFFFF), "of the 64-bit kind"),
    "64-bit place": (lambda data: _with_end(data, offset=0xFFFFFFFF), "of the 64-bit kind"),
    "more entries than there are": (lambda data: _with_end(data, here=9999, count=9999), "holds what is no entry"),
    "fewer entries than there are": (lambda data: _with_end(data, here=1, count=1), "behind its last entry"),
    "a directory that is longer": (lambda data: _with_end(data, size=1 << 30), "longer than it is"),
    "overlap": (_overlap, "overlaps the file before it"),
    "an extra field": (_extra, "has an extra field"),
    "an extra field at its place alone": (_local_extra, "is described otherwise at its place"),
    "an end of the 64-bit kind before the plain one": (_with_64, "76 bytes stand before the first file, or between"),
    "two ends": (_two_ends, "the last file does not end where the directory begins"),
    "a bomb by compression": (_deflated_bomb, "is compressed (method 8)"),
    "encrypted": (lambda data: _with_entry(data, True, flags=1), "is encrypted"),
    "strongly encrypted": (lambda data: _with_entry(data, True, flags=0x40), "is encrypted"),
    "a data descriptor": (lambda data: _with_entry(data, True, flags=8), "has a data descriptor"),
    "an unknown compression": (lambda data: _with_entry(data, True, method=99), "is compressed (method 99)"),
    "compressed": (lambda data: _with_entry(data, True, method=8), "is compressed (method 8)"),
    "a bomb": (lambda data: _with_entry(data, True, size=0xFFFFFFFE), "bytes stored and 4294967294 unpacked"),
    "a 64-bit entry": (
        lambda data: _with_entry(data, True, packed=0xFFFFFFFF, size=0xFFFFFFFF), "an entry of the 64-bit kind",
    ),
    "a link": (lambda data: _with_entry(data, outside=0o120777 << 16), "is a link"),
    "a program": (lambda data: _with_entry(data, outside=0o100755 << 16), "has other permissions"),
    "a folder": (lambda data: _with_entry(data, outside=0o040755 << 16), "is a folder"),
    "another system": (lambda data: _with_entry(data, made=0x0014), "is dated, or made"),
    "marked as a text": (lambda data: _with_entry(data, inside=1), "is marked as a text"),
    "a date": (lambda data: _with_entry(data, day=0x5C21), "is dated, or made"),
    "another disk": (lambda data: _with_entry(data, disk=1), "a comment or another disk"),
    "a size told twice": (lambda data: _with_entry(data, packed=1, size=1), "is described otherwise at its place"),
    "a CRC told twice": (lambda data: _with_entry(data, crc=1), "is described otherwise at its place"),
    "a name told twice": (
        lambda data: data[: alone.LOCAL.size] + b"X" + data[alone.LOCAL.size + 1 :],
        "is described otherwise at its place",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CRAFTED)
def test_refuses_a_crafted_archive(name: str, pack: bytes, tmp_path: Path) -> None:
    craft, said = CRAFTED[name]
    place = tmp_path / "crafted.zip"
    place.write_bytes(craft(pack))
    number, told = failing(place)
    assert number == 1 and said in told
    assert [outcomes(verify(place))[number] for number in range(2, 9)] == ["not done"] * 7


NAMES = {
    "../../etc/cron.d/x": "leads out of the pack",
    "data/case/../../x": "leads out of the pack",
    "/etc/passwd": "no plain path",
    "data//case.yml": "no plain path",
    "data/./x": "no plain path",
    "data\\case\\x": "not every system can hold",
    "data/case/C:x": "not every system can hold",
    "data/case/nul.txt": "not every system can hold",
    "data/case/x ": "not every system can hold",
    "data/case/a\nb": "not every system can hold",
    "data/case/\u202egnp.exe": "not every system can hold",
    "data/case/u\u0308": "NFC",
    "data/case/CASE.yml": "differ in capitals or spelling alone",
    "data/Case/other": "differ in capitals or spelling alone",
    "data/case/case.yml/x": "a file and a folder at once",
}


@pytest.mark.parametrize("name", NAMES)
def test_refuses_a_name(name: str, pack: bytes, tmp_path: Path) -> None:
    whole = tmp_path / "pack.zip"
    whole.write_bytes(pack)
    files = sealed(files_of(whole) | {name: b"x"})
    number, said = failing(archive(tmp_path / "named.zip", files))
    assert number in (1, 2) and NAMES[name] in said


@pytest.mark.parametrize("name", ["/etc/passwd", "C:/x", "~/x", "\\\\host\\x"])
def test_refuses_a_path_from_the_root(name: str, tmp_path: Path) -> None:
    number, said = failing(archive(tmp_path / "root.zip", {name: b"x"}, top=""))
    assert number == 1 and "is a path from the root" in said


def test_refuses_a_name_that_stands_twice(pack: bytes, tmp_path: Path) -> None:
    place = tmp_path / "twice.zip"
    place.write_bytes(pack)
    with pytest.warns(UserWarning, match="Duplicate name"), zipfile.ZipFile(place, "a") as read:
        read.writestr(f"{TOP}/data/case/case.yml", b"case: other\n")
    assert "data/case/case.yml stands twice" in failing(place)[1]


def test_refuses_a_name_that_is_not_utf_8(pack: bytes, tmp_path: Path) -> None:
    place = tmp_path / "named.zip"
    place.write_bytes(pack)
    files = sealed(files_of(place) | {"data/case/evidence/xx": b"x"})
    data = archive(place, files).read_bytes()
    place.write_bytes(data.replace(b"data/case/evidence/xx", b"data/case/evidence/\xff\xfe"))
    assert "is not UTF-8" in failing(place)[1]


def test_refuses_two_folders_at_the_top(pack: bytes, tmp_path: Path) -> None:
    whole = tmp_path / "pack.zip"
    whole.write_bytes(pack)
    files = {f"{TOP}/{name}": data for name, data in files_of(whole).items()} | {"other/x": b"x"}
    assert "2 folders at the top" in failing(archive(tmp_path / "two.zip", files, top=""))[1]


def test_refuses_another_name_for_the_top_folder(pack: bytes, tmp_path: Path) -> None:
    whole = tmp_path / "pack.zip"
    whole.write_bytes(pack)
    place = archive(tmp_path / "other.zip", files_of(whole), top="base-edition-1")
    assert "the top folder is base-edition-1, and the pack says that it is base-draft" in failing(place)[1]


def test_refuses_what_the_stock_library_wrote_compressed(pack: bytes, tmp_path: Path) -> None:
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(pack)) as read, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as write:
        for name in read.namelist():
            write.writestr(name, read.read(name))
    place = tmp_path / "deflated.zip"
    place.write_bytes(made.getvalue())
    number, said = failing(place)
    assert number == 1 and "the files of a pack are stored" in said and "and " in said.rpartition("; ")[2]


def test_refuses_links_and_pipes_in_a_folder(pack: bytes, tmp_path: Path) -> None:
    whole = tmp_path / "pack.zip"
    whole.write_bytes(pack)
    with zipfile.ZipFile(whole) as read:
        read.extractall(tmp_path)
    place = tmp_path / TOP / "data/case/case.yml"
    place.rename(tmp_path / "aside.yml")
    place.symlink_to(tmp_path / "aside.yml")
    assert failing(tmp_path / TOP) == (1, "data/case/case.yml is a link")


def test_a_file_with_the_right_size_and_a_wrong_crc_fails_at_its_digest(pack: bytes, tmp_path: Path) -> None:
    """Whoever alters a byte and the CRC with it has not altered the digests."""
    whole = tmp_path / "pack.zip"
    whole.write_bytes(pack)
    files = files_of(whole)
    name = "data/case/case.yml"
    altered = files | {name: files[name].replace(b"case:", b"case :", 1)[: len(files[name])]}
    assert zlib.crc32(altered[name]) != zlib.crc32(files[name])
    number, said = failing(archive(tmp_path / "altered.zip", altered))
    assert number == 4 and "data/case/case.yml does not have the digest that manifest-sha256.txt states" in said


def test_an_archive_within_the_evidence_is_never_opened(tmp_path: Path) -> None:
    """A bomb of archives in archives is a file like any other: its bytes are counted and hashed, and not unpacked."""
    inner = _deflated_bomb(b"")
    for _ in range(3):
        made = io.BytesIO()
        with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as write:
            for number in range(16):
                write.writestr(f"{number}.zip", inner)
        inner = made.getvalue()
    copy = Copy(tmp_path / "repository", extra={"evidence/export.zip": inner})
    pack = draft(tmp_path, copy=copy)
    assert files_of(pack)["data/case/evidence/export.zip"] == inner
    assert [outcomes(verify(pack))[number] for number in range(1, 6)] == ["passed"] * 5
    assert bundled(pack)[0] == 0
