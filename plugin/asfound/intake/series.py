"""Long series of numbers in a CSV or Parquet file: sampled voltages, flows, logged temperatures.

In CSV a first row of names with units in square brackets, as in readings, and numbers below. Read into arrays of
doubles of exactly the length needed, in pieces, so that ten million samples do not need more than themselves. Where a
piece does not read as numbers it is read again, cell by cell, to say where. Of a window only what lies in it is kept,
so that a stretch of a file of any length can be had. Which of the two a file is is told by its first bytes.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from asfound.intake.series_parts import LISTED, Filling, Series, Window, choose, named, problem
from asfound.model.number import Fault, read_decimal
from asfound.problems import Problem

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Values = NDArray[np.float64]

PIECE = 1 << 14
OTHERS = {";": "semicolons", "\t": "tabs", "|": "bars"}
"""What other programs put between cells, and how it is called."""


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
            needed = "a text in UTF-8, with commas between its cells, is needed"
            out.problems.append(problem("series-not-commas", name, 1, 0, "the first row is no text in UTF-8", needed))
            return out
        if not any(cells):
            found = "the first row is empty" if head else "the file is empty"
            out.problems.append(problem("series-empty", name, 1 if head else 0, 0, found, wanted))
            return out
        other = next((word for sign, word in OTHERS.items() if len(cells) == 1 and sign in cells[0]), None)
        if other is not None and len(wanted) > 1:
            found = f"the first row parts its names with {other}"
            out.problems.append(problem("series-not-commas", name, 1, 0, found, "commas between cells are needed"))
            return out
        chosen = choose([named(cell) for cell in cells], name, wanted, out.problems)
        if out.problems:
            return out
        into = Filling(list(chosen), 0 if aside else _lines(file), window, aside)
        _fill(file, name, chosen, len(cells), into, out.problems)
        into.finish(name, out, wanted)
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
        rows = list(islice(file, PIECE))
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
