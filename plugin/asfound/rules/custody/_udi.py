"""The code of a device as it was scanned: the element string of GS1, read by a library that keeps its grammar."""

from __future__ import annotations

import datetime as dt
from typing import Any

from msgspec import Struct

GTIN, EXPIRY, LOT, SERIAL = "01", "17", "10", "21"
_SEPARATORS = ("<GS>", "{GS}", "^]", "\u241d")
"""How scanners and people write the separator, which no text file carries well."""
_OTHERS = {"+": "a bar code of the health industry (HIBC)", "=": "a code of blood and tissue banks (ISBT 128)"}
"""First characters of the other two kinds of code that may carry a device identifier (from memory)."""


class NoReaderError(Exception):
    """The library that reads element strings is not installed."""


class UnreadableError(Exception):
    """The code cannot be read; says why, as a clause."""


class Scanned(Struct, frozen=True):
    """What a code says. `gtin` has 14 digits; `expiry` is the day, or the last of the month where no day is given."""

    gtin: str = ""
    serial: str = ""
    lot: str = ""
    expiry: dt.date | None = None


def other_kind(text: str) -> str:
    """What a code is that is not of GS1; empty where it may be."""
    return _OTHERS.get(text.strip()[:1], "")


def read_udi(text: str) -> Scanned:
    """Read an element string, with its numbers in brackets or as a scanner gives it.

    Raises NoReaderError without the library, UnreadableError with the reason otherwise.
    """
    try:
        from biip import ParseError
        from biip.gs1_messages import GS1Message
    except ImportError as error:
        raise NoReaderError from error
    plain = text.strip()
    for mark in _SEPARATORS:
        plain = plain.replace(mark, "\x1d")
    plain = plain.removeprefix("]d2").removeprefix("]C1").removeprefix("]Q3").strip("\x1d")
    try:
        message: Any = GS1Message.parse_hri(plain) if plain.startswith("(") else GS1Message.parse(plain)
    except ParseError as error:
        raise UnreadableError(_clause(error)) from error
    found: dict[str, Any] = {}
    for one in message.element_strings:
        if one.ai.ai in found and found[one.ai.ai].value != one.value:
            raise UnreadableError(f"it gives ({one.ai.ai}) twice, as {found[one.ai.ai].value} and {one.value}")
        found[one.ai.ai] = one
    if GTIN not in found:
        raise UnreadableError("it holds no trade item number (01)")
    if found[GTIN].gtin is None:
        raise UnreadableError(_clause(found[GTIN].gtin_error or "its trade item number is not one"))
    expiry = found.get(EXPIRY)
    return Scanned(
        gtin=str(found[GTIN].value),
        serial=str(found[SERIAL].value) if SERIAL in found else "",
        lot=str(found[LOT].value) if LOT in found else "",
        expiry=expiry.date if expiry is not None else None,
    )


def _clause(error: object) -> str:
    """The library's reason as a clause of ours: lower-case start, no stop, one line."""
    text = " ".join(str(error).split()).rstrip(".")
    return text[:1].lower() + text[1:] if not text.startswith("GS1") else text
