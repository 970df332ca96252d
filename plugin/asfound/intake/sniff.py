"""What a file is, by its content: a name proves nothing.

The marks are those of the formats' own specifications (PNG: W3C PNG section 5.2; JPEG: ITU-T T.81 annex B; TIFF 6.0
section 2; PDF: ISO 32000-1 section 7.5.2; ZIP: APPNOTE section 4.3; RIFF and WebP: RFC 9649; ISO base media file:
ISO/IEC 14496-12; DICOM: PS3.10 section 7.1; Parquet: its format's description, "File format"), as the WHATWG MIME
Sniffing standard also lists the common ones.
"""

from __future__ import annotations

# A file kept in Git LFS is checked out as this text when the large files were not fetched (Git LFS specification).
LFS_POINTER = b"version https://git-lfs.github.com/spec/"

_BINARY = frozenset(b for b in (*range(0x20), 0x7F) if b not in (0x09, 0x0A, 0x0C, 0x0D, 0x1B))
_BINARY_BYTES = bytes(sorted(_BINARY))
_HEAD = 1024

_STARTS: tuple[tuple[bytes, str], ...] = (
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"GIF87a", "image/gif"),
    (b"GIF89a", "image/gif"),
    (b"II*\x00", "image/tiff"),
    (b"MM\x00*", "image/tiff"),
    (b"II+\x00", "image/tiff"),
    (b"MM\x00+", "image/tiff"),
    (b"PK\x03\x04", "application/zip"),
    (b"PK\x05\x06", "application/zip"),
    (b"\x1f\x8b\x08", "application/gzip"),
    (b"7z\xbc\xaf\x27\x1c", "application/x-7z-compressed"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "application/x-ole-storage"),
    (b"\x1a\x45\xdf\xa3", "video/webm"),
    (b"OggS\x00", "application/ogg"),
    (b"fLaC\x00", "audio/flac"),
    (b"ID3", "audio/mpeg"),
    (b"\xff\xfb", "audio/mpeg"),
    (b"\x7fELF", "application/x-elf"),
    (b"MZ", "application/x-msdownload"),
    (b"SQLite format 3\x00", "application/vnd.sqlite3"),
    (b"PAR1", "application/vnd.apache.parquet"),
)
_RIFF = {b"WEBP": "image/webp", b"WAVE": "audio/wav", b"AVI ": "video/x-msvideo"}
_BRANDS = {
    b"heic": "image/heic",
    b"heix": "image/heic",
    b"hevc": "image/heic",
    b"mif1": "image/heif",
    b"msf1": "image/heif",
    b"avif": "image/avif",
    b"qt  ": "video/quicktime",
}

_WORDS = {
    "image/jpeg": "a JPEG picture",
    "image/png": "a PNG picture",
    "image/gif": "a GIF picture",
    "image/bmp": "a BMP picture",
    "image/tiff": "a TIFF picture",
    "image/webp": "a WebP picture",
    "image/heic": "an HEIC picture",
    "image/heif": "an HEIF picture",
    "image/avif": "an AVIF picture",
    "image/svg+xml": "an SVG drawing",
    "application/pdf": "a PDF document",
    "application/zip": "a ZIP archive or a spreadsheet or word-processor file",
    "application/x-ole-storage": "an old spreadsheet or word-processor file",
    "application/gzip": "a gzip archive",
    "application/x-7z-compressed": "a 7z archive",
    "application/dicom": "a DICOM file",
    "application/vnd.sqlite3": "a database file",
    "application/vnd.apache.parquet": "a Parquet table",
    "application/x-elf": "a program",
    "application/x-msdownload": "a program",
    "application/x-empty": "empty",
    "text/plain": "text",
    "text/html": "a web page",
    "text/xml": "an XML document",
    "application/octet-stream": "of no kind we know",
}


def sniff(data: bytes) -> str:
    """Media type of `data` by content alone; `text/plain`, `application/octet-stream` or `application/x-empty` at last.

    The first 1024 bytes are enough. Text that only happens to begin like a binary format (a header named `BM` or
    `MZ`) stays text: a binary mark counts only where bytes follow that no text has.
    """
    head = data[:_HEAD]
    if not head:
        return "application/x-empty"
    if b"%PDF-" in head:  # ISO 32000-1, annex H, note 13: the mark may stand anywhere in the first 1024 bytes
        return "application/pdf"
    if _textual(head):
        return _kind_of_text(head)
    for start, media in _STARTS:
        if head.startswith(start):
            return media
    if head.startswith(b"BM") and head[6:10] == b"\0\0\0\0":
        return "image/bmp"
    if head.startswith(b"RIFF"):
        return _RIFF.get(head[8:12], "application/octet-stream")
    if head[4:8] == b"ftyp":
        return _BRANDS.get(head[8:12], "video/mp4")
    if head[128:132] == b"DICM":
        return "application/dicom"
    return "application/octet-stream"


def media_words(media: str) -> str:
    """The media type as a reader would say it: `a JPEG picture`."""
    return _WORDS.get(media) or {"video": "a video", "audio": "a sound recording"}.get(
        media.partition("/")[0], f"of the kind {media}"
    )


def _textual(head: bytes) -> bool:
    if len(head.translate(None, _BINARY_BYTES)) != len(head):
        return False
    try:
        head.decode("utf-8")
    except UnicodeDecodeError as error:
        # A character cut by the end of the head is no fault of the file.
        return len(head) == _HEAD and error.start >= _HEAD - 3
    return True


def _kind_of_text(head: bytes) -> str:
    low = head.removeprefix(b"\xef\xbb\xbf").lstrip().lower()
    if low.startswith((b"<!doctype html", b"<html", b"<script", b"<head", b"<body")):
        return "text/html"
    if low.startswith(b"<svg") or (low.startswith((b"<?xml", b"<!doctype svg")) and b"<svg" in low):
        return "image/svg+xml"
    if low.startswith(b"<?xml"):
        return "text/xml"
    return "text/plain"
