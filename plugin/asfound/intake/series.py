"""Long series of numbers in a CSV or Parquet file: sampled voltages, flows, logged temperatures.

In CSV a first row of names with units in square brackets, as in readings, and numbers below. Read into arrays of
doubles of exactly the length needed, in pieces, so that ten million samples do not need more than themselves. Where a
piece does not read as numbers it is read again, cell by cell, to say where. Of a window only what lies in it is kept,
so that a stretch of a file of any length can be had. Which of the two a file is is told by its first bytes.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from asfound.intake.series_spill import Spilled
from asfound.measure.units import nearest, unit
from asfound.model.number import Fault, read_decimal
from asfound.problems import Entry, Family, Level, Problem, Span

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Values = NDArray[np.float64]

PIECE = 1 << 14
LISTED = 20
_NAMED = re.compile(r"(.*?)\s*\[(.+)\]\s*")


def _entry(name: str, title: str, reason: str, mend: str) -> Entry:
    return Entry(
        name, Family.INTEGRITY, Level.REJECT, title, reason, "common practice, no source", "common practice", mend,
        liftable=False,
    )  # fmt: skip


ENTRIES: tuple[Entry, ...] = (
    _entry(
        "series-column-missing",
        "A series has the columns that are computed from, each once, with its unit.",
        "A column taken for another, or in another unit, gives a figure that looks as good as the right one.",
        "Name the columns in the first row with their units in square brackets, as in voltage [V].",
    ),
    _entry(
        "series-not-a-number",
        "Every cell of a series that is computed from is a number.",
        "A sample that is passed over moves all that come after it.",
        "Write each number with a point and without separators, or take the row out and say so.",
    ),
    _entry(
        "series-empty",
        "A series holds at least one row of numbers, in its window too.",
        "Nothing can be computed from nothing.",
        "Check that the file and the window are those that were meant.",
    ),
    _entry(
        "series-unreadable",
        "A file of a series can be taken apart by the reader of its kind.",
        "What is not read is not computed from, and must not look as if it were.",
        'Install its reader where it is missing (pip install "asfound[table]"), or take the file anew from its source.',
    ),
)
_BY_NAME = {entry.name: entry for entry in ENTRIES}


@dataclass
class Series:
    """What was read: a column by its name, in the unit asked for; empty where there are problems.

    Arrays, or what was put aside, where that was asked for.
    """

    columns: Mapping[str, Values] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Window:
    """Rows to keep: those whose `column`, one of those wanted, lies from `low` to `high` in the unit it is wanted in.

    Both ends belong to it; None is no end. The column need not ascend.
    """

    column: str
    low: float | None = None
    high: float | None = None

    def keeps(self, values: Values) -> NDArray[np.bool_]:
        """Which rows lie in it."""
        import numpy as np

        inside = np.ones(values.shape, dtype=bool)
        if self.low is not None:
            inside &= values >= self.low
        if self.high is not None:
            inside &= values <= self.high
        return inside


def read_series(
    path: Path, name: str, wanted: Mapping[str, str], window: Window | None = None, aside: bool = False
) -> Series:
    """Read a file. `name` is how the file is called in messages; `wanted` maps columns to the units they are wanted
    in.

    Other columns may stand beside them. An empty unit asks for a pure number. Every cell of the columns wanted is
    looked at, also of rows that a window leaves out. With `aside` the columns are `series_spill.Spilled`, of which no
    more than a stretch is held. Raises OSError where the file cannot be opened or put aside, and ValueError
    where the window is about a column that is not wanted: a fault of ours.
    """
    if window is not None and window.column not in wanted:
        raise ValueError(f"{window.column} is not among the columns wanted")
    out = Series()
    with path.open("rb") as file:
        if file.read(4) == b"PAR1":
            from asfound.intake.series_parquet import read_parquet

            read_parquet(file, name, wanted, window, out, aside)
            return out
        file.seek(0)
        head = file.readline()
        try:
            cells = _cells(head.decode("utf-8-sig"))
        except UnicodeDecodeError:
            out.problems.append(
                problem("series-column-missing", name, 1, 0, "the first row is no text in UTF-8", wanted)
            )
            return out
        chosen = choose([named(cell) for cell in cells], name, wanted, out.problems)
        if out.problems:
            return out
        into = Filling(list(chosen), 0 if aside else _lines(file), window, aside)
        _fill(file, name, chosen, len(cells), into, out.problems)
        into.finish(name, out)
    return out


def _lines(file: BinaryIO) -> int:
    """How many lines follow; the place in the file stays."""
    start, lines = file.tell(), 0
    last = b"\n"
    for block in iter(lambda: file.read(1 << 20), b""):
        lines += block.count(b"\n")
        last = block[-1:]
    file.seek(start)
    return lines + (last != b"\n")


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in _split(line.rstrip("\r\n"))]


def _split(line: str) -> list[str]:
    """The cells of a row. Nothing but a quote lets a comma stand within one; a quote that is never closed ends it."""
    return line.split(",") if '"' not in line else next(csv.reader([line]), [])


def _width(row: bytes) -> int:
    return row.count(b",") + 1 if b'"' not in row else len(_split(row.decode("utf-8", "replace").rstrip("\r\n")))


def named(cell: str) -> tuple[str, str]:
    """`voltage [V]` → its name and its unit, which is empty where there is none."""
    match = _NAMED.fullmatch(cell)
    return (match[1].strip(), match[2].strip()) if match else (cell, "")


def problem(rule: str, path: str, line: int, column: int, found: str, wanted: Mapping[str, str] | str) -> Problem:
    """A problem of a series; line 0 is the file as a whole."""
    entry = _BY_NAME[rule]
    if isinstance(wanted, str):
        needed = wanted
    else:
        titles = " and ".join(f"{one} [{symbol}]" if symbol else one for one, symbol in wanted.items())
        needed = f"a first row with {titles} is needed"
    return Problem(rule, entry.level, Span(path, line, column), found, needed, entry.mend)


def choose(
    cells: Sequence[tuple[str, str]], path: str, wanted: Mapping[str, str], problems: list[Problem]
) -> dict[str, tuple[int, float]]:
    """Column → its place and the factor that turns it into the unit wanted; `cells` are names and units in order."""
    found: dict[str, tuple[int, float]] = {}
    for place, (name, symbol) in enumerate(cells):
        if name not in wanted:
            continue
        if name in found:
            problems.append(problem("series-column-missing", path, 1, 0, f"there are two columns “{name}”", wanted))
            continue
        given, needed = unit(symbol), unit(wanted[name])
        found[name] = (place, 1.0)
        if symbol and given is None:
            near = nearest(symbol)
            hint = f"; perhaps {near} is meant" if near else ""
            problems.append(problem("series-column-missing", path, 1, 0, f"no unit “{symbol}” is known{hint}", wanted))
        elif wanted[name] in ("", "1"):
            # A pure number, or one whose unit has no say: it may bear any.
            continue
        elif given is None or needed is None or given.quantity is not needed.quantity:
            said = (
                f"“{name}” bears no unit" if not symbol else f"{symbol} is a unit of {given.quantity}" if given else ""
            )
            problems.append(problem("series-column-missing", path, 1, 0, said, wanted))
        else:
            found[name] = (place, float(given.factor / needed.factor))
    missing = [name for name in wanted if name not in found]
    if missing:
        said = f"there is no column “{'” and no column “'.join(missing)}”"
        problems.append(problem("series-column-missing", path, 1, 0, said, wanted))
    return found


class Filling:
    """Columns while they are read, piece by piece: put aside, or arrays as long as the file, or what a window kept."""

    def __init__(self, names: Sequence[str], rows: int, window: Window | None, aside: bool = False) -> None:
        import numpy as np

        self._window, self._filled, self._names = window, 0, names
        self._seen = [math.inf, -math.inf]
        self._aside = Spilled(names) if aside else None
        self._whole = {} if window or aside else {name: np.empty(rows) for name in names}
        self._kept: dict[str, list[Values]] = {name: [] for name in names}

    def take(self, piece: Mapping[str, Values]) -> None:
        """The next rows, in the units wanted."""
        if self._window is None and self._aside is not None:
            self._aside.add(piece)
            self._filled = self._aside.size
            return
        if self._window is None:
            size = 0
            for name, values in piece.items():
                size = values.size
                self._whole[name][self._filled : self._filled + size] = values
            self._filled += size
            return
        along = piece[self._window.column]
        if along.size:
            self._seen = [min(self._seen[0], float(along.min())), max(self._seen[1], float(along.max()))]
        inside = self._window.keeps(along)
        if inside.any():
            kept = {name: values[inside] for name, values in piece.items()}
            if self._aside is not None:
                self._aside.add(kept)
            else:
                for name, values in kept.items():
                    self._kept[name].append(values)
            self._filled += int(inside.sum())

    def finish(self, path: str, out: Series) -> None:
        """Put the columns into `out`, or what is wrong with them."""
        import numpy as np

        if out.problems:
            del out.problems[LISTED:]
        elif self._filled and self._aside is not None:
            out.columns = self._aside
        elif self._filled and self._window is None:
            out.columns = {name: values[: self._filled] for name, values in self._whole.items()}
        elif self._filled:
            # A column at a time, so that the pieces of one are gone before the next is put together.
            out.columns = {name: np.concatenate(self._kept.pop(name)) for name in self._names}
        elif self._window is not None and self._seen[0] <= self._seen[1]:
            low, high = self._window.low, self._window.high
            bounds = [f"{word} {end:g}" for word, end in (("from", low), ("to", high)) if end is not None]
            found = f"no row lies {' '.join(bounds)} of “{self._window.column}”"
            needed = f"a window within {self._seen[0]:g} to {self._seen[1]:g} is needed"
            out.problems.append(problem("series-empty", path, 1, 0, found, needed))
        else:
            found = "there is no row below the names"
            out.problems.append(problem("series-empty", path, 1, 0, found, "at least one is needed"))


def _fill(
    file: BinaryIO,
    path: str,
    chosen: Mapping[str, tuple[int, float]],
    width: int,
    into: Filling,
    problems: list[Problem],
) -> None:
    import numpy as np

    names, line = list(chosen), 2
    while True:
        rows = [text for text in (file.readline() for _ in range(PIECE)) if text]
        if not rows:
            break
        solid = [row for row in rows if row.strip()]
        if not solid:
            line += len(rows)
            continue
        try:
            places = [chosen[name][0] for name in names]
            piece = np.loadtxt(
                solid, delimiter=",", comments=None, usecols=places, ndmin=2, quotechar='"',
                encoding="utf-8",
            )  # fmt: skip
            sound = bool(np.isfinite(piece).all()) and all(_width(row) == width for row in solid)
        except (ValueError, IndexError):
            sound = False
        if not sound:
            before = len(problems)
            _locate(rows, path, line, chosen, width, problems)
            if len(problems) == before:
                found = f"a row from here to line {line + len(rows) - 1} does not read as numbers"
                problems.append(problem("series-not-a-number", path, line, 0, found, "numbers are needed"))
        if not problems:
            into.take({name: piece[:, at] * chosen[name][1] for at, name in enumerate(names)})
        line += len(rows)


def _locate(
    rows: Sequence[bytes],
    path: str,
    first: int,
    chosen: Mapping[str, tuple[int, float]],
    width: int,
    problems: list[Problem],
) -> None:
    for number, raw in enumerate(rows, start=first):
        if len(problems) > LISTED:
            return
        text = raw.decode("utf-8", "replace").rstrip("\r\n")
        if not text.strip():
            continue
        cells = _split(text)
        if len(cells) != width:
            found = f"{len(cells)} cells in a row of {width}"
            problems.append(problem("series-not-a-number", path, number, 0, found, "one cell for each name is needed"))
            continue
        for name, (place, _) in chosen.items():
            read = read_decimal(cells[place].strip())
            if isinstance(read, Fault):
                column = sum(len(cell) + 1 for cell in cells[:place]) + 1
                problems.append(
                    problem(
                        "series-not-a-number", path, number, column, f"“{name}”: {read.found}", "a number is needed"
                    )
                )
