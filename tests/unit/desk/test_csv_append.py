"""Rows put behind a table: every other byte stays, and the rows read as they were meant."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.desk import Refused, append_rows
from asfound.intake import read_csv

ROOT = Path(__file__).parents[3]
TABLES = sorted([*(ROOT / "cases").glob("*/*.csv"), *(ROOT / "cases").glob("*/readings/*.csv")])
CELLS = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp", "Zs"])
    | st.sampled_from(' ",;'),
    max_size=20,
).filter(lambda text: not text.strip().startswith(("=", "+", "-", "@")))


@given(
    st.sampled_from(TABLES),
    st.sampled_from(["", "crlf", "bom", "open", "blank", "crlf open bom", "crlf blank"]),
    st.data(),
)
@settings(max_examples=200, deadline=None)
def test_every_old_byte_stays_and_the_rows_read_as_meant(path: Path, how: str, data: st.DataObject) -> None:
    old = path.read_bytes()
    old = old.rstrip(b"\n") if "open" in how else old + b"\n\n" if "blank" in how else old
    old = old.replace(b"\n", b"\r\n") if "crlf" in how else old
    old = b"\xef\xbb\xbf" + old if "bom" in how else old
    header = read_csv("t.csv", old).header
    rows = [
        {name: data.draw(CELLS) for name in header[1:]} | {header[0]: str(9000 + number)}
        for number in range(data.draw(st.integers(1, 3)))
    ]
    try:
        made = append_rows("t.csv", old, rows)
    except Refused as refused:
        # Only what the reader itself would not take: the words say so, with its problems.
        assert refused.problems, refused
        return
    assert made.data[: made.start] + made.data[made.end :] == old
    there = list(csv.reader(io.StringIO(made.data.decode("utf-8-sig"), newline="")))
    before = list(csv.reader(io.StringIO(old.decode("utf-8-sig"), newline="")))
    there, before = [row for row in there if row], [row for row in before if row]
    assert there[: len(before)] == before
    assert there[len(before) :] == [[row[name] for name in header] for row in rows]
    assert made.data.endswith(b"\n") == old.endswith(b"\n")
    if "crlf" in how:
        assert made.data.count(b"\n") == made.data.count(b"\r\n")


def test_the_lines_of_the_new_rows_are_told() -> None:
    made = append_rows("t.csv", b'row,note\n1,"a\nb"\n', [{"row": "2", "note": "x, y"}, {"row": "3"}])
    assert made.data == b'row,note\n1,"a\nb"\n2,"x, y"\n3,\n' and made.lines == (4, 5)


def test_a_table_is_begun_with_its_header() -> None:
    made = append_rows("t.csv", b"", [{"a": "1"}], header=("a", "b"))
    assert made.data == b"a,b\n1,\n" and made.lines == (2,)


@pytest.mark.parametrize(
    ("data", "row", "why"),
    [
        (b"a,b\n", {"c": "1"}, "no column c"),
        (b"", {"a": "1"}, "no header"),
        (b"\xff\xfea\x00", {"a": "1"}, "cannot be read"),
        (b"a,b\n1,2\n", {"a": "=1+1"}, "not be accepted"),
    ],
)
def test_what_cannot_be_done_without_harm_is_refused(data: bytes, row: dict[str, str], why: str) -> None:
    with pytest.raises(Refused, match=why):
        append_rows("t.csv", data, [row])


@given(st.text('ab,"\n\r; 1', max_size=40).map(str.encode))
@settings(max_examples=400, deadline=None)
def test_any_table_is_written_to_soundly_or_refused(data: bytes) -> None:
    try:
        made = append_rows("t.csv", data, [{"a": "x"}], header=("a",))
    except Refused as refused:
        assert refused.reasons
        return
    assert made.data[: made.start] + made.data[made.end :] == data
