"""What the chapter on formats says of each table is what stock readers find in the files that the command writes.

Outside: pyarrow's reader and DuckDB's read the files; the readings are counted and compared from the CSV files by
Python's own csv module, not by this program's reader. `confirmed`, by running them.
"""

from __future__ import annotations

import csv
import importlib
import re
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from tests.unit.cli.support import apart, repository

ROOT = Path(__file__).parents[3]
CASE = "no-shock"

ARROW = {
    "text": "string",
    "list of text": "list<element: string>",
    "whole number": "int64",
    "number (double)": "double",
    "yes or no": "bool",
    "date": "date32[day]",
    "time in UTC, microseconds": "timestamp[us, tz=UTC]",
    "map of text to text": "map<string, string>",
}
"""What the chapter calls a type, and what Arrow does."""


DUCK = {
    "text": "VARCHAR",
    "list of text": "VARCHAR[]",
    "whole number": "BIGINT",
    "number (double)": "DOUBLE",
    "yes or no": "BOOLEAN",
    "date": "DATE",
    "time in UTC, microseconds": "TIMESTAMP WITH TIME ZONE",
    "map of text to text": "MAP(VARCHAR, VARCHAR)",
}
"""The same, and what DuckDB does."""


@dataclass
class Chapter(HTMLParser):
    """The cells of each table that stands under the heading of a Parquet file."""

    tables: dict[str, list[list[str]]] = field(default_factory=dict)
    name: str = ""
    heading: bool = False
    row: list[str] | None = None
    cell: list[str] | None = None

    def __post_init__(self) -> None:
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        anchor = dict(attrs).get("id") or ""
        if tag in {"h1", "h2", "h3"}:
            self.name, self.heading = "", anchor.startswith("parquet-")
        elif self.name and tag == "tr":
            self.row = []
        elif self.row is not None and tag in {"td", "th"}:
            self.cell = []

    def handle_endtag(self, tag: str) -> None:
        if tag == "h3":
            self.heading = False
        elif tag in {"td", "th"} and self.row is not None and self.cell is not None:
            self.row.append("".join(self.cell))
            self.cell = None
        elif tag == "tr" and self.row is not None:
            self.tables.setdefault(self.name, []).append(self.row)
            self.row = None

    def handle_data(self, data: str) -> None:
        if self.heading:
            self.name += data
        if self.cell is not None:
            self.cell.append(data)


@pytest.fixture(scope="module")
def chapter(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[list[str]]]:
    """Name of the file → rows of column, type and meaning, as the page shows them."""
    home = tmp_path_factory.mktemp("one")
    done = apart(repository(home / "docket"), "render", str(home / "out"), "--on", "2026-05-05")
    assert done.code == 0, done.err
    read = Chapter()
    read.feed((home / "out/formats/index.md").read_text("utf-8"))
    return read.tables


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that the command wrote for one case of the demonstration."""
    home = tmp_path_factory.mktemp("tables") / "out"
    done = apart(ROOT, "table", CASE, "--out", str(home), "--on", "2026-03-20")
    assert done.code == 0, done.err
    return home


def test_the_chapter_names_the_files_that_are_written_and_no_others(
    chapter: dict[str, list[list[str]]], written: Path
) -> None:
    assert sorted(chapter) == sorted(one.name for one in written.iterdir()) and len(chapter) == 9
    assert all(rows[0] == ["Column", "Holds", "Meaning"] and len(rows) > 3 for rows in chapter.values())


def arrow(kind: Any) -> str:
    """A type as Arrow writes it; what a list or a map calls its insides is each writer's own."""
    if importlib.import_module("pyarrow.types").is_map(kind):
        return f"map<{kind.key_type}, {kind.item_type}>"
    return str(kind).replace("<item:", "<element:")


def test_pyarrow_reads_the_columns_the_chapter_names_in_its_order_with_its_types_and_meanings(
    chapter: dict[str, list[list[str]]], written: Path
) -> None:
    parquet = importlib.import_module("pyarrow.parquet")
    used = set()
    for name, (_, *rows) in chapter.items():
        schema = parquet.read_schema(written / name)
        found = [(one.name, arrow(one.type), one.metadata[b"meaning"]) for one in schema]
        assert found == [(column, ARROW[kind], meaning.encode()) for column, kind, meaning in rows], name
        used |= {kind for _, kind, _ in rows}
    assert used == set(ARROW)


def test_duckdb_reads_the_same_columns_and_types(chapter: dict[str, list[list[str]]], written: Path) -> None:
    duckdb = pytest.importorskip("duckdb")
    with duckdb.connect() as base:
        for name, (_, *rows) in chapter.items():
            found = base.execute("describe select * from read_parquet(?)", [str(written / name)]).fetchall()
            assert [one[:2] for one in found] == [(column, DUCK[kind]) for column, kind, _ in rows], name


def typed() -> dict[tuple[str, str], dict[str, str]]:
    """File and row → the cells of every reading of the case, by Python's csv module."""
    found = {}
    for file in sorted((ROOT / "cases" / CASE / "readings").glob("*.csv")):
        with file.open(encoding="utf-8-sig", newline="") as lines:
            for cells in csv.DictReader(lines):
                found[file.relative_to(ROOT).as_posix(), cells["row"]] = cells
    return found


def test_the_numbers_are_those_typed_in_the_sheets(written: Path) -> None:
    parquet = importlib.import_module("pyarrow.parquet")
    rows = {(one["file"], one["row"]): one for one in parquet.read_table(written / "readings.parquet").to_pylist()}
    cells = typed()
    assert rows.keys() == cells.keys() and len(rows) > 50
    numbers = 0
    for place, one in rows.items():
        ((header, value),) = [(head, cell) for head, cell in cells[place].items() if head.split(" [")[0] == "value"]
        unit = re.search(r"\[(.*)\]", header)
        assert (one["typed"], one["unit"]) == (value, (unit and unit[1]) or cells[place].get("unit") or None), place
        try:
            exact = Decimal(value)
        except InvalidOperation:
            continue
        assert (one["kind"], Decimal(one["exact"]), one["value"]) == ("number", exact, float(value)), place
        numbers += 1
    assert numbers > 30
    assert (written / "readings.parquet").read_bytes()[:4] == b"PAR1"


def test_duckdb_adds_the_numbers_to_the_sum_of_the_sheets(written: Path) -> None:
    duckdb = pytest.importorskip("duckdb")
    query = "select file, sum(cast(exact as decimal(38, 12))) from read_parquet(?) where kind = 'number' group by file"
    sums: dict[str, Decimal] = {}
    for (file, _), cells in typed().items():
        value = next(cell for head, cell in cells.items() if head.split(" [")[0] == "value")
        try:
            sums[file] = sums.get(file, Decimal(0)) + Decimal(value)
        except InvalidOperation:
            continue
    with duckdb.connect() as base:
        found = dict(base.execute(query, [str(written / "readings.parquet")]).fetchall())
    assert found == sums and len(sums) > 5
