"""Floor 6: dossiers as tables for other programs, in Parquet. Takes dossiers and nothing else; recomputes nothing."""

from asfound.table.schema import FORMAT, TABLES, Column, Kind, Table, schema_text
from asfound.table.write import NoParquet, tables

__all__ = ["FORMAT", "TABLES", "Column", "Kind", "NoParquet", "Table", "schema_text", "tables"]
