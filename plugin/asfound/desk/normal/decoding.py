"""Bytes to text with line feeds alone; which encoding it is, is taken only from what leaves no choice."""

from __future__ import annotations

import codecs
import re
import unicodedata

from msgspec import Struct

from asfound.desk.normal.found import Answers, Fate, Found, Question
from asfound.desk.refused import Refused
from asfound.intake.sniff import media_words, sniff
from asfound.intake.words import crop

ENCODINGS = {"cp1252": "Windows-1252", "mac-roman": "Mac Roman"}
"""Encodings of one byte a character that spreadsheets still save; answers to the question which it is."""

_MARKS = (
    (codecs.BOM_UTF8, "utf-8", "UTF-8 with a byte order mark"),
    (codecs.BOM_UTF32_LE, "utf-32-le", "UTF-32"),
    (codecs.BOM_UTF32_BE, "utf-32-be", "UTF-32"),
    (codecs.BOM_UTF16_LE, "utf-16-le", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16-be", "UTF-16"),
)
# What a sheet of readings may hold besides letters: units, signs of typing, spaces.
_SIGNS = frozenset("µΩ°²³±×·–—−‘’“”„‚‹›«»…§%‰€£•½¼¾ \u00a0")


class Decoded(Struct, frozen=True):
    """The text without a mark, its line ends all LF; None with a question where it cannot be told."""

    text: str | None
    found: tuple[Found, ...] = ()
    question: Question | None = None


def decode(data: bytes, answers: Answers) -> Decoded:
    """Decode a table. Raises Refused for what is no text at all."""
    if not data:
        raise Refused("it is empty")
    media = sniff(data)
    for mark, codec, name in _MARKS:
        if data.startswith(mark):
            return _wide(data[len(mark) :], codec, name)
    if codec := _without_mark(data):
        return _wide(data, codec, "UTF-16 without a byte order mark")
    if not media.startswith("text/") and media != "application/octet-stream":
        raise Refused(
            f"the content is {media_words(media)}, not a table of text; open it in the program that made it and save "
            "the sheet as CSV, then keep the original among the evidence"
        )
    try:
        return _ends(data.decode("utf-8"), ())
    except UnicodeDecodeError:
        return _one_byte(data, answers)


def _wide(data: bytes, codec: str, name: str) -> Decoded:
    try:
        text = data.decode(codec)
    except UnicodeDecodeError as error:
        raise Refused(f"it begins as {name}, and byte {error.start} of it is no such text") from None
    return _ends(text, (_mended("encoding", f"the file is saved as {name}", "saved as UTF-8 without a mark"),))


def _without_mark(data: bytes) -> str:
    head = data[:400]
    half = len(head) // 2
    if half < 2:
        return ""
    even, odd = head[0::2].count(0), head[1::2].count(0)
    if odd > 0.6 * half and not even:
        return "utf-16-le"
    return "utf-16-be" if even > 0.6 * half and not odd else ""


def _one_byte(data: bytes, answers: Answers) -> Decoded:
    if b"\0" in data:
        raise Refused("it holds bytes that no text holds, and is neither UTF-8 nor UTF-16")
    texts = {name: text for name in ENCODINGS if (text := _read(data, name)) is not None}
    if answers.encoding:
        if answers.encoding not in texts:
            raise Refused(f"it holds bytes that {ENCODINGS.get(answers.encoding, answers.encoding)} does not know")
        return _ends(texts[answers.encoding], _told(texts[answers.encoding], answers.encoding, "as was answered"))
    likely = {name: text for name, text in texts.items() if _plausible(text)}
    if len(set(likely.values())) == 1:
        name, text = next(iter(likely.items()))
        return _ends(text, _told(text, name, "the only one of these under which letters and signs of units come out"))
    if not texts:
        raise Refused("it is not UTF-8, and which encoding it has cannot be told; save it again as UTF-8")
    shown = tuple((name, f"{ENCODINGS[name]}: {_sample(data, text)}") for name, text in (likely or texts).items())
    return Decoded(None, (), Question("--encoding", "The file is not UTF-8. Under which encoding is it right?", shown))


def _read(data: bytes, name: str) -> str | None:
    try:
        return data.decode(name)
    except UnicodeDecodeError:
        return None


def _plausible(text: str) -> bool:
    """Whether every character beyond ASCII is a letter in its place or a sign that sheets hold."""
    for hit in re.finditer(r"[^\x00-\x7f]", text):
        char, before = hit[0], text[hit.start() - 1 : hit.start()]
        if char in _SIGNS:
            continue
        if not unicodedata.category(char).startswith("L"):
            return False
        # A capital inside a word, and the ordinal letters, are what the other encoding makes of small letters.
        if (char.isupper() and before.islower()) or char in "ªºƒıˆ":
            return False
    return True


def _sample(data: bytes, text: str) -> str:
    """The first line with a byte beyond ASCII, as the text has it."""
    first = next(n for n, byte in enumerate(data) if byte > 0x7F)
    start = max(text.rfind("\n", 0, first), text.rfind("\r", 0, first)) + 1
    return f"line {_line(text, first)} reads “{crop(text[start:].splitlines()[0], 60)}”"


def _line(text: str, offset: int) -> int:
    return len(re.findall(r"\r\n|\r|\n", text[:offset])) + 1


def _told(text: str, name: str, why: str) -> tuple[Found, ...]:
    lines = [n for n, line in enumerate(re.split(r"\r\n|\r|\n", text), 1) if not line.isascii()]
    listed = ", ".join(map(str, lines[:12])) + (f" and {len(lines) - 12} more" if len(lines) > 12 else "")
    found = f"the file is saved as {ENCODINGS[name]}, {why}; it matters on line {listed}"
    return (_mended("encoding", found, "saved as UTF-8; look at these lines"),)


def _ends(text: str, found: tuple[Found, ...]) -> Decoded:
    pairs = text.count("\r\n")
    alone = text.count("\r") - pairs
    if text.startswith("\ufeff"):
        text = text[1:]
        found += (_mended("encoding", "the file begins with a byte order mark", "left out"),)
    if pairs:
        found += (_mended("line ends", f"{pairs} lines end with CR LF", "end with LF"),)
    if alone:
        found += (_mended("line ends", f"{alone} lines end with CR alone", "end with LF"),)
    return Decoded(text.replace("\r\n", "\n").replace("\r", "\n"), found)


def _mended(kind: str, found: str, done: str) -> Found:
    return Found(kind, 0, 0, found, done, Fate.MENDED)
