"""A bit turned round anywhere in a pack: found, and named, by the program and by the verifier of one file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.pack import alone, verify
from tests.unit.pack.support import TOP, archive, bundled, draft, failing, files_of, outcomes, tiny, unpacked


def regions(data: bytes) -> Iterator[tuple[str, str, int, int]]:
    """Every stretch of an archive: what it is, which file it belongs to, where it begins and ends."""
    at = int(alone.END.unpack(data[-alone.END.size :])[6])
    directory = at
    here = at
    while data[here : here + 4] == b"PK\1\2":
        head = alone.CENTRAL.unpack_from(data, here)
        size, length, place = head[8], head[10], head[16]
        end = here + alone.CENTRAL.size + length
        name = data[here + alone.CENTRAL.size : end].decode().partition("/")[2]
        start = place + alone.LOCAL.size + length
        yield "header", name, place, start
        yield "bytes", name, start, start + size
        yield "entry", name, here, end
        here = end
    assert directory < here == len(data) - alone.END.size
    yield "end", "", here, len(data)


def flipped(data: bytes, at: int, bit: int) -> bytes:
    return data[:at] + bytes([data[at] ^ 1 << bit]) + data[at + 1 :]


def test_every_byte_of_a_tiny_pack_counts(tmp_path: Path) -> None:
    place = archive(tmp_path / "tiny.zip", tiny())
    data = place.read_bytes()
    assert [outcomes(verify(place))[number] for number in range(1, 6)] == ["passed"] * 5
    covered = 0
    for what, name, start, end in regions(data):
        for at in range(start, end):
            place.write_bytes(flipped(data, at, at % 8))
            number, said = failing(place)
            # What is wrong with a file is said of that file.
            assert said and (what in ("entry", "end") or name in said), (what, name, at, said)
            assert number == 1 or what == "bytes"
            covered += 1
    assert covered == len(data) > 3000


def test_every_byte_of_a_tiny_pack_counts_unpacked(tmp_path: Path) -> None:
    """Without the archive around it there is no CRC: the lists of digests alone have to find it."""
    files = tiny()
    home = unpacked(tmp_path / TOP, files)
    assert [outcomes(verify(home))[number] for number in range(1, 6)] == ["passed"] * 5
    for name, data in files.items():
        place = home / name
        for at in range(0, len(data), 1 if len(data) < 200 else 7):
            place.write_bytes(flipped(data, at, at % 8))
            number, said = failing(home)
            # bag-info.txt is what a pack says of itself, and a list may list what no name is: told in their own words.
            told = name in said or (name == "bag-info.txt" and "the pack" in said) or number == 3
            assert number in (1, 3, 4) and told, (name, at, said)
        place.write_bytes(data)
    assert bundled(home)[0] == 0


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, Path]:
    home = tmp_path_factory.mktemp("flipped")
    return draft(home).read_bytes(), home / "flipped.zip"


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_bit_anywhere_in_a_real_pack_is_found_and_its_file_named(
    whole: tuple[bytes, Path], drawn: st.DataObject
) -> None:
    data, place = whole
    # A region first, then a place in it: by length alone, photographs would take nearly every trial.
    what, name, start, end = drawn.draw(st.sampled_from([one for one in regions(data) if one[3] > one[2]]))
    place.write_bytes(flipped(data, drawn.draw(st.integers(start, end - 1)), drawn.draw(st.integers(0, 7))))
    _, said = failing(place)
    assert said and (what in ("entry", "end") or name in said), (what, name, said)


@pytest.mark.parametrize("length", [0, 1, 21, 22, 23, 100, -1, -22, -23])
def test_a_pack_cut_short_is_no_pack(length: int, tmp_path: Path) -> None:
    data = archive(tmp_path / "tiny.zip", tiny()).read_bytes()
    place = tmp_path / "short.zip"
    place.write_bytes(data[:length])
    number, said = failing(place)
    assert number == 1 and "this is no ZIP" in said


def with_line(name: str, line: bytes) -> dict[str, bytes]:
    files = tiny()
    return files | {name: files[name] + line}


UNSEALED: dict[str, tuple[dict[str, bytes], int, str]] = {
    "added": (tiny() | {"data/case/evidence/x": b"x"}, 3, "data/case/evidence/x is in the pack, and manifest-sha256"),
    "removed": (
        {name: data for name, data in tiny().items() if name != "data/history.json"}, 1, "data/history.json is missing",
    ),
    "swapped": (
        tiny() | {"data/report.html": tiny()["README.txt"], "README.txt": tiny()["data/report.html"]},
        3, "bytes and files of payload",
    ),
    "swapped, of one length": (
        tiny() | {"data/history.json": b"[]\n"}, 4, "data/history.json does not have the digest",
    ),
    "a mark before bagit.txt": (tiny() | {"bagit.txt": b"\xef\xbb\xbf" + alone.BAGIT}, 1, "bagit.txt does not say"),
    "a list that leads out": (
        with_line("manifest-sha256.txt", b"0" * 64 + b"  data/../x\n"), 3, "manifest-sha256.txt is not in order",
    ),
    "a list that leads out, in order": (
        with_line("manifest-sha512.txt", b"0" * 128 + b"  data/z/../x\n"), 3,
        "manifest-sha512.txt lists data/z/../x, which is not there",
    ),
    "listed twice": (
        with_line("SHA256SUMS", tiny()["SHA256SUMS"].splitlines(True)[-1]), 3, "SHA256SUMS lists verify.py twice",
    ),
    "a list without its last line end": (
        tiny() | {"manifest-sha256.txt": tiny()["manifest-sha256.txt"][:-1]}, 3, "does not end with a line end",
    ),
    "fetched from elsewhere": (
        tiny() | {"fetch.txt": b"https://example.org/x 1 data/x\n"}, 1, "fetch.txt belongs to no pack",
    ),
    "a format of the future": (
        tiny() | {"bag-info.txt": tiny()["bag-info.txt"].replace(b"Format: 1", b"Format: 9")}, 1,
        "the pack has the format 9, and 1, 2 can be read here",
    ),
}  # fmt: skip
"""RFC 8493: bagit.txt has no byte order mark, every payload file stands in every manifest, and a path that leads out is
refused (confirmed in the text of the standard). That nothing is fetched is ours."""


@pytest.mark.parametrize("name", UNSEALED)
def test_what_was_changed_without_making_the_lists_anew_is_named(name: str, tmp_path: Path) -> None:
    files, step, told = UNSEALED[name]
    for place in (archive(tmp_path / "pack.zip", files), unpacked(tmp_path / TOP, files)):
        number, said = failing(place)
        assert number == step and told in said, said


def test_the_files_of_a_real_pack_are_read_as_written(whole: tuple[bytes, Path]) -> None:
    """The regions cover the archive without a gap, and hold the files that the stock library reads."""
    data, place = whole
    place.write_bytes(data)
    files = files_of(place)
    found = {name: data[start:end] for what, name, start, end in regions(data) if what == "bytes"}
    assert found == files
    assert sum(end - start for _, _, start, end in regions(data)) == len(data)
