"""Cells of one row filled in: every other byte stays, and the cells read as they were meant."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.desk import Differs, Refused, add_column, fill_cells
from asfound.intake import read_csv

from .test_csv_append import CELLS, TABLES


def _rows(data: bytes) -> list[list[str]]:
    # The standard library's reader of RFC 4180 is the outside check of what was written.
    return [row for row in csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")) if row]


@given(
    st.sampled_from(TABLES),
    st.sampled_from(["", "crlf", "bom", "open", "blank", "crlf open bom", "crlf blank"]),
    st.data(),
)
@settings(max_examples=200, deadline=None)
def test_every_other_byte_stays_and_the_cells_read_as_meant(path: Path, how: str, data: st.DataObject) -> None:
    old = path.read_bytes()
    old = old.rstrip(b"\n") if "open" in how else old + b"\n\n" if "blank" in how else old
    old = old.replace(b"\n", b"\r\n") if "crlf" in how else old
    old = b"\xef\xbb\xbf" + old if "bom" in how else old
    table = read_csv("t.csv", old)
    row = data.draw(st.integers(0, len(table.rows) - 1))
    names = data.draw(st.lists(st.sampled_from(table.header[1:]), min_size=1, max_size=3, unique=True))
    cells = {name: data.draw(CELLS) for name in names}
    try:
        made = fill_cells("t.csv", old, (table.header[0], table.rows[row][0]), cells)
    except Refused as refused:
        assert refused.problems, refused
        return
    before, there = _rows(old), _rows(made.data)
    for name, text in cells.items():
        assert made.before[name] == before[row + 1][table.header.index(name)]
        before[row + 1][table.header.index(name)] = text
    assert there == before
    # Outside the lines of that row nothing differs.
    line = table.line_of(row)
    assert made.line == line
    ends = b"\r\n" if "crlf" in how else b"\n"
    assert made.data.split(ends)[: line - 1] == old.split(ends)[: line - 1]
    after = len(old.split(ends)) - line - sum(cell.count("\n") for cell in table.rows[row])
    if after:
        assert made.data.split(ends)[-after:] == old.split(ends)[-after:]
    assert made.data.startswith(b"\xef\xbb\xbf") == ("bom" in how)
    # Put back as it was, a row without needless quotes is byte for byte the old one.
    again = fill_cells("t.csv", made.data, (table.header[0], table.rows[row][0]), made.before)
    assert _rows(again.data) == _rows(old)


def test_quotes_of_other_cells_and_spaces_stay() -> None:
    old = b'\xef\xbb\xbfrow,value [W],note\r\n1,,"a ""b"", c"\r\n"2","",  x \r\n3,7,"two\r\nlines"'
    made = fill_cells("t.csv", old, ("row", "2"), {"value [W]": "88.4"}, {"value [W]": ""})
    assert made.data == b'\xef\xbb\xbfrow,value [W],note\r\n1,,"a ""b"", c"\r\n"2",88.4,  x \r\n3,7,"two\r\nlines"'
    made = fill_cells("t.csv", made.data, ("row", "3"), {"value [W]": "8", "note": "p, q"})
    assert made.data.endswith(b'\r\n3,8,"p, q"') and made.before == {"value [W]": "7", "note": "two\r\nlines"}


def test_a_cell_that_somebody_else_filled_is_not_written_over() -> None:
    with pytest.raises(Differs, match="holds “5” under value by now") as told:
        fill_cells("t.csv", b"row,value\n1,5\n", ("row", "1"), {"value": "6"}, {"value": ""})
    assert told.value.there == {"row": "1", "value": "5"}


@pytest.mark.parametrize(
    ("data", "key", "cells", "said"),
    [
        (b"row,value\n1,\n1,\n", "1", {"value": "2"}, "has 2 rows “1” under row"),
        (b"row,value\n1,\n", "4", {"value": "2"}, "has no row “4” under row"),
        (b"row,value\n1,\n", "1", {"valeu": "2"}, "has no column valeu"),
        (b'row,value\n1,"\n', "1", {"value": "2"}, "has to be mended by hand first"),
        (b"", "1", {"value": "2"}, "cannot be read"),
    ],
)
def test_what_cannot_be_shown_to_change_nothing_else_is_refused(
    data: bytes, key: str, cells: dict[str, str], said: str
) -> None:
    with pytest.raises(Refused, match=said):
        fill_cells("t.csv", data, ("row", key), cells)


@pytest.mark.parametrize("text", ["=1+1", "@sum", "+cmd|' /C calc'!A0", "-2+3(4)|x!y", "\tx"])
def test_what_a_spreadsheet_takes_for_a_formula_is_not_written(text: str) -> None:
    """CWE-1236 (confirmed): a cell that begins with =, +, - or @ and goes on as a formula."""
    with pytest.raises(Refused, match="would not be accepted") as told:
        fill_cells("t.csv", b"row,value,note\n1,2,\n", ("row", "1"), {"note": text})
    assert [one.rule for one in told.value.problems] == ["csv-formula"]


def test_an_old_formula_elsewhere_hinders_nobody() -> None:
    made = fill_cells("t.csv", b"row,value,note\n1,,=1+1\n2,,\n", ("row", "2"), {"value": "3"})
    assert made.data == b"row,value,note\n1,,=1+1\n2,3,\n"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b"row,value\n1,2\n2,3\n", b"row,value,note\n1,2,\n2,3,\n"),
        (b"\xef\xbb\xbfrow,value\r\n1,2\r\n\r\n", b"\xef\xbb\xbfrow,value,note\r\n1,2,\r\n\r\n"),
        (b'row,value\n1,"a\nb"', b'row,value,note\n1,"a\nb",'),
    ],
)
def test_a_column_is_added_behind_the_last(old: bytes, new: bytes) -> None:
    assert add_column("t.csv", old, "note") == new


def test_a_column_that_is_there_is_not_added_again() -> None:
    with pytest.raises(Refused, match="has a column value already"):
        add_column("t.csv", b"row,value\n1,2\n", "value")
