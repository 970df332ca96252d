"""Why a cell could not be read."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a cell could not be read.

    found   what stood there, a clause
    needed  what was needed, a clause
    mend    how to mend it, one sentence
    offset  where in the cell, counted in characters from 0
    """

    found: str
    needed: str
    mend: str
    offset: int = 0
