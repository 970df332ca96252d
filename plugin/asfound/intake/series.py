"""Long series of numbers in a CSV file: sampled voltages, flows, logged temperatures.

A first row of names with units in square brackets, as in readings, and numbers below. Read into arrays of doubles of
exactly the length needed, in pieces, so that ten million samples do not need more than themselves. Where a piece does
not read as numbers it is read again, cell by cell, to say where.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from asfound.measure.units import nearest, unit
from asfound.model.number import Fault, read_decimal
from asfound.problems import Entry, Family, Level, Problem, Span

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Values = NDArray[np.float64]

PIECE = 100_000
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
        "A series holds at least one row of numbers.",
        "Nothing can be computed from nothing.",
        "Check that the file is the one that was meant.",
    ),
)
_BY_NAME = {entry.name: entry for entry in ENTRIES}


@dataclass
class Series:
    """What was read: a column by its name, in the unit asked for; empty where there are problems."""

    columns: dict[str, Values] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


def read_series(path: Path, name: str, wanted: Mapping[str, str]) -> Series:
    """Read a file. `name` is how the file is called in messages; `wanted` maps columns to the units they are wanted
    in.

    Other columns may stand beside them. An empty unit asks for a pure number. Raises OSError where it cannot be
    opened.
    """
    out = Series()
    with path.open("rb") as file:
        head = file.readline()
        try:
            cells = _cells(head.decode("utf-8-sig"))
        except UnicodeDecodeError:
            out.problems.append(
                _problem("series-column-missing", name, 1, 0, "the first row is no text in UTF-8", wanted)
            )
            return out
        chosen = _choose(cells, name, wanted, out.problems)
        if out.problems:
            return out
        start, lines = file.tell(), 0
        last = b"\n"
        for block in iter(lambda: file.read(1 << 20), b""):
            lines += block.count(b"\n")
            last = block[-1:]
        file.seek(start)
        _fill(file, name, lines + (last != b"\n"), chosen, len(cells), out)
    return out


def _cells(line: str) -> list[str]:
    return [cell.strip().strip('"').strip() for cell in line.rstrip("\r\n").split(",")]


def _problem(rule: str, path: str, line: int, column: int, found: str, wanted: Mapping[str, str] | str) -> Problem:
    entry = _BY_NAME[rule]
    if isinstance(wanted, str):
        needed = wanted
    else:
        titles = " and ".join(f"{one} [{symbol}]" if symbol else one for one, symbol in wanted.items())
        needed = f"a first row with {titles} is needed"
    return Problem(rule, entry.level, Span(path, line, column), found, needed, entry.mend)


def _choose(
    cells: Sequence[str], path: str, wanted: Mapping[str, str], problems: list[Problem]
) -> dict[str, tuple[int, float]]:
    """Column → its place and the factor that turns it into the unit wanted."""
    found: dict[str, tuple[int, float]] = {}
    for place, cell in enumerate(cells):
        match = _NAMED.fullmatch(cell)
        name, symbol = (match[1].strip(), match[2].strip()) if match else (cell, "")
        if name not in wanted:
            continue
        if name in found:
            problems.append(_problem("series-column-missing", path, 1, 0, f"there are two columns “{name}”", wanted))
            continue
        given, needed = unit(symbol), unit(wanted[name])
        found[name] = (place, 1.0)
        if symbol and given is None:
            near = nearest(symbol)
            hint = f"; perhaps {near} is meant" if near else ""
            problems.append(_problem("series-column-missing", path, 1, 0, f"no unit “{symbol}” is known{hint}", wanted))
        elif wanted[name] in ("", "1"):
            # A pure number, or one whose unit has no say: it may bear any.
            continue
        elif given is None or needed is None or given.quantity is not needed.quantity:
            said = (
                f"“{name}” bears no unit" if not symbol else f"{symbol} is a unit of {given.quantity}" if given else ""
            )
            problems.append(_problem("series-column-missing", path, 1, 0, said, wanted))
        else:
            found[name] = (place, float(given.factor / needed.factor))
    missing = [name for name in wanted if name not in found]
    if missing:
        said = f"there is no column “{'” and no column “'.join(missing)}”"
        problems.append(_problem("series-column-missing", path, 1, 0, said, wanted))
    return found


def _fill(
    file: BinaryIO, path: str, lines: int, chosen: Mapping[str, tuple[int, float]], width: int, out: Series
) -> None:
    import numpy as np

    names = list(chosen)
    columns = {name: np.empty(lines) for name in names}
    filled, line = 0, 2
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
            sound = bool(np.isfinite(piece).all()) and all(row.count(b",") == width - 1 for row in solid)
        except (ValueError, IndexError):
            sound = False
        if not sound:
            before = len(out.problems)
            _locate(rows, path, line, chosen, width, out.problems)
            if len(out.problems) == before:
                found = f"a row from here to line {line + len(rows) - 1} does not read as numbers"
                out.problems.append(_problem("series-not-a-number", path, line, 0, found, "numbers are needed"))
        if not out.problems:
            for at, name in enumerate(names):
                columns[name][filled : filled + len(piece)] = piece[:, at] * chosen[name][1]
            filled += len(piece)
        line += len(rows)
    if out.problems:
        del out.problems[LISTED:]
        return
    if not filled:
        out.problems.append(
            _problem("series-empty", path, 1, 0, "there is no row below the names", "at least one is needed")
        )
        return
    out.columns = {name: values[:filled] for name, values in columns.items()}


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
        cells = text.split(",")
        if len(cells) != width:
            found = f"{len(cells)} cells in a row of {width}"
            problems.append(_problem("series-not-a-number", path, number, 0, found, "one cell for each name is needed"))
            continue
        for name, (place, _) in chosen.items():
            read = read_decimal(cells[place].strip().strip('"').strip())
            if isinstance(read, Fault):
                column = sum(len(cell) + 1 for cell in cells[:place]) + 1
                problems.append(
                    _problem(
                        "series-not-a-number", path, number, column, f"“{name}”: {read.found}", "a number is needed"
                    )
                )
