"""The lines of custody.csv: whose they are, what seal they speak of, and whether they account for the time before."""

from __future__ import annotations

from asfound.model.base import Moment
from asfound.model.case import Case
from asfound.model.things import CustodyLine

STORE = "store"
"""The word that stands for a sealed store instead of a role."""

_NO_SEAL = frozenset({"", "-", "none", "no seal", "unsealed", "not sealed", "opened"})


def lines_of(case: Case) -> dict[str, list[CustodyLine]]:
    """The lines of each item, in the order of the file: a log is written in order."""
    found: dict[str, list[CustodyLine]] = {}
    for line in case.custody:
        for item in dict.fromkeys(line.items):
            found.setdefault(item, []).append(line)
    return found


def sealed(text: str) -> str:
    """The number of a seal; empty where the column says that there was none."""
    return "" if text.strip().casefold() in _NO_SEAL else text.strip()


def accounted(line: CustodyLine) -> bool:
    """Whether a before-custody line says who, when and where, and is signed."""
    return bool(line.received_at and line.received_by and line.signed_in and line.from_place)


def broken_custody(case: Case) -> bool:
    """Whether a line could not be read; what follows from the log is then not asked of it."""
    return case.some_unread("C")


def leaves(line: CustodyLine) -> Moment | None:
    """When the thing left whoever had it: the release, or the receipt where no release is on record."""
    return line.released_at or line.received_at


def arrives(line: CustodyLine) -> Moment | None:
    """When somebody had it: the receipt, or the release where no receipt is on record."""
    return line.received_at or line.released_at


def same(one: str, other: str) -> bool:
    """Whether two places or roles are the same but for case and spaces."""
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()
