"""Bytes to text: UTF-8 or nothing, and no character that hides, reorders or ends a line unseen.

What is checked costs a few milliseconds for several megabytes when nothing is wrong; exact places are worked out only
when something is.
"""

from __future__ import annotations

import re
from itertools import islice

from msgspec import Struct

from asfound.intake.sniff import LFS_POINTER, media_words, sniff
from asfound.intake.words import COUNTED, LISTED, char_name, counted, crop, refuse, shown
from asfound.problems import Problem

# ASCII without tab, line feed and carriage return, which text may hold. A carriage return is looked at apart.
_CONTROL_BYTES = bytes(b for b in (*range(0x20), 0x7F) if b not in (0x09, 0x0A, 0x0D))
_ASCII_BYTES = bytes(range(0x80))

# YAML 1.2.2, section 5.1 (printable characters), and the line ends Unicode knows besides LF and CR LF: an editor that
# does not break the line there would count other line numbers than we print.
_CONTROL = r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]|\r(?!\n)"
_BIDI = r"[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]"
_INVISIBLE = r"[\u00ad\u180e\u200b\u2060-\u2064\ufeff]"
_LOST = r"\ufffd"
_KINDS = (
    ("text-control-character", re.compile(_CONTROL)),
    ("text-bidirectional", re.compile(_BIDI)),
    ("text-invisible-character", re.compile(_INVISIBLE)),
    ("text-lost-character", re.compile(_LOST)),
)
_WORDS = {
    "text-control-character": "text without control characters is needed (tab, LF and CR LF are allowed)",
    "text-bidirectional": "text that reads in the order in which it stands is needed",
    "text-invisible-character": "text in which every character can be seen is needed",
    "text-lost-character": "the character that once stood here is wanted",
}
_SUSPECT = re.compile("|".join((_CONTROL, _BIDI, _INVISIBLE, _LOST)))
# Replaced by U+FFFD before parsing, one for one, so that the rest of a refused file can still be examined in place.
_UNPARSABLE = re.compile(_CONTROL + r"|\ufeff")

_CONFLICT = re.compile(r"^(<{7} [^\n]*)\n(?:.*\n)*?={7}\r?\n(?:.*\n)*?>{7} ", re.MULTILINE)


class Text(Struct, frozen=True):
    """Decoded text without its byte order mark, or None with the reasons.

    Where control characters were refused, `text` holds U+FFFD in their place: the file is rejected already, and the
    stand-in keeps every other place where it was.
    """

    text: str | None
    problems: tuple[Problem, ...] = ()


def read_text(path: str, data: bytes, limit: int) -> Text:
    """Decode `data` (at most `limit` bytes) as UTF-8 and check its characters. Raises nothing for any bytes."""
    if len(data) > limit:
        return Text(None, (too_large(path, len(data), limit),))
    if data.startswith(LFS_POINTER):
        return Text(None, (lfs_pointer(path),))
    if wide := _wide(path, data):
        return Text(None, (wide,))
    media = sniff(data)
    if not media.startswith("text/") and media not in (
        "application/octet-stream",
        "image/svg+xml",
        "application/x-empty",
    ):
        return Text(None, (_binary(path, media),))
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        return Text(None, tuple(_not_utf8(path, data, error.start)))
    text = text.removeprefix("\ufeff")
    if b"<<<<<<< " in data and (left := _conflict(path, text)):
        return Text(None, (left,))
    if _plain(data):
        return Text(text)
    return Text(_UNPARSABLE.sub("\ufffd", text), tuple(_suspects(path, text)))


def _conflict(path: str, text: str) -> Problem | None:
    """The marks git leaves where two branches changed the same lines (git-merge(1), "how conflicts are presented")."""
    hit = _CONFLICT.search(text)
    if hit is None:
        return None
    line, column = place_of(text, hit.start())
    found = f"git left a conflict here that begins with “{crop(hit[1].rstrip())}”"
    return refuse(
        "conflict-left", path, (line, column), found, "the lines of both sides, put together by somebody, are needed"
    )


def refused_in_value(text: str) -> tuple[str, str] | None:
    """(rule, character) of the first refused character in a value made by escapes; None where there is none."""
    for rule, pattern in _KINDS[:3]:
        if hit := pattern.search(text):
            return rule, hit[0]
    return None


def place_of(text: str, offset: int) -> tuple[int, int]:
    """(line, column) of character `offset`, both from 1, the column in characters."""
    return text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)


def megabytes(size: int) -> str:
    """`12.3 MiB`."""
    return f"{size / 1_048_576:.1f} MiB"


