"""Tables as Parquet. The same dossiers and the same version of the writer give the same bytes."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from typing import Any

from asfound.model.dossier import Dossier
from asfound.table.rows import ROWS
from asfound.table.schema import FORMAT, TABLES, Kind, Table


class NoParquet(Exception):
    """The library that writes Parquet is not installed. The text is a sentence."""


def tables(dossiers: Sequence[Dossier]) -> Iterator[tuple[str, bytes]]:
    """Name and bytes of each file. Cases stand by their identity. Raises NoParquet."""
    try:
        import pyarrow
        from pyarrow import parquet
    except ImportError:
        raise NoParquet('Tables are written by pyarrow: pip install "asfound[table]".') from None
    ordered = sorted(dossiers, key=lambda one: (one.id, one.core.case.folder))
    for table in TABLES:
        schema = _schema(table, pyarrow)
        rows = [(one.id, *row) for one in ordered for row in ROWS[table.name](one)]
        columns = list(zip(*rows, strict=True)) if rows else [()] * len(schema)
        arrays = [pyarrow.array(list(held), field.type) for held, field in zip(columns, schema, strict=True)]
        out = io.BytesIO()
        parquet.write_table(pyarrow.Table.from_arrays(arrays, schema=schema), out, compression="zstd", version="2.6")
        yield f"{table.name}.parquet", out.getvalue()


def _schema(table: Table, pyarrow: Any) -> Any:
    text = pyarrow.string()
    kinds = {
        Kind.TEXT: text,
        Kind.LIST: pyarrow.list_(text),
        Kind.WHOLE: pyarrow.int64(),
        Kind.FLOAT: pyarrow.float64(),
        Kind.YES: pyarrow.bool_(),
        Kind.DATE: pyarrow.date32(),
        Kind.TIME: pyarrow.timestamp("us", "UTC"),
        Kind.PAIRS: pyarrow.map_(text, text),
    }
    fields = [pyarrow.field(one.name, kinds[one.kind], metadata={"meaning": one.meaning}) for one in table.columns]
    return pyarrow.schema(fields, metadata={"asfound_table": table.name, "asfound_format": str(FORMAT)})
