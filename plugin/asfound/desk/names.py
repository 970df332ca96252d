"""Names that every common system, archive and repository can carry, as near as may be to those files came with."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from asfound.intake.files import NAME_BYTES, is_reserved
from asfound.model.files import is_litter

_UNFIT = re.compile(r'[<>:"|?*\\/]+')


def portable_name(name: str) -> str:
    r"""The name as it can stand in a case: composed letters, nothing unseen, nothing a system refuses.

    >>> portable_name("IMG_0042.JPG"), portable_name("scan 3/4?.pdf "), portable_name("con.txt")
    ('IMG_0042.JPG', 'scan 3-4-.pdf', 'file-con.txt')
    """
    text = unicodedata.normalize("NFC", name.encode("utf-8", "replace").decode("utf-8"))
    text = "".join(char if _seen(char) else "-" for char in text)
    text = _UNFIT.sub("-", text).strip(" ").rstrip(". ")
    if not text or text.startswith((".", "-", "~")) or is_reserved(text):
        text = f"file-{text.lstrip('.-~ ')}"
    return text if len(text.encode()) <= NAME_BYTES else _shortened(text, "")


def unique_name(name: str, taken: Iterable[str]) -> str:
    """The name, or the name with `-2`, `-3` … before its ending where it is taken, capitals not counting."""
    folded = {unicodedata.normalize("NFC", one).casefold() for one in taken}
    number, made = 1, name
    while made.casefold() in folded:
        number += 1
        made = _shortened(name, f"-{number}")
    return made


def no_evidence(name: str) -> str:
    """Why a file of this name can be no evidence, as a clause; empty where it can."""
    if is_litter(name):
        return "it is a file that programs leave behind"
    if name.casefold().startswith(".git"):
        return "git would take it for its own settings"
    return ""


def _seen(char: str) -> bool:
    return char == " " or (char.isprintable() and char != "\ufffd")


def _shortened(name: str, mark: str) -> str:
    """`name` with a mark before its ending, cut to the most bytes a name may have."""
    head, dot, tail = name.rpartition(".")
    if not dot or not head or len(tail.encode()) > 12:
        head, dot, tail = name, "", ""
    room = NAME_BYTES - len(f"{mark}{dot}{tail}".encode())
    kept = head.encode()[:room].decode("utf-8", "ignore").rstrip(". ")
    return f"{kept}{mark}{dot}{tail}"
