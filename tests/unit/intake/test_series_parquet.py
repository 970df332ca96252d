"""Long series in Parquet files: the same answers as from CSV, units by name or metadata, every fault with its row."""

from __future__ import annotations

import sys
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.intake import Window, read_series

WANTED = {"time": "s", "voltage": "V"}


def _write(path: Path, columns: dict[str, Any], units: dict[str, str] | None = None, **options: Any) -> Path:
    arrays = [value if isinstance(value, pa.Array) else pa.array(value) for value in columns.values()]
    fields = [
        pa.field(name, array.type, metadata={"unit": units[name]} if units and name in units else None)
        for name, array in zip(columns, arrays, strict=True)
    ]
    pq.write_table(pa.Table.from_arrays(arrays, schema=pa.schema(fields)), path, **options)
    return path


def _read(path: Path, window: Window | None = None) -> tuple[dict[str, list[float]], list[str]]:
    found = read_series(path, path.name, WANTED, window)
    return {name: values.tolist() for name, values in found.columns.items()}, [one.headline() for one in found.problems]


def test_units_by_name_and_by_metadata(tmp_path: Path) -> None:
    want = {"time": [0.0, 0.0005, 0.001], "voltage": [0.0, 1250.0, 200.0]}
    columns = {"note": ["x", "", "y"], "time [ms]": [0, 0.5, 1], "voltage [kV]": [0, 1.25, 0.2]}
    assert _read(_write(tmp_path / "a.parquet", columns)) == (want, [])
    columns = {"voltage": [0, 1.25, 0.2], "time": [0, 0.5, 1]}
    assert _read(_write(tmp_path / "b.parquet", columns, {"time": "ms", "voltage": "kV"})) == (want, [])


@given(st.lists(st.tuples(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6)), min_size=1, max_size=60), st.integers(1, 20))
@settings(max_examples=25, deadline=None)
def test_the_same_numbers_as_from_csv(
    tmp_path_factory: pytest.TempPathFactory, rows: list[tuple[float, float]], group: int
) -> None:
    """What pyarrow wrote, in row groups of any size, against the same numbers as text."""
    folder = tmp_path_factory.mktemp("series")
    text = "time [s],voltage [V]\n" + "".join(f"{a!r},{b!r}\n" for a, b in rows)
    (folder / "a.csv").write_text(text)
    one = {"time [s]": [a for a, _ in rows], "voltage [V]": [b for _, b in rows]}
    _write(folder / "a.parquet", one, row_group_size=group)
    assert _read(folder / "a.parquet") == _read(folder / "a.csv")


@pytest.mark.parametrize("kind", [pa.float32(), pa.int16(), pa.uint64(), pa.decimal128(10, 2)])
def test_kinds_of_numbers(tmp_path: Path, kind: pa.DataType) -> None:
    made = pa.array([Decimal(n) for n in (0, 3, 250)] if pa.types.is_decimal(kind) else [0, 3, 250], kind)
    path = _write(tmp_path / "a.parquet", {"time [s]": made, "voltage [V]": made})
    assert _read(path)[0]["voltage"] == [0.0, 3.0, 250.0]


@pytest.mark.parametrize(
    ("columns", "units", "said"),
    [
        ({"time [ms]": [1]}, {}, "there is no column “voltage”"),
        ({"time": [1], "voltage [V]": [1]}, {}, "“time” bears no unit"),
        ({"time [ms]": [1], "voltage [V]": [1]}, {"time [ms]": "s"}, "“time” says ms and its metadata s"),
        ({"time [ms]": [1], "voltage [V]": ["1"]}, {}, "“voltage” is of the type string"),
        ({"time [ms]": [1], "voltage": [1]}, {"voltage": "kv"}, "no unit “kv” is known; perhaps kV is meant"),
        ({"time [s]": [1.0, None], "voltage [V]": [1, 2]}, {}, "“time” in row 2 is empty"),
        ({"time [s]": [1.0, 2], "voltage [V]": [1, float("nan")]}, {}, "“voltage” in row 2 is not a finite number"),
        ({"time [s]": [], "voltage [V]": []}, {}, "no row below the names"),
    ],
)
def test_what_is_wrong_is_said_of_the_file(
    tmp_path: Path, columns: dict[str, Any], units: dict[str, str], said: str
) -> None:
    made = {name: value if value else pa.array([], pa.float64()) for name, value in columns.items()}
    found, problems = _read(_write(tmp_path / "a.parquet", made, units))
    assert found == {}
    assert any(said in one and one.startswith("a.parquet reject series-") for one in problems), problems