def too_large(path: str, size: int, limit: int) -> Problem:
    """The problem of a file above the bound this kind of file has."""
    return refuse(
        "file-too-large",
        path,
        (0, 0),
        f"the file has {size} bytes ({megabytes(size)})",
        f"at most {megabytes(limit)} is read",
    )


def lfs_pointer(path: str) -> Problem:
    """The problem of a stand-in text left where the file itself should be."""
    return refuse(
        "file-lfs-pointer",
        path,
        (1, 1),
        "this is a short text that stands for a file kept in Git LFS, not the file itself",
        "the file itself is needed",
    )


def _plain(data: bytes) -> bool:
    """Whether no suspect character can be in `data`, found at the speed of the C library."""
    if len(data.translate(None, _CONTROL_BYTES)) != len(data):
        return False
    if data.count(b"\r") != data.count(b"\r\n"):
        return False
    if data.isascii():
        return True
    rest = data.removeprefix(b"\xef\xbb\xbf").translate(None, _ASCII_BYTES)
    return not _SUSPECT.search("".join(set(rest.decode("utf-8"))))


def _suspects(path: str, text: str) -> list[Problem]:
    found: list[Problem] = []
    for rule, pattern in _KINDS:
        listed: list[Problem] = []
        total = 0
        for hit in islice(pattern.finditer(text), COUNTED):
            total += 1
            if len(listed) < LISTED:
                listed.append(refuse(rule, path, place_of(text, hit.start()), char_name(hit[0]), _WORDS[rule]))
        found += counted(listed, total)
    return found


def _wide(path: str, data: bytes) -> Problem | None:
    """UTF-16 or UTF-32, by byte order mark, or by the zero bytes that Latin text has in every other place."""
    name = ""
    if data.startswith((b"\xff\xfe\x00\x00", b"\x00\x00\xfe\xff")):
        name = "UTF-32"
    elif data.startswith((b"\xff\xfe", b"\xfe\xff")):
        name = "UTF-16"
    else:
        head = data[:400]
        half = len(head) // 2
        if half >= 2 and (odd := head[1::2].count(0)) + (even := head[0::2].count(0)):
            if odd > 0.6 * half and not even:
                name = "UTF-16 (little-endian, without a mark)"
            elif even > 0.6 * half and not odd:
                name = "UTF-16 (big-endian, without a mark)"
    if not name:
        return None
    return refuse("text-utf16", path, (1, 1), f"the file is saved as {name}", "UTF-8 is needed")


def _binary(path: str, media: str) -> Problem:
    return refuse(
        "text-binary", path, (0, 0), f"the content is {media_words(media)}, not text", "a text file in UTF-8 is needed"
    )


def _not_utf8(path: str, data: bytes, start: int) -> list[Problem]:
    """One problem for each line that is not UTF-8, the byte named and what it most likely stood for."""
    guess = _guess(data)
    listed: list[Problem] = []
    total = 0
    line = 1 + data.count(b"\n", 0, start)
    begin = data.rfind(b"\n", 0, start) + 1
    while begin <= len(data) and total < COUNTED:
        end = data.find(b"\n", begin)
        end = len(data) if end < 0 else end
        try:
            data[begin:end].decode("utf-8")
        except UnicodeDecodeError as error:
            total += 1
            at = begin + error.start
            if len(listed) < LISTED:
                ahead = data[begin:at].decode("utf-8").removeprefix("\ufeff" if begin == 0 else "")
                listed.append(_wrong_byte(path, (line, len(ahead) + 1), at, data[at], guess))
        begin, line = end + 1, line + 1
    return counted(listed, total)


def _wrong_byte(path: str, place: tuple[int, int], offset: int, byte: int, guess: str) -> Problem:
    if guess:
        what = f"; the file is probably {guess}, where it stands for “{shown(bytes([byte]).decode(_CODECS[guess]))}”"
    else:
        what = "; which encoding the file has cannot be told"
    return refuse(
        "text-not-utf8", path, place, f"byte {offset} of the file (0x{byte:02X}) is not UTF-8{what}", "UTF-8 is needed"
    )


_CODECS = {"Windows-1252": "cp1252", "Mac Roman": "mac_roman"}


def _guess(data: bytes) -> str:
    """The likelier of two old encodings, or nothing. Only to explain; the bytes are never converted."""
    high = data.translate(None, _ASCII_BYTES)
    if b"\0" in data:
        return ""
    try:
        high.decode("cp1252")
    except UnicodeDecodeError:
        return "Mac Roman"
    return "Windows-1252"
