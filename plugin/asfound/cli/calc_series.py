"""`asfound calc NAME --file FILE`: the columns of a calculation out of a file, and the window that is asked for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from msgspec import Struct

from asfound.physics.calc import Calculation, Input
from asfound.physics.saying import read_typed

if TYPE_CHECKING:
    from asfound.intake import Window
    from asfound.problems import Problem


class Asked(Struct, frozen=True):
    """What was typed about a file: its path, `NAME=COLUMN` for columns of another name, the ends of a window, and the
    column that they are about."""

    file: str | None = None
    named: Sequence[str] = ()
    low: str | None = None
    high: str | None = None
    along: str | None = None

    @property
    def more(self) -> bool:
        """Whether anything was typed that has a meaning only with a file."""
        return bool(self.named or self.low is not None or self.high is not None or self.along is not None)

    def said(self) -> str:
        """The file, and what of it was taken, for a report: never the path on this machine."""
        parts = [Path(self.file).name] if self.file else []
        parts += [one.strip() for one in self.named]
        parts += [f"{word} {end}" for word, end in (("from", self.low), ("to", self.high)) if end is not None]
        parts += [f"along {self.along}"] if self.along is not None else []
        return ", ".join(parts)


def rows_of(of: Calculation, asked: Asked) -> tuple[Mapping[str, Any], Sequence[Problem]]:
    """The columns by the names of the calculation, and what is wrong with the file.

    Raises click.UsageError where the file cannot be opened, or a name or an end of the window is none.
    """
    from asfound.intake import Spilled, read_series

    assert asked.file is not None
    names = _names(of, asked.named)
    window = _window(of, asked, names)
    path = Path(asked.file)
    try:
        units = {names[one.name]: one.unit for one in of.columns}
        series = read_series(path, path.name, units, window, of.in_stretches)
    except OSError as error:
        raise click.UsageError(f"{path.name} cannot be read: {error.strerror}.") from None
    if series.problems:
        return {}, series.problems
    if isinstance(series.columns, Spilled):
        return series.columns.named(names), ()
    return {one.name: series.columns[names[one.name]] for one in of.columns}, ()


def _names(of: Calculation, typed: Sequence[str]) -> dict[str, str]:
    """Column of the calculation → column of the file."""
    names = {one.name: one.name for one in of.columns}
    wrong, said = [], set()
    for text in typed:
        name, sign, column = (part.strip() for part in text.partition("="))
        if not sign or name not in names or not column:
            wrong.append(f'--column "{text}": {of.name} reads the columns {", ".join(names)}, as in voltage=CH1')
        elif name in said:
            wrong.append(f"--column names {name} twice")
        else:
            names[name] = column
            said.add(name)
    twice = sorted({one for one in names.values() if list(names.values()).count(one) > 1})
    if twice and not wrong:
        wrong.append(f'the column "{twice[0]}" is meant for two columns of {of.name}')
    if wrong:
        raise click.UsageError("; ".join(wrong) + ".")
    return names


def _window(of: Calculation, asked: Asked, names: Mapping[str, str]) -> Window | None:
    from asfound.intake import Window

    along = of.columns[0].name if asked.along is None else asked.along
    column = next((one for one in of.columns if one.name == along), None)
    if column is None:
        raise click.UsageError(f'--along "{along}": {of.name} reads the columns {", ".join(names)}.')
    if asked.low is None and asked.high is None:
        if asked.along is not None:
            raise click.UsageError("--along is about --from and --to; give one of them.")
        return None
    ends: list[float | None] = []
    for option, text in (("--from", asked.low), ("--to", asked.high)):
        if text is None:
            ends.append(None)
            continue
        read = read_typed(Input(along, "" if column.unit == "1" else column.unit, column.what), text)
        fault = read.fault or ("a doubt has no place here" if read.doubt is not None else "")
        if fault:
            raise click.UsageError(f"{option}: {fault}.")
        assert isinstance(read.value, float)
        ends.append(read.value)
    low, high = ends
    if low is not None and high is not None and low > high:
        raise click.UsageError(f"the window begins at {asked.low} and ends before that, at {asked.high}.")
    return Window(names[along], low, high)