def test_the_row_of_a_fault_in_a_later_batch(tmp_path: Path) -> None:
    v = np.zeros(200_001)
    v[150_000] = np.inf
    path = _write(tmp_path / "a.parquet", {"time [s]": np.arange(200_001.0), "voltage [V]": v}, row_group_size=40_000)
    assert [one.split(" — ")[1].split(";")[0] for one in _read(path)[1]] == [
        "“voltage” in row 150001 is not a finite number"
    ]


def test_a_rubbish_file_is_listed_in_part(tmp_path: Path) -> None:
    v = np.full(500, np.nan)
    assert len(_read(_write(tmp_path / "a.parquet", {"time [s]": v, "voltage [V]": v}))[1]) == 20


@pytest.mark.parametrize("keep", [4, 5, 60, -1, -200])
def test_a_file_that_is_cut_or_overwritten_is_said_to_be_unreadable(tmp_path: Path, keep: int) -> None:
    path = _write(tmp_path / "a.parquet", {"time [s]": np.arange(5000.0), "voltage [V]": np.arange(5000.0)})
    path.write_bytes(path.read_bytes()[:keep])
    found, problems = _read(path)
    assert found == {} and "series-unreadable" in problems[0] and str(tmp_path) not in problems[0]


def test_bytes_changed_within_never_make_a_traceback(tmp_path: Path) -> None:
    path = _write(tmp_path / "a.parquet", {"time [s]": np.arange(500.0), "voltage [V]": np.arange(500.0)})
    whole = path.read_bytes()
    rng = np.random.default_rng(3)
    for place in rng.integers(4, len(whole), 150).tolist():
        path.write_bytes(whole[:place] + bytes([whole[place] ^ 0xFF]) + whole[place + 1 :])
        found, problems = _read(path)
        assert found or problems


def test_without_its_reader_the_message_says_how_to_get_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = _write(tmp_path / "a.parquet", {"time [s]": [1.0], "voltage [V]": [1.0]})
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    found, problems = _read(path)
    assert found == {}
    assert problems == [
        "a.parquet reject series-unreadable — this is a Parquet table, and its reader (pyarrow) is not installed; "
        'the reader is needed: pip install "asfound[table]".'
    ]


# --- windows, of both kinds of file


def _both(tmp_path: Path, rows: int) -> list[Path]:
    t = np.arange(float(rows))
    text = "time [s],voltage [V]\n" + "".join(f"{n},{n % 7}\n" for n in range(rows))
    (tmp_path / "a.csv").write_text(text)
    return [tmp_path / "a.csv", _write(tmp_path / "a.parquet", {"time [s]": t, "voltage [V]": t % 7})]


@given(st.floats(-10, 310), st.floats(-10, 310))
@settings(max_examples=30, deadline=None)
def test_a_window_keeps_what_lies_in_it(tmp_path_factory: pytest.TempPathFactory, low: float, high: float) -> None:
    """numpy's own comparison as oracle."""
    for path in _both(tmp_path_factory.mktemp("w"), 300):
        found, problems = _read(path, Window("time", low, high))
        t = np.arange(300.0)
        kept = t[(t >= low) & (t <= high)]
        if kept.size:
            assert (found["time"], found["voltage"], problems) == (kept.tolist(), (kept % 7).tolist(), [])
        else:
            assert (
                found == {}
                and "“time” has no row from" in problems[0]
                and "within 0\u00a0s to 299\u00a0s is" in problems[0]
            )


def test_a_window_with_one_end_and_on_another_column(tmp_path: Path) -> None:
    for path in _both(tmp_path, 250_000):
        assert _read(path, Window("time", low=249_998.0))[0]["time"] == [249_998.0, 249_999.0]
        found = _read(path, Window("voltage", high=0.0))[0]
        assert found["time"] == list(range(0, 250_000, 7)) and set(found["voltage"]) == {0.0}


def test_a_fault_outside_the_window_is_told_all_the_same(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("time [s],voltage [V]\n1,1\n2,x\n")
    assert "a.csv:3:3" in _read(path, Window("time", high=1.0))[1][0]


def test_a_window_on_a_column_that_is_not_wanted_is_a_fault_of_ours(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="not among"):
        read_series(_both(tmp_path, 3)[0], "a.csv", WANTED, Window("flow"))
