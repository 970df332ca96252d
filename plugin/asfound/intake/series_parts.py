"""What both readers of series share: the rules, what was read, windows, the choice of columns, and their filling."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct, field

from asfound.intake.series_spill import Spilled
from asfound.measure.show import short, with_unit
from asfound.measure.units import nearest, unit
from asfound.problems import Entry, Family, Level, Problem, Span

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Values = NDArray[np.float64]

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
        "Name the columns in the first row with their units in square brackets, as in voltage [V]; or say which of "
        "them is meant, with --column voltage=CH1 at the bench and under columns in calculations.yml.",
    ),
    _entry(
        "series-not-commas",
        "The cells of a series are parted by commas, in text of UTF-8.",
        "A comma that parts cells in one program marks decimals in another: 1,5 is one and a half, or 1 and 5.",
        "Save it anew as CSV in UTF-8, with commas between cells and a point in each number; recorders and "
        "spreadsheets set to another language ask for it on saving. Keep the file as it came as well.",
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


class Series(Struct):
    """What was read: a column by its name, in the unit asked for; empty where there are problems.

    Arrays, or what was put aside, where that was asked for.
    """

    columns: Mapping[str, Values] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


class Window(Struct, frozen=True):
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
            said = f"“{name}” bears no unit"
            if symbol and given is not None:
                said = f"“{name}” bears {symbol}, a unit of {given.quantity}"
            problems.append(problem("series-column-missing", path, 1, 0, said, wanted))
        else:
            found[name] = (place, float(given.factor / needed.factor))
    missing = [name for name in wanted if name not in found]
    if missing:
        there = ", ".join(f"“{name}”" for name, _ in cells[:LISTED] if name)
        said = f"there is no column “{'” and no column “'.join(missing)}”" + (f" among {there}" if there else "")
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

    def finish(self, path: str, out: Series, units: Mapping[str, str]) -> None:
        """Put the columns into `out`, or what is wrong with them; `units` are those the columns are wanted in."""
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
            along = self._window.column
            of = unit(units[along]) if units[along] != "1" else None
            ends = {
                word: with_unit(short(end, 6), of) for word, end in (("from", low), ("to", high)) if end is not None
            }
            found = f"“{along}” has no row {' '.join(f'{word} {end}' for word, end in ends.items())}"
            first, last = (with_unit(short(end, 6), of) for end in self._seen)
            needed = f"a window within {first} to {last} is needed"
            out.problems.append(problem("series-empty", path, 1, 0, found, needed))
        else:
            found = "there is no row below the names"
            out.problems.append(problem("series-empty", path, 1, 0, found, "at least one is needed"))
