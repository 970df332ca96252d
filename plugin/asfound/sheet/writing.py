"""What the form writes: one act of a person, one file, whole or not at all.

A value that stood in the file never goes: one that is changed is struck, as on paper. It stays in the row's note with
the time, the role and the reason, in the same file and the same replacement as the new value (common practice for
records of measurements: one line through, still to be read, initialled and dated; no source).
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from msgspec import Struct, field

from asfound import desk
from asfound.desk import Refused
from asfound.desk.write import Step
from asfound.model.number import Fault, read_value
from asfound.model.work import PreparedSheet
from asfound.sheet.bench import Bench, Lying
from asfound.sheet.table import OWN, Table
from asfound.sheet.view import columns_of, new_key, sheet_view

_WAIT = 3.0
"""Seconds in which another run of the program that writes into the case is waited for."""
_LONGEST = 2000
"""Characters of a note, a reason, a condition."""


class NotWritten(Exception):
    """Nothing was written, and why: a sentence for the person, and what the page needs to go on.

    status  of the answer (RFC 9110): 409 something else stands there, 422 it cannot stand there, 423 busy
    """

    def __init__(self, said: str, status: int = 422, **more: object) -> None:
        super().__init__(said)
        self.said, self.status, self.more = said, status, more


class Typed(Struct, frozen=True):
    """A value as somebody typed it.

    row       the row's name in the file, or its key on the page where it is in no file yet
    expected  what the person saw in the cell before
    ago       seconds since it was typed
    why       why a value that stands there is changed; empty for a first value
    """

    row: str
    value: str
    expected: str
    by: str
    ago: float = 0.0
    why: str = ""


class Writer(Struct):
    """Writes into the sheets of one case. `step` is told each step on the disk; the tests kill a run there."""

    bench: Bench
    wait: float = _WAIT
    step: Step = field(default=lambda _step: None)

    def value(self, name: str, typed: Typed) -> str:
        """Write a value; the name of its row. Raises NotWritten, Refused, OSError."""
        read = read_value(typed.value)
        if isinstance(read, Fault):
            raise NotWritten(f"{read.found}; {read.needed}.", mend=read.mend)
        with self.alone() as lying:
            sheet = self._begun(lying, name)
            self.role(lying, typed.by)
            if typed.row.startswith("new:"):
                return self._first(lying, name, sheet, typed)
            table = self._table(name)
            self._value(table, typed, sheet.to is not None)
            return typed.row

    def again(self, name: str, of: str) -> str:
        """Lay ready one more row at the conditions of another; its name. The first stands as it is."""
        with self.alone() as lying:
            self._still_open(self._begun(lying, name))
            table = self._table(name)
            there = _there(table, of)
            cells = {column: text for column, text in there.items() if column not in OWN or column == "unit"}
            if "repeat_of" in table.heads:
                cells["repeat_of"] = of
            made = table.append(cells)
            self._put(table)
            return made

    def another(self, name: str, conditions: Mapping[str, str]) -> str:
        """Lay ready a row at conditions somebody names; its name."""
        with self.alone() as lying:
            sheet = self._still_open(self._begun(lying, name))
            table = self._table(name)
            said = {column: " ".join(_short(text).split()) for column, text in conditions.items()}
            if table.old is None:
                made = self._begin_file(lying, sheet, table, said)
            else:
                if unknown := sorted(set(said) - set(table.heads) | (set(said) & set(OWN))):
                    raise NotWritten(f"This sheet has no condition “{unknown[0]}”.")
                unit = (
                    {"unit": table.read.rows[-1][table.read.header.index(table.heads["unit"])]}
                    if ("unit" in table.heads and table.read.rows)
                    else {}
                )
                made = table.append({**said, **unit})
            self._put(table)
            return made

    def remark(self, name: str, row: str, text: str, by: str) -> None:
        """Put words behind the note of a row; words that stand there already are not put there again."""
        said = " ".join(_short(text).split())
        if not said:
            raise NotWritten("Nothing is said yet.")
        with self.alone() as lying:
            self.role(lying, by)
            table = self._table(name)
            note = _there(table, row).get("note", "")
            if said not in note.split("; "):
                table.fill(row, {"note": _joined(note, said)})
                self._put(table)

    def checked(self, name: str, row: str, by: str) -> None:
        """Note that a value was looked at again and is right."""
        self.remark(name, row, f"checked, read again {self.bench.moment().text} by {by}", by)

    def strike(self, name: str, row: str, why: str, by: str) -> None:
        """Say that a reading does not count, and why. It stays in sight, with its value."""
        said = " ".join(_short(why).split())
        if not said:
            raise NotWritten("Say why the reading does not count.", why=True)
        with self.alone() as lying:
            self.role(lying, by)
            table = self._table(name)
            if not _there(table, row).get("void"):
                table.fill(row, {"void": f"{said} ({self.bench.moment().text}, {by})"})
                self._put(table)

    # What holds for every act

    @contextmanager
    def alone(self) -> Iterator[Lying]:
        """The case, with nobody else of this program writing into it. Raises NotWritten where it stays taken."""
        with self.bench.lock:
            end = time.monotonic() + self.wait
            while True:
                lock = desk.alone(self.bench.folder)
                try:
                    lock.__enter__()
                    break
                except Refused as busy:
                    if time.monotonic() >= end:
                        said = str(busy)
                        raise NotWritten(f"{said[0].upper()}{said[1:]}. It is tried again.", 423) from None
                    time.sleep(0.05)
            try:
                yield self.bench.lying()
            finally:
                lock.__exit__(None, None, None)

    def role(self, lying: Lying, role: str) -> None:
        """Raise NotWritten for a role that is not one of the case's people."""
        if role not in lying.case.head.people:
            raise NotWritten("Say in which role you write: one of the people of case.yml.", 422, role=True)

    def _begun(self, lying: Lying, name: str) -> PreparedSheet:
        if sheet_view(lying, name).lacking:
            raise NotWritten("Say first with which instrument, and who reads.", 422, begin=True)
        return lying.sheets[name]

    def _still_open(self, sheet: PreparedSheet) -> PreparedSheet:
        if sheet.to is not None:
            raise NotWritten("The sheet is closed. What is read after that belongs on a sheet of its own.")
        return sheet

    # The file

    def _table(self, name: str) -> Table:
        path = f"readings/{name.removeprefix('S-')}.csv"
        return Table(path, self.bench.bytes_of(path))

    def _put(self, table: Table) -> None:
        """On the disk, whole, if the file still holds what it was read with."""
        home, _, last = table.path.rpartition("/")
        place = desk.real_folder(self.bench.folder, home, make=True) / last
        desk.replace_file(place, table.old, table.data, self.step)

    def _value(self, table: Table, typed: Typed, late: bool) -> None:
        there = _there(table, typed.row)
        stands = there["value"]
        if stands == typed.value:
            return
        if stands != typed.expected:
            raise NotWritten(_differs(stands, typed.value), 409, there=stands)
        if there.get("void"):
            raise NotWritten("This row is struck and does not count. Take the reading again in a row of its own.")
        cells = {"value": typed.value}
        if stands or late:
            if not typed.why.strip():
                raise NotWritten("Say why it is changed; what stood there stays on the row, struck.", 422, why=True)
            cells["note"] = _joined(there.get("note", ""), self._struck(stands, typed, late))
        elif "at" in table.heads and not there["at"]:
            cells["at"] = self.bench.moment(typed.ago).text
        table.fill(typed.row, cells)
        self._put(table)

    def _struck(self, stands: str, typed: Typed, late: bool) -> str:
        why = " ".join(_short(typed.why).split())
        after = ", after the sheet was closed" if late else ""
        return f"struck {stands or 'nothing'}, {self.bench.moment(typed.ago).text}, {typed.by}: {why}{after}"

    def _first(self, lying: Lying, name: str, sheet: PreparedSheet, typed: Typed) -> str:
        """A value for a row that the plan asks for and no file holds: the row and its value in one replacement."""
        grid = lying.grids.get(sheet.test)
        wanted = next((one for one in grid.rows if new_key(one) == typed.row), None) if grid else None
        if grid is None or wanted is None:
            raise NotWritten("The plan does not ask for this row any more; look at the page again.", 409, there="")
        table = self._table(name)
        prefix = f"R-{name.removeprefix('S-')}-"
        ref = wanted.reading or wanted.waiting
        if ref:
            if not ref.startswith(prefix):
                raise NotWritten("This row stands on another sheet of the test by now.", 409, there="")
            row = ref.removeprefix(prefix)
        else:
            self._still_open(sheet)
            known = set(columns_of(sheet, grid, lying.case.readings.get(name)))
            cells = {column: text for column, text in wanted.cells if column in known and text}
            row = table.append(cells) if table.old is not None else self._begin_file(lying, sheet, table, cells)
        self._value(table, Typed(row, typed.value, typed.expected, typed.by, typed.ago, typed.why), False)
        return row

    def _begin_file(self, lying: Lying, sheet: PreparedSheet, table: Table, conditions: dict[str, str]) -> str:
        """Begin the sheet's file with its first row, the columns being those the plan asks for."""
        grid = lying.grids.get(sheet.test)
        names = columns_of(sheet, grid, None) or tuple(conditions)
        if unknown := sorted(set(conditions) - set(names)):
            raise NotWritten(f"This sheet has no condition “{unknown[0]}”.")
        heads = {one.name: one.head for one in grid.columns} if grid else {}
        bare = grid is not None and not grid.value_unit
        header = ["row", *(heads.get(one, one) for one in names), grid.value_head if grid else "value"]
        header += ["unit", "at", "note"] if bare else ["at", "note"]
        return table.begin(header, {**conditions, **({"unit": "1"} if bare else {})})


def _there(table: Table, row: str) -> dict[str, str]:
    found = table.row(row) if table.old is not None or table.data else None
    if found is None:
        raise NotWritten(f"There is no row {row} in {table.path} any more; look at the page again.", 409, there="")
    return found


def _joined(note: str, said: str) -> str:
    return f"{note}; {said}" if note.strip() else said


def _short(text: str) -> str:
    if len(text) > _LONGEST:
        raise NotWritten(f"At most {_LONGEST} characters fit there.")
    return text


def _differs(stands: str, typed: str) -> str:
    there = f"“{stands}” stands here by now" if stands else "Nothing stands here by now"
    return f"{there}, and “{typed}” was typed here. Both are kept until you choose."
