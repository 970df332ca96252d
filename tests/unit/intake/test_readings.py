"""The short road of sound readings: it builds what the constructor builds, shares what repeats, and stays small.

How long it takes is measured apart, in tests/bench, as a ratio of one run: a clock in a test of every day fails for the
neighbours' work.
"""

from __future__ import annotations

import datetime as dt
import gc
import tracemalloc

import pytest

from asfound.intake import SheetRows, read_csv, read_readings
from asfound.model.number import ValueKind
from asfound.model.pause import without_collecting
from asfound.model.work import Reading
from tests.unit.intake.places import rows

MEBIBYTES_A_ROW = 200 / 100_000


def read(text: str) -> SheetRows:
    return read_readings(read_csv("readings/output.csv", text.encode()), "output")


def table(count: int) -> str:
    """Rows as an investigation has them: few combinations of conditions, many values."""
    modes = ("cut", "blend", "coag")
    lines = ["row,port,mode,setting [W],value [W],note\n"]
    lines += [
        f"{n},{n % 2 + 1},{modes[n % 3]},{(n % 12) * 10},{(n * 7919) % 100000 / 1000:.3f},\n"
        for n in range(1, count + 1)
    ]
    return "".join(lines)


def test_a_hundred_thousand_rows_fit_into_200_mebibytes() -> None:
    # A fifth of the rows, held to a fifth of the bound: tracing makes the work twenty times slower.
    count = 20_000
    text = table(count)
    tracemalloc.start()
    try:
        got = read(text)
        peak = tracemalloc.get_traced_memory()[1] / 1_048_576
    finally:
        tracemalloc.stop()
    assert got.sheet is not None and len(got.sheet.rows) == count and not got.problems
    assert peak <= MEBIBYTES_A_ROW * count, f"{peak:.0f} MiB for {count} rows"


def test_the_short_road_builds_what_the_constructor_builds() -> None:
    got = read(
        "row,mode,setting [W],value,unit,at,note,void,repeat_of\n2,cut,90,92.4,W,2026-03-10 13:05 -05:00,n,v,1\n"
    )
    assert got.sheet is not None
    (one,) = got.sheet.rows
    assert one.at is not None and one.at.at == dt.datetime.fromisoformat("2026-03-10T13:05-05:00")
    conditions = {"mode": "cut", "setting": "90"}
    same = Reading("R-output-2", "S-output", "2", 2, one.value, "W", conditions, one.at, "n", "v", "R-output-1")
    assert one == same and type(one) is Reading
    assert (got.sheet.columns, got.sheet.units) == (("mode", "setting"), {"setting": "W"})


def test_every_kind_of_value_comes_through() -> None:
    cells = ["1.10", "<0.5", ">20", "over range", "no output", "alarm yes", "3 of 10", "", '"not measured: gone"']
    got = read("row,value [W]\n" + "".join(f"{n},{cell}\n" for n, cell in enumerate(cells, 1)))
    assert got.sheet is not None and not got.problems
    assert [one.value.kind for one in got.sheet.rows] == [
        ValueKind.NUMBER, ValueKind.BELOW, ValueKind.ABOVE, ValueKind.OVER_RANGE, ValueKind.NO_OUTPUT, ValueKind.YES,
        ValueKind.COUNT, ValueKind.NOT_MEASURED,
    ]  # fmt: skip
    assert [(one.row, one.value.kind) for one in got.sheet.waiting] == [("8", ValueKind.BLANK)]
    assert str(got.sheet.rows[0].value.number) == "1.10"


def test_lines_are_right_where_a_note_spans_several() -> None:
    got = read('row,value [W],note\n1,5,"one\ntwo"\n2,x,\n3,7,"a\n\nb"\n4,8,\n')
    assert got.sheet is not None
    assert {one.id: one.line for one in got.sheet.rows} == {"R-output-1": 2, "R-output-3": 5, "R-output-4": 8}
    assert got.lines == {"R-output-1": 2, "R-output-2": 4, "R-output-3": 5, "R-output-4": 8}
    assert rows(got.problems) == [("value-unreadable", 4, 3)] and got.broken == ["R-output-2"]


def test_one_value_of_two_units_and_one_condition_of_two() -> None:
    got = read("row,setting [W],setting [mW],value [W]\n1,5,6,7\n")
    assert rows(got.problems) == [("unit-twice", 1, 17)]


@pytest.mark.parametrize("header", ["row,mode\n1,cut\n", "mode,value\ncut,1\n"])
def test_without_rows_or_values_there_is_no_sheet(header: str) -> None:
    got = read(header)
    assert got.sheet is None and [row[0] for row in rows(got.problems)] == ["column-missing"]


@pytest.mark.parametrize(
    "text",
    [
        "1,cut,90,92.4\n2,cut,90,92.1\n",
        "1,1,1,1\n2,1,2,1\n",
        "cut,,92.4\ncut,,92.1\n",
        "1,cut,90,92.4,2026-03-10 13:06 -05:00\n",
    ],
)
def test_values_without_a_line_of_names_are_told_once(text: str) -> None:
    table = read_csv("readings/output.csv", text.encode())
    got = read_readings(table, "output")
    assert got.sheet is None and rows(got.problems) == [("csv-no-header", 1, 1)]
    assert rows(table.problems) == []
    assert "Take no value away" in got.problems[0].mend


@pytest.mark.parametrize("text", ["mode,setting\ncut,90\n", "row,1,value\n1,2,3\n", "reading [W]\n5\n"])
def test_a_line_of_other_names_is_no_row_of_values(text: str) -> None:
    assert "csv-no-header" not in {row[0] for row in rows(read(text).problems)}


def test_a_file_of_rubbish_does_not_bury_the_others() -> None:
    got = read("row,value [W]\n" + "".join(f"{n},about\n" for n in range(1, 501)))
    assert len(got.problems) == 20 and len(got.broken) == 500
    assert "480 more places" in got.problems[-1].found


def test_the_collector_runs_again_afterwards_and_stays_off_where_it_was_off() -> None:
    assert gc.isenabled()
    with pytest.raises(RuntimeError), without_collecting():
        assert not gc.isenabled()
        raise RuntimeError
    assert gc.isenabled()
    gc.disable()
    try:
        with without_collecting():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()
