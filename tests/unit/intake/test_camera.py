"""What a camera wrote: read from real files of four formats, made here with the tags of the published tables."""

from __future__ import annotations

import io
import struct
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ExifTags, Image, PngImagePlugin

from asfound.intake import file_fact, read_camera
from asfound.model.case import CameraFact


def picture(kind: str = "JPEG", **more: object) -> bytes:
    out = io.BytesIO()
    if kind == "TIFF" and isinstance(made := more.get("exif"), Image.Exif):
        more["exif"] = made.tobytes()  # given as an object, the library leaves its inner tables out
    Image.new("RGB", (16, 16), (200, 30, 30)).save(out, kind, **more)
    return out.getvalue()


def exif(taken: str | None = None, offset: str | None = None, **more: object) -> Image.Exif:
    made = Image.Exif()
    made[ExifTags.Base.Model] = "invented camera"
    shot = made.get_ifd(ExifTags.IFD.Exif)
    if taken is not None:
        shot[ExifTags.Base.DateTimeOriginal] = taken
    if offset is not None:
        shot[ExifTags.Base.OffsetTimeOriginal] = offset
    for name, value in more.items():
        tag = ExifTags.Base[name]
        (shot if name in ("UserComment", "CameraOwnerName", "BodySerialNumber") else made)[tag] = value
    return made


@pytest.mark.parametrize(
    ("taken", "offset", "expected"),
    [
        ("2026:03:09 15:12:04", "-05:00", ("2026-03-09 15:12:04", "-05:00")),
        ("2026:03:09 15:12:04", None, ("2026-03-09 15:12:04", "")),
        ("2026:03:09 15:12:04", "EST", ("2026-03-09 15:12:04", "")),
        ("2026:13:09 15:12:04", None, ("", "")),
        ("2026:02:30 15:12:04", None, ("", "")),
        ("0000:00:00 00:00:00", None, ("", "")),
        ("    :  :     :  :  ", None, ("", "")),
        (None, "-05:00", ("", "")),
    ],
)
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_the_camera_s_clock_is_read_as_written(
    taken: str | None, offset: str | None, expected: tuple[str, str], kind: str
) -> None:
    """Exif 2.32: `YYYY:MM:DD HH:MM:SS`, unknown fields filled with blanks (from memory)."""
    found = read_camera(picture(kind, exif=exif(taken, offset)))
    assert found is not None and (found.taken, found.offset) == expected


def test_a_position_is_seen_wherever_it_stands_and_a_version_of_its_tags_is_none() -> None:
    placed, version = exif(), exif()
    placed.get_ifd(ExifTags.IFD.GPSInfo).update({1: "N", 2: (44.0, 58.0, 12.0), 3: "W", 4: (93.0, 15.0, 0.0)})
    version.get_ifd(ExifTags.IFD.GPSInfo)[0] = b"\2\3\0\0"
    xmp = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:Description exif:GPSLatitude="44,58.2N"/></x:xmpmeta>'
    for kind in ("JPEG", "PNG", "WEBP", "TIFF"):
        assert read_camera(picture(kind, exif=placed)).position  # type: ignore[union-attr]
        assert not read_camera(picture(kind, exif=version)).position  # type: ignore[union-attr]
        assert not read_camera(picture(kind)).position  # type: ignore[union-attr]
    assert read_camera(picture("JPEG", xmp=xmp)).position  # type: ignore[union-attr]


def iptc_caption(text: bytes) -> bytes:
    """An APP13 segment with one caption (IPTC-NAA record 2, dataset 120)."""
    data = b"\x1c\x02\x78" + struct.pack(">H", len(text)) + text
    body = b"Photoshop 3.0\x008BIM\x04\x04\x00\x00" + struct.pack(">I", len(data)) + data + b"\0" * (len(data) % 2)
    return b"\xff\xed" + struct.pack(">H", len(body) + 2) + body


def _with_caption(text: bytes) -> bytes:
    plain = picture()
    return plain[:2] + iptc_caption(text) + plain[2:]


def _png_text() -> bytes:
    info = PngImagePlugin.PngInfo()
    info.add_text("Description", "MRN 44712290")
    return picture("PNG", pnginfo=info)


@pytest.mark.parametrize(
    "data",
    [
        picture(exif=exif(ImageDescription="MRN 44712290")),
        picture("TIFF", exif=exif(ImageDescription="MRN 44712290")),
        picture(exif=exif(XPComment="MRN 44712290".encode("utf-16-le"))),
        picture(exif=exif(UserComment=b"ASCII\0\0\0MRN 44712290")),
        picture(exif=exif(UserComment=b"UNICODE\0" + "MRN 44712290".encode("utf-16-be"))),
        picture(exif=exif(UserComment=b"UNICODE\0" + "MRN 44712290".encode("utf-16-le"))),
        picture(comment=b"MRN 44712290"),
        picture(xmp=b"<rdf:li xml:lang='x-default'>MRN 44712290</rdf:li>"),
        picture(xmp=b'<rdf:Description dc:title="MRN 44712290"/>'),
        _with_caption(b"MRN 44712290"),
        _png_text(),
    ],
)
def test_identifiers_are_seen_in_every_text_and_only_their_kind_is_kept(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "a").write_bytes(data)
    fact = file_fact(tmp_path / "a", "evidence/a")
    assert fact.camera is not None and fact.camera.identifiers == ("a patient's record number",)
    assert "44712290" not in repr(fact)


def test_the_camera_and_its_owner_are_told_apart_but_not_kept(tmp_path: Path) -> None:
    data = picture(exif=exif(Make="Maker A", BodySerialNumber="118", Artist="somebody"))
    found = read_camera(data)
    assert found is not None and found.camera == "Maker A invented camera 118" and found.owner
    assert read_camera(picture()).owner is False  # type: ignore[union-attr]
    assert found.fact == CameraFact()


@pytest.mark.parametrize("data", [b"", b"%PDF-1.7", b"<svg/>", b"GIF89a" + b"\0" * 40, b"\xff\xd8\xff" + b"\0" * 40])
def test_what_is_no_such_picture_says_nothing(data: bytes, tmp_path: Path) -> None:
    assert read_camera(data) is None
    (tmp_path / "a.jpg").write_bytes(data)
    assert file_fact(tmp_path / "a.jpg", "evidence/a.jpg").camera is None


def test_garbage_in_the_exif_block_is_no_traceback() -> None:
    found = read_camera(picture(exif=b"Exif\0\0MM\0*\0\0\0\x08\xff\xff" + b"\xff" * 40))
    assert found is not None and found.taken == ""


@given(st.data())
@settings(max_examples=300, deadline=None)
def test_a_damaged_file_is_no_traceback(data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from(["JPEG", "PNG", "WEBP", "TIFF"]))
    whole = bytearray(picture(kind, exif=exif("2026:03:09 15:12:04", "-05:00", ImageDescription="a", XPComment=b"b\0")))
    for _ in range(data.draw(st.integers(1, 12))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    found = read_camera(bytes(whole[: data.draw(st.integers(0, len(whole)))]))
    assert found is None or found.fact.identifiers == ()


def test_a_file_is_read_by_its_head_alone(tmp_path: Path) -> None:
    """A picture that claims more pixels than memory holds is not decoded."""
    data = bytearray(picture("PNG", exif=exif("2026:03:09 15:12:04")))
    found = read_camera(bytes(data))
    assert found is not None and found.taken == "2026-03-09 15:12:04"
    data[16:24] = struct.pack(">II", 12_000, 12_000)
    assert read_camera(bytes(data)) is None or read_camera(bytes(data)).taken  # type: ignore[union-attr]
