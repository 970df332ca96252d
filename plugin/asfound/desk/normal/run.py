"""The whole: bytes in, and out of them the copy, what was found, or the questions that stand in the way."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator

from msgspec import Struct

from asfound.desk.normal.cells import read_cells
from asfound.desk.normal.decoding import decode
from asfound.desk.normal.found import Answers, Fate, Found, Question
from asfound.desk.normal.table import bare, read_table

LOG_HEAD = "What asfound normalise found in a table, and what it did in the copy"
"""First line of every log."""


class Normal(Struct, frozen=True):
    """A table as it was found, and its copy.

    data      the original, byte for byte
    copy      the copy; None where a question is open. The same bytes where nothing had to be mended
    found     what was found, by place
    question  what has to be answered first
    """

    data: bytes
    copy: bytes | None
    found: tuple[Found, ...]
    question: Question | None = None

    @property
    def clean(self) -> bool:
        """Whether the original is as a sheet should be."""
        return self.copy == self.data and not self.left

    @property
    def left(self) -> tuple[Found, ...]:
        """What a person has to settle."""
        return tuple(one for one in self.found if one.fate is Fate.LEFT)

    @property
    def mended(self) -> tuple[Found, ...]:
        """What is put right in the copy."""
        return tuple(one for one in self.found if one.fate is Fate.MENDED)

    def log(self, original: str, copy: str) -> str:
        """The log as text, by the names of both files. No clock and no machine: the same file gives the same log."""
        assert self.copy is not None
        return "\n".join((LOG_HEAD, "", *self._log(original, copy))) + "\n"

    def _log(self, original: str, copy: str) -> Iterator[str]:
        yield f"original: {original}, {len(self.data)} bytes, sha256 {hashlib.sha256(self.data).hexdigest()}"
        assert self.copy is not None
        yield f"copy: {copy}, {len(self.copy)} bytes, sha256 {hashlib.sha256(self.copy).hexdigest()}"
        for fate, title in (
            (Fate.MENDED, "Put right in the copy"),
            (Fate.LEFT, "Left as it stood; to be settled by a person"),
            (Fate.NOTED, "To be looked at"),
        ):
            listed = [one for one in self.found if one.fate is fate]
            yield ""
            yield f"{title}: {len(listed)}"
            yield from (f"  {one.where}: {one.found}; {one.done}" for one in listed)


_NONE = Answers()


def normalise(data: bytes, answers: Answers = _NONE) -> Normal:
    """Tell what a spreadsheet did to a table, and make the copy. Raises Refused for what is no table of text."""
    decoded = decode(data, answers)
    if decoded.text is None:
        return Normal(data, None, decoded.found, decoded.question)
    table = read_table(decoded.text, answers)
    if table.header is None:
        return Normal(data, None, decoded.found, table.question)
    cells = read_cells(table, answers)
    found = tuple(sorted((*decoded.found, *table.found, *cells.found), key=lambda one: (one.line, one.column)))
    if cells.question is not None:
        return Normal(data, None, found, cells.question)
    rows = (table.header, *table.rows)
    if any(one.kind == "quotes" and one.fate is Fate.LEFT for one in found):
        # What belongs to which cell is not known, so nothing is written anew.
        return Normal(data, data, tuple(one for one in found if one.fate is not Fate.MENDED))
    text = "".join(",".join(map(_cell, row.cells)) + "\n" for row in rows)
    return Normal(data, text.encode("utf-8"), found)


def _cell(text: str) -> str:
    return text if bare(text) else '"' + text.replace('"', '""') + '"'
