"""What a picture carries beside the picture, read from its bytes."""

from __future__ import annotations

_PNG = b"\x89PNG\r\n\x1a\n"
_CHUNKS = {b"eXIf": "Exif", b"tEXt": "text", b"iTXt": "text", b"zTXt": "text", b"tIME": "a time"}
_SEGMENTS = {0xE1: "Exif or XMP", 0xED: "a caption of a press agency", 0xFE: "a comment"}
_RIFF = {b"EXIF": "Exif", b"XMP ": "XMP"}


def carried(data: bytes) -> list[str]:
    """What stands beside the picture, in words; empty for a bare picture and for what is none."""
    if data.startswith(_PNG):
        return _png(data)
    if data.startswith(b"\xff\xd8"):
        return _jpeg(data)
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return _webp(data)
    if data[:4] in {b"II*\0", b"MM\0*"}:
        return ["the fields of a TIFF file"]
    return []


def _png(data: bytes) -> list[str]:
    found, at = [], len(_PNG)
    while at + 8 <= len(data):
        size, kind = int.from_bytes(data[at : at + 4], "big"), data[at + 4 : at + 8]
        if kind in _CHUNKS:
            found.append(_CHUNKS[kind])
        at += 12 + size
    return found


def _jpeg(data: bytes) -> list[str]:
    found, at = [], 2
    while at + 4 <= len(data) and data[at] == 0xFF and data[at + 1] != 0xDA:
        if data[at + 1] in _SEGMENTS:
            found.append(_SEGMENTS[data[at + 1]])
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return found


def _webp(data: bytes) -> list[str]:
    found, at = [], 12
    while at + 8 <= len(data):
        size = int.from_bytes(data[at + 4 : at + 8], "little")
        if data[at : at + 4] in _RIFF:
            found.append(_RIFF[data[at : at + 4]])
        at += 8 + size + size % 2
    return found
