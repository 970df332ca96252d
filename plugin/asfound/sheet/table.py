"""A file of readings while it is changed: what was read, what it is to become, and its columns by their bare names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

from asfound import desk, intake
from asfound.desk import Refused
from asfound.intake import CsvTable

OWN = ("row", "value", "unit", "at", "note", "void", "repeat_of")
"""Columns that hold no condition."""


class Table:
    """One file. `old` are the bytes it was read with, None where there is none; `data` those it is to have."""

    def __init__(self, path: str, old: bytes | None) -> None:
        self.path = path
        self.old = old
        self.data = old or b""
        self._take()

    def _take(self) -> None:
        self.__dict__.pop("read", None)
        self.__dict__.pop("heads", None)

    @cached_property
    def read(self) -> CsvTable:
        """The rows as they stand."""
        return intake.read_csv(self.path, self.data)

    @cached_property
    def heads(self) -> dict[str, str]:
        """Name of each column without its unit → its head: `value` → `value [W]`. Raises Refused."""
        found: dict[str, str] = {}
        for head in self.read.header:
            found.setdefault(head.strip().partition("[")[0].strip(), head)
        if "row" not in found or "value" not in found:
            raise Refused(f"{self.path} has no columns row and value", problems=self.read.problems)
        return found

    def row(self, name: str) -> dict[str, str] | None:
        """The cells of a row by the bare names of its columns; None where there is no such row."""
        key = self.read.header.index(self.heads["row"])
        for cells in self.read.rows:
            if cells[key] == name:
                by_head = dict(zip(self.read.header, cells, strict=True))
                return {bare: by_head[head] for bare, head in self.heads.items()}
        return None

    def fill(self, row: str, cells: Mapping[str, str]) -> None:
        """Give cells of a row new texts, by bare names; a column that is not there is added. Raises Refused."""
        for name in cells:
            if name not in self.heads:
                self.data = desk.add_column(self.path, self.data, name)
                self._take()
        named = {self.heads[name]: text for name, text in cells.items()}
        self.data = desk.fill_cells(self.path, self.data, (self.heads["row"], row), named).data
        self._take()

    def append(self, cells: Mapping[str, str]) -> str:
        """Put a row behind the last; its name. Raises Refused, also for a column that is not there."""
        key = self.read.header.index(self.heads["row"])
        number = str(1 + max((int(row[key]) for row in self.read.rows if row[key].isdecimal()), default=0))
        named = {self.heads.get(name, name): text for name, text in {"row": number, **cells}.items()}
        self.data = desk.append_rows(self.path, self.data, [named]).data
        self._take()
        return number

    def begin(self, header: Sequence[str], cells: Mapping[str, str]) -> str:
        """Begin a file that holds nothing with its header and first row; the row's name. Raises Refused."""
        heads = {head.partition("[")[0].strip(): head for head in header}
        named = {heads.get(name, name): text for name, text in {"row": "1", **cells}.items()}
        self.data = desk.append_rows(self.path, self.data, [named], header=header).data
        self._take()
        return "1"
