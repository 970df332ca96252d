"""The tables hold what the dossiers hold, read back by other programs' readers."""

from __future__ import annotations

import collections
import datetime as dt
import importlib
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from asfound.assess import assess_cases, find_cases
from asfound.model.dossier import Dossier
from asfound.model.outcome import Outcome
from asfound.table import FORMAT, TABLES, NoParquet, schema_text, tables
from asfound.table.rows import ROWS
from tests.unit.cli.support import Done, run

ROOT = Path(__file__).parents[3]
ON = dt.date(2026, 3, 20)
GOLD = ROOT / "tests/gold/table"


@pytest.fixture(scope="module")
def dossiers() -> list[Dossier]:
    return [one.dossier for one in assess_cases(ROOT, find_cases(ROOT), ON) if one.dossier is not None]


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory, dossiers: list[Dossier]) -> Path:
    home = tmp_path_factory.mktemp("tables")
    for name, data in tables(dossiers):
        (home / name).write_bytes(data)
    return home


def held(place: Path, name: str) -> list[dict[str, Any]]:
    parquet = importlib.import_module("pyarrow.parquet")
    rows: list[dict[str, Any]] = parquet.read_table(place / f"{name}.parquet").to_pylist()
    return rows


def test_in_a_repository_that_was_begun_the_lack_of_cases_is_no_fault(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / ".asfound").mkdir()
    (tmp_path / "cases").mkdir()
    done = run(capsys, monkeypatch, tmp_path, "table", "--out", "tables")
    assert (done.code, done.out) == (0, "") and "asfound new opens one" in done.err
    assert not (tmp_path / "tables").exists()
    (tmp_path / "cases/lost").mkdir()
    assert run(capsys, monkeypatch, tmp_path, "table", "--out", "tables").code == 2


def test_every_table_has_its_file_its_columns_and_their_meanings(place: Path) -> None:
    parquet = importlib.import_module("pyarrow.parquet")
    assert {one.name for one in TABLES} == set(ROWS) and len(list(place.iterdir())) == len(TABLES) == 9
    for table in TABLES:
        schema = parquet.read_schema(place / f"{table.name}.parquet")
        assert schema.names == [one.name for one in table.columns]
        assert [schema.field(one.name).metadata[b"meaning"].decode() for one in table.columns] == [
            one.meaning for one in table.columns
        ]
        assert schema.metadata[b"asfound_format"] == str(FORMAT).encode()


def test_no_row_is_lost_and_each_stands_once(place: Path, dossiers: list[Dossier]) -> None:
    counts = {name: len(held(place, name)) for name in ROWS}
    cores = [one.core for one in dossiers]
    assert counts == {
        "cases": len(cores),
        "items": sum(len(one.case.items) for one in cores),
        "instruments": sum(len(one.instruments) for one in cores),
        "readings": sum(len(one.case.reading) for one in cores),
        "verdicts": sum(len(one.verdicts) for one in cores),
        "results": sum(len(one.results) for one in cores),
        "findings": sum(len(one.case.findings) for one in cores),
        "explanations": sum(len(one.case.explanations) for one in cores),
        "problems": sum(len(one.problems) for one in cores),
    }
    assert min(counts.values()) > 3 and counts["cases"] == 9


def test_failing_verdicts_by_test_are_those_of_the_dossiers(place: Path, dossiers: list[Dossier]) -> None:
    duckdb = pytest.importorskip("duckdb")
    query = "select \"case\", test, count(*) from read_parquet(?) where outcome = 'fail' group by all order by all"
    with duckdb.connect() as base:
        found = base.execute(query, [str(place / "verdicts.parquet")]).fetchall()
    counted = collections.Counter(
        (one.id, each.test) for one in dossiers for each in one.core.verdicts if each.outcome is Outcome.FAIL
    )
    assert counted and found == sorted((*name, count) for name, count in counted.items())


def test_readings_join_their_verdicts_and_instruments(place: Path, dossiers: list[Dossier]) -> None:
    duckdb = pytest.importorskip("duckdb")
    query = """
        select count(*) from read_parquet($1) v join read_parquet($2) r using ("case", reading)
        join read_parquet($3) i on i."case" = r."case" and i.instrument = r.instrument
    """
    with duckdb.connect() as base:
        files = [str(place / f"{name}.parquet") for name in ("verdicts", "readings", "instruments")]
        ((joined,),) = base.execute(query, files).fetchall()
    expected = sum(
        1
        for one in dossiers
        for each in one.core.verdicts
        if each.subject in one.core.case.reading
        and one.core.case.sheets[one.core.case.reading[each.subject].sheet].instrument in one.core.instruments
    )
    assert joined == expected > 100


