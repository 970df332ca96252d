"""Long series of numbers: units, places of what is wrong, and that nothing is passed over."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.intake import Window, read_series

WANTED = {"time": "s", "voltage": "V"}


def _read(tmp_path: Path, text: str | bytes) -> tuple[dict[str, list[float]], list[str]]:
    path = tmp_path / "shock.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    found = read_series(path, "shock.csv", WANTED)
    return {name: list(values) for name, values in found.columns.items()}, [one.headline() for one in found.problems]


def test_units_are_converted_and_other_columns_left_alone(tmp_path: Path) -> None:
    columns, problems = _read(tmp_path, "﻿note,time [ms],voltage [kV]\r\nx,0,0\r\n,0.5,1.25\r\n\r\n,1,2e-1")
    assert problems == []
    assert columns == {"time": [0.0, 0.0005, 0.001], "voltage": [0.0, 1250.0, 200.0]}


@pytest.mark.parametrize(
    ("head", "said"),
    [
        ("time [ms],volts [V]", "there is no column “voltage”"),
        ("t,v", "there is no column “time” and no column “voltage” among “t”, “v”;"),
        ("time (ms),voltage (V)", "among “time (ms)”, “voltage (V)”;"),
        ("time [ms],voltage", "“voltage” bears no unit"),
        ("time [ms],voltage [kv]", "no unit “kv” is known; perhaps kV is meant"),
        ("time [ms],voltage [mA]", "“voltage” bears mA, a unit of electric current"),
        ("time [ms],time [s],voltage [V]", "there are two columns “time”"),
    ],
)
def test_a_first_row_that_does_not_say_enough(tmp_path: Path, head: str, said: str) -> None:
    columns, problems = _read(tmp_path, f"{head}\n0,1,2\n")
    assert columns == {}
    assert [one for one in problems if said in one and one.startswith("shock.csv:1 reject series-column-missing")]


def test_every_cell_that_is_no_number_is_named_with_its_place(tmp_path: Path) -> None:
    columns, problems = _read(tmp_path, 'time [s],voltage [V]\n0,1\n1,"x"\n2\n3,nan\n4,1,5\n5,0\n')
    assert columns == {}
    assert [one.split(" ")[0] for one in problems] == ["shock.csv:3:3", "shock.csv:4", "shock.csv:5:3", "shock.csv:6"]


def test_a_cell_that_only_a_lenient_reader_takes_is_refused(tmp_path: Path) -> None:
    assert _read(tmp_path, "time [s],voltage [V]\n0,1\n1,inf\n")[0] == {}
    assert _read(tmp_path, "time [s],voltage [V]\n0,1_0\n")[0] == {}
    assert _read(tmp_path, "time [s],voltage [V]\n0,1;2\n")[1] != []


def test_nothing_below_the_names(tmp_path: Path) -> None:
    assert "there is no row below the names" in _read(tmp_path, "time [s],voltage [V]\n\n")[1][0]
    assert "no text in UTF-8" in _read(tmp_path, b"\xff\xfet\n")[1][0]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "time [s];voltage [V]\n0,5;1\n",
            "shock.csv:1 reject series-not-commas — the first row parts its names with semi",
        ),
        (
            "time [s]\tvoltage [V]\n0\t1\n",
            "shock.csv:1 reject series-not-commas — the first row parts its names with tabs",
        ),
        ("", "shock.csv reject series-empty — the file is empty;"),
        ("\n0,1\n", "shock.csv:1 reject series-empty — the first row is empty;"),
    ],
)
def test_what_other_programs_write_is_named_and_not_taken_apart(tmp_path: Path, text: str, said: str) -> None:
    columns, (only,) = _read(tmp_path, text)
    assert columns == {} and only.startswith(said)


def test_a_window_beside_the_rows_says_where_they_lie_and_in_which_unit(tmp_path: Path) -> None:
    path = tmp_path / "shock.csv"
    path.write_text("time [ms],voltage [V]\n0,1\n20,2\n")
    (only,) = read_series(path, "shock.csv", WANTED, Window("time", 0.5, None)).problems
    assert only.found == "“time” has no row from 0.5\u00a0s"
    assert only.needed == "a window within 0\u00a0s to 0.02\u00a0s is needed"


def test_a_rubbish_file_is_listed_in_part(tmp_path: Path) -> None:
    problems = _read(tmp_path, "time [s],voltage [V]\n" + "x,y\n" * 500)[1]
    assert len(problems) == 20


def test_a_series_longer_than_one_piece(tmp_path: Path) -> None:
    rows = 250_001
    path = tmp_path / "long.csv"
    path.write_text("time [s],voltage [V]\n" + "".join(f"{n},{n % 7}\n" for n in range(rows)))
    found = read_series(path, "long.csv", WANTED)
    assert not found.problems
    assert found.columns["time"].tolist() == list(range(rows))
    path.write_text(path.read_text() + "oops,1\n")
    assert [str(one.span) for one in read_series(path, "long.csv", WANTED).problems] == [f"long.csv:{rows + 2}:1"]


def test_words_in_quotes_may_hold_commas_and_numbers_beside_them_are_still_placed(tmp_path: Path) -> None:
    file = tmp_path / "steps.csv"
    file.write_text('socket,hazard [mA],device\n1,0.2,"a pump, the second"\n6,"6.0","warmer, last"\n', "utf-8")
    made = read_series(file, "steps.csv", {"hazard": "mA"})
    assert not made.problems and list(made.columns["hazard"]) == [0.2, 6.0]
    file.write_text('socket,hazard [mA],device\n1,0.2,"a pump, the second",\n6,six,"warmer, last"\n', "utf-8")
    found = read_series(file, "steps.csv", {"hazard": "mA"}).problems
    assert [(one.span.line, one.span.column) for one in found] == [(2, 0), (3, 3)]
    assert found[0].found == "4 cells in a row of 3"
