"""Who holds an item when, from the lines of custody.csv in the order of the log."""

from __future__ import annotations

from asfound.model.case import Case
from asfound.model.things import CustodyKind, CustodyLine

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
    return any(ref.startswith("C-") for ref in case.broken)


__all__ = ["STORE", "CustodyKind", "accounted", "broken_custody", "lines_of", "sealed"]