def test_decimals_are_exact_as_text_and_the_nearest_double_as_number(place: Path, dossiers: list[Dossier]) -> None:
    rows = {(one["case"], one["reading"]): one for one in held(place, "readings")}
    for dossier in dossiers:
        for ref, reading in dossier.core.case.reading.items():
            row, number = rows[dossier.id, ref], reading.value.number
            assert (row["typed"], row["unit"]) == (reading.value.text, reading.unit or None)
            assert row["exact"] == (None if number is None else str(number))
            assert row["value"] == (None if number is None else float(Decimal(row["exact"])))
            assert dict(row["conditions"]) == reading.conditions
    verdicts = held(place, "verdicts")
    assert all(Decimal(one["exact"]) == Decimal(repr(one["value"])) for one in verdicts if one["value"] is not None)
    assert {one["source_status"] for one in verdicts if one["limit"]} >= {"from memory"}


def test_no_table_speaks_of_the_facilitys_own_duties(place: Path, dossiers: list[Dossier]) -> None:
    from asfound.rules import discover

    private = {rule.entry.name for rule in discover() if rule.entry.private}
    assert private and not private & {one["rule"] for one in held(place, "problems")}
    assert not [name for table in TABLES for name in [one.name for one in table.columns] if "dut" in name]


def test_the_same_dossiers_give_the_same_bytes_in_whatever_order(dossiers: list[Dossier]) -> None:
    assert list(tables(dossiers)) == list(tables(dossiers[::-1]))


def test_no_case_gives_tables_without_rows(tmp_path: Path) -> None:
    for name, data in tables([]):
        (tmp_path / name).write_bytes(data)
    assert {len(held(tmp_path, one.name)) for one in TABLES} == {0}


def test_a_column_that_changes_is_noticed() -> None:
    import os

    file = GOLD / "schema.md"
    if os.environ.get("ASFOUND_ACCEPT") == "1":
        file.parent.mkdir(exist_ok=True)
        file.write_text(schema_text(), "utf-8")
    assert file.read_text("utf-8") == schema_text()


def test_another_dossier_gives_other_bytes(dossiers: list[Dossier]) -> None:
    first = dossiers[0]
    core = replace(first.core, verdicts=first.core.verdicts[1:])
    before, after = dict(tables([first])), dict(tables([replace(first, core=core)]))
    assert [name for name in before if before[name] != after[name]] == ["verdicts.parquet"]


@pytest.fixture
def asfound(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Any:
    def go(*arguments: str) -> Done:
        return run(capsys, monkeypatch, ROOT, *arguments)

    return go


def test_the_command_writes_and_says_what_it_did(asfound: Any, tmp_path: Path, place: Path) -> None:
    out = tmp_path / "out"
    done = asfound("table", "--out", str(out), "--on", "2026-03-20")
    assert (done.code, done.out, done.err) == (0, "", f"9 tables of 9 cases in {out}.\n")
    assert {one.name: one.read_bytes() for one in out.iterdir()} == {
        one.name: one.read_bytes() for one in place.iterdir()
    }
    again = asfound("table", "no-shock", "--out", str(out), "--on", "2026-03-20")
    assert again.code == 2 and "holds cases.parquet already" in again.err
    asfound("table", "no-shock", "--out", str(out), "--on", "2026-03-20", "--replace")
    assert [one["case"] for one in held(out, "cases")] == ["no-shock"]


def test_the_command_refuses_what_it_must(asfound: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert asfound("table").code == 2
    assert asfound("table", "--schema").out == schema_text()
    file = tmp_path / "file"
    file.write_text("")
    for out, said in (
        (str(file), "is no folder"),
        (str(tmp_path / "a" / "b"), "there is no folder"),
        (str(ROOT / "cases/no-shock/tables"), "lies in the folder of a case"),
    ):
        done = asfound("table", "--out", out)
        assert done.code == 2 and said in done.err
    assert not (ROOT / "cases/no-shock/tables").exists()
    monkeypatch.setitem(importlib.import_module("sys").modules, "pyarrow", None)
    with pytest.raises(NoParquet, match=r'pip install "asfound\[table\]"'):
        list(tables([]))
