"""What a camera wrote into a picture: its time, whether a place is in it, and which texts.

Read with the imaging library, from the head of the file; no pixel is decoded. Tags are those of Exif 2.32 (CIPA DC-008;
numbers confirmed against the library's own table), of TIFF 6.0, of XMP and of IPTC. Nothing here is proof of a time: a
camera writes what its clock says, and anybody can write into a file; the measured error of the clock is what makes use
of it.
"""

from __future__ import annotations

import datetime as dt
import io
import re
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from asfound.model.case import CameraFact
from asfound.model.identifiers import identifiers

if TYPE_CHECKING:
    from PIL.Image import Image

MEDIA = frozenset({"image/jpeg", "image/tiff", "image/png", "image/webp"})
"""Kinds of pictures that are read; of others (HEIC, videos) nobody here knows what the camera wrote."""

_FORMATS = ("JPEG", "TIFF", "PNG", "WEBP")
_MOST = 4096  # characters of one text that are looked at
_BROKEN = (OSError, ValueError, SyntaxError, KeyError, TypeError, EOFError, IndexError, AttributeError, OverflowError)

# Exif tags, by number.
_TAKEN, _OFFSET = 0x9003, 0x9011
_EXIF, _GPS = 0x8769, 0x8825
_COORDINATES = (2, 4, 20, 22)
_MAKE, _MODEL, _BODY_SERIAL = 0x010F, 0x0110, 0xA431
_TEXTS = (0x010D, 0x010E, 0x011D, 0x013B, 0x8298)
_WIDE_TEXTS = (0x9C9B, 0x9C9C, 0x9C9D, 0x9C9E, 0x9C9F)
_SHOT_TEXTS = (0x9286, 0xA420, 0xA430)
_OWNERS = (0x013B, 0xA430)

_STAMP = re.compile(r"(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)\Z")
_ZONE = re.compile(r"[+-]\d\d:\d\d\Z")
_XMP_TAG = re.compile(r"<[^>]*>")
_XMP_VALUE = re.compile(r'="([^"]*)"')


class Written(Struct, frozen=True):
    """All that a camera wrote and somebody who registers the picture may want to know.

    taken, offset  as in `CameraFact`
    position       whether a place on the earth is in the file
    camera         maker, model and serial of the camera, parted by spaces; to tell two cameras apart, not to print
    texts          descriptions, comments, keywords
    owner          whether an author or owner is named
    """

    taken: str = ""
    offset: str = ""
    position: bool = False
    camera: str = ""
    texts: tuple[str, ...] = ()
    owner: bool = False

    @property
    def fact(self) -> CameraFact:
        """What of it a case keeps: no text, and of the camera nothing."""
        found = dict.fromkeys(kind for text in self.texts for kind in identifiers(text))
        return CameraFact(self.taken, self.offset, self.position, tuple(sorted(found)))


def read_camera(source: Path | bytes) -> Written | None:
    """What the camera wrote into a JPEG, TIFF, PNG or WebP picture; None where the file cannot be read as one.

    Raises nothing for any bytes.
    """
    from PIL import Image, UnidentifiedImageError  # loaded only where there is a picture

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(source) if isinstance(source, bytes) else source, formats=_FORMATS) as image:
                return _written(image)
    except (UnidentifiedImageError, Image.DecompressionBombError, *_BROKEN):
        return None


def _written(image: Image) -> Written:
    try:
        exif: Any = image.getexif()
        shot, gps = exif.get_ifd(_EXIF), exif.get_ifd(_GPS)
    except _BROKEN:
        exif, shot, gps = {}, {}, {}
    stamp = _STAMP.match(_word(shot.get(_TAKEN)))
    taken = offset = ""
    if stamp is not None and _possible(stamp):
        year, month, day, hour, minute, second = stamp.groups()
        taken = f"{year}-{month}-{day} {hour}:{minute}:{second}"
        zone = _ZONE.match(_word(shot.get(_OFFSET)))
        offset = zone.group() if zone else ""
    xmp = _xmp(image)
    position = any(number in gps for number in _COORDINATES) or "GPSLatitude" in xmp or "GPSLongitude" in xmp
    camera = " ".join(filter(None, (_word(exif.get(_MAKE)), _word(exif.get(_MODEL)), _word(shot.get(_BODY_SERIAL)))))
    texts = tuple(text[:_MOST] for text in _texts(image, exif, shot, xmp) if text.strip())
    owner = any(_word(exif.get(number) or shot.get(number)) for number in _OWNERS)
    return Written(taken, offset, position, camera, texts, owner)


def _texts(image: Image, exif: Any, shot: Any, xmp: str) -> Iterator[str]:
    for number in _TEXTS:
        yield _word(exif.get(number))
    for number in _WIDE_TEXTS:
        value = exif.get(number)
        yield value.decode("utf-16-le", "replace").rstrip("\0") if isinstance(value, bytes) else _word(value)
    for number in _SHOT_TEXTS:
        value = shot.get(number)
        yield _comment(value) if isinstance(value, bytes) else _word(value)
    for name in ("comment", "Description", "Title", "Comment", "Author"):
        yield _word(image.info.get(name))
    if xmp:
        yield " ".join((_XMP_TAG.sub(" ", xmp), *_XMP_VALUE.findall(xmp)))
    yield from _iptc(image)


def _xmp(image: Image) -> str:
    value = image.info.get("xmp") or image.info.get("XML:com.adobe.xmp") or b""
    text = value.decode("utf-8", "replace") if isinstance(value, bytes) else str(value)
    return text[: 64 * _MOST]


def _iptc(image: Image) -> Iterator[str]:
    """Captions and keywords (IPTC-NAA record 2: 5 title, 25 keywords, 105 headline, 120 caption; from memory)."""
    from PIL import ImageFile, IptcImagePlugin

    if image.format not in ("JPEG", "TIFF") or not isinstance(image, ImageFile.ImageFile):
        return

    try:
        found = IptcImagePlugin.getiptcinfo(image) or {}
    except _BROKEN:
        return
    for key in ((2, 5), (2, 25), (2, 105), (2, 120)):
        value = found.get(key)
        for one in value if isinstance(value, list) else [value]:
            yield _word(one)


def _comment(value: bytes) -> str:
    """UserComment: eight bytes that name its code, then the text (Exif 2.32, 4.6.5)."""
    head, rest = value[:8], value[8:]
    if head.startswith(b"UNICODE"):
        little, big = rest.decode("utf-16-le", "replace"), rest.decode("utf-16-be", "replace")
        return (little if sum(map(str.isascii, little)) >= sum(map(str.isascii, big)) else big).strip("\0 ")
    return (rest if head.startswith((b"ASCII", b"\0" * 8, b"JIS")) else value).decode("utf-8", "replace").strip("\0 ")


def _word(value: object) -> str:
    if isinstance(value, bytes):
        value = value.decode("utf-8", "replace")
    return value.strip("\0 ") if isinstance(value, str) else ""


def _possible(stamp: re.Match[str]) -> bool:
    """Whether the calendar and the clock know this time; a camera without one writes zeros or blanks."""
    try:
        dt.datetime(*(int(part) for part in stamp.groups()))  # type: ignore[arg-type]
    except ValueError:
        return False
    return True
