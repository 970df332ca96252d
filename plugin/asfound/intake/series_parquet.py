"""Long series of numbers in a Parquet file, a batch of a row group at a time.

A column's unit stands in its name, as in `voltage [V]`, or in its own metadata under the key `unit`; where it stands in
both they must be the same. Integers and numbers with a point are read; decimals are taken to the nearest double. The
reader comes with the extra `table` and is imported only where a file asks for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any, BinaryIO

from asfound.intake.series_parts import LISTED, Filling, Series, Window, choose, named, problem
from asfound.problems import Problem

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Values = NDArray[np.float64]

BATCH = 1 << 16
"""Rows taken at a time."""
EXTRA = 'pip install "asfound[table]"'


def read_parquet(
    file: BinaryIO, path: str, wanted: Mapping[str, str], window: Window | None, out: Series, aside: bool = False
) -> None:
    """Read an open file into `out`, held whole or put `aside`. `path` is how it is called in messages; rows count from
    1."""
    try:
        from pyarrow import ArrowException
        from pyarrow.parquet import ParquetFile
    except ImportError:
        found = "this is a Parquet table, and its reader (pyarrow) is not installed"
        out.problems.append(problem("series-unreadable", path, 0, 0, found, f"the reader is needed: {EXTRA}"))
        return
    try:
        # Pages are read as they are needed, and a column chunk is not held whole.
        table = ParquetFile(file, buffer_size=1 << 20, pre_buffer=False)
        fields = list(table.schema_arrow)
        cells = [_cell(field, path, out.problems) for field in fields]
        chosen = choose(cells, path, wanted, out.problems)
        out.problems[:] = [_of_file(one) for one in out.problems]
        if not out.problems:
            _types({name: fields[place] for name, (place, _) in chosen.items()}, path, out.problems)
        if out.problems:
            return
        into = Filling(list(chosen), 0 if aside else table.metadata.num_rows, window, aside)
        titles = {name: fields[place].name for name, (place, _) in chosen.items()}
        first = 1
        for batch in table.iter_batches(batch_size=BATCH, columns=list(titles.values()), use_threads=False):
            piece = {
                name: _values(batch.column(batch.schema.get_field_index(title)), name, path, first, out.problems)
                for name, title in titles.items()
            }
            if len(out.problems) > LISTED:
                break
            if not out.problems:
                into.take({name: values * chosen[name][1] for name, values in piece.items()})
            first += batch.num_rows
        if not out.problems and first - 1 != table.metadata.num_rows:
            raise ValueError(f"{first - 1} rows are there and {table.metadata.num_rows} announced")
        into.finish(path, out, wanted)
        out.problems[:] = [_of_file(one) for one in out.problems]
    except (ArrowException, OSError, ValueError, OverflowError, MemoryError) as error:
        # Whatever the reader trips over in bytes that are no whole table: a name that is no text, an impossible length.
        said = str(error).splitlines()[0].rstrip(".") if str(error) else "no reason given"
        found = f"this Parquet table cannot be read ({said})"
        out.columns = {}
        out.problems.append(problem("series-unreadable", path, 0, 0, found, "a whole Parquet file is needed"))


def _of_file(one: Problem) -> Problem:
    """A Parquet file has no lines: the place is the file, and a row is named in the words."""
    from dataclasses import replace

    return replace(one, span=replace(one.span, line=0, column=0))


def _cell(field: Any, path: str, problems: list[Problem]) -> tuple[str, str]:
    """Name and unit of a column."""
    name, symbol = named(field.name)
    meta = (field.metadata or {}).get(b"unit", b"").decode("utf-8", "replace").strip()
    if symbol and meta and symbol != meta:
        found = f"the name of “{name}” says {symbol} and its metadata {meta}"
        problems.append(problem("series-column-missing", path, 0, 0, found, "one unit for a column is needed"))
    return name, symbol or meta


def _types(fields: Mapping[str, Any], path: str, problems: list[Problem]) -> None:
    from pyarrow import types

    for name, field in fields.items():
        kind = field.type
        if not (types.is_integer(kind) or types.is_floating(kind) or types.is_decimal(kind)):
            found = f"“{name}” is of the type {kind}"
            problems.append(problem("series-not-a-number", path, 0, 0, found, "a column of numbers is needed"))
    titles = [field.name for field in fields.values()]
    for title in dict.fromkeys(one for one in titles if titles.count(one) > 1):
        problems.append(
            problem("series-column-missing", path, 0, 0, f"there are two columns “{title}”", "one is needed")
        )  # fmt: skip


def _values(column: Any, name: str, path: str, first: int, problems: list[Problem]) -> Values:
    """A batch of a column as doubles, and each row that is no number."""
    import numpy as np

    values: Values = np.asarray(column.cast("float64", safe=False).to_numpy(zero_copy_only=False), dtype=np.float64)
    for row, said in _bad(column, values):
        if len(problems) > LISTED:
            break
        found = f"“{name}” in row {first + row} {said}"
        problems.append(problem("series-not-a-number", path, 0, 0, found, "a number is needed"))
    return values


def _bad(column: Any, values: Values) -> Iterator[tuple[int, str]]:
    import numpy as np

    sound = np.isfinite(values)
    if bool(sound.all()):
        return
    empty = np.asarray(column.is_null())
    for row in np.flatnonzero(~sound).tolist():
        yield row, "is empty" if empty[row] else "is not a finite number"
