"""CSV: what is read, what is refused, and where. The rules are RFC 4180, section 2, and what spreadsheets do."""

from __future__ import annotations

import csv
import io

import pytest

from asfound.intake import read_csv
from asfound.intake.csv_rows import MAX_COLUMNS, MAX_ROWS
from asfound.intake.words import LISTED

from .places import rows

LONG = "x" * 10_001

BAD: list[tuple[str, str, list[tuple[str, int, int]]]] = [
    # RFC 4180, section 2, rules 5 to 7: quotes
    ("quote never closed", 'a,b\n1,"x\n2,y\n3,z\n', [("csv-unclosed-quote", 2, 3)]),
    ("quote closed by the next one", 'a,b\n1,"x\n2,"y"\n3,z\n', [("csv-unclosed-quote", 2, 3)]),
    ("two open quotes", 'a,b\n1,"x\n2,y\n3,"z\n', [("csv-unclosed-quote", 2, 3), ("csv-unclosed-quote", 4, 3)]),
    ("doubled quote at the end", 'a,b\n1,"x""\n2,y\n', [("csv-unclosed-quote", 2, 3)]),
    ("text after a quote", 'a,b\n1,"x" y\n2,z\n', [("csv-text-after-quote", 2, 6)]),
    ("inches", 'a,b\n1,cable 5" long\n', [("csv-stray-quote", 2, 10)]),
    ("inches in two cells", 'a,b\n5" x,6" y\n', [("csv-stray-quote", 2, 2), ("csv-stray-quote", 2, 7)]),
    ("space before a quote", 'a,b\n1, "x"\n', [("csv-stray-quote", 2, 4)]),
    ("swallowed rows", 'a,b,c\n1,"x\n2,y,z\n3,y,z\n4,y",z\n', [("csv-swallowed-rows", 2, 3)]),
    ("one swallowed row", 'a,b\n1,"x\n2,y"\n', [("csv-swallowed-rows", 2, 3)]),
    # rule 4: the same number of cells throughout
    ("short row", "a,b,c\n1,2\n1,2,3\n", [("csv-ragged-row", 2, 4)]),
    ("long row", "a,b\n1,2\n1,2,3\n", [("csv-ragged-row", 3, 5)]),
    ("decimal comma", "a,b\n1,2,5\n", [("csv-ragged-row", 2, 5)]),
    ("ragged after a note of two lines", 'a,b\n"1\n2",3\n4\n', [("csv-ragged-row", 4, 2)]),
    ("ragged with CR LF", "a,b\r\n1\r\n", [("csv-ragged-row", 2, 2)]),
    # rule 3: the header
    ("nameless column", "a,,c\n1,2,3\n", [("csv-header-empty", 1, 3)]),
    ("nameless column with a value", "a,b,\n1,2,3\n", [("csv-header-empty", 1, 5)]),
    ("blank name", "a, ,c\n1,2,3\n", [("csv-header-empty", 1, 3)]),
    ("name twice", "a,b,a\n1,2,3\n", [("csv-header-duplicate", 1, 5)]),
    ("name twice but for spaces", "a,a \n1,2\n", [("csv-header-duplicate", 1, 3), ("csv-header-spaces", 1, 3)]),
    ("space before a name", "a, b\n1,2\n", [("csv-header-spaces", 1, 3)]),
    ("no-break space after a name", "a,b\u00a0\n1,2\n", [("csv-header-spaces", 1, 3)]),
    ("empty", "", [("csv-no-header", 0, 0)]),
    ("only line ends", "\n\r\n", [("csv-no-header", 0, 0)]),
    ("line before the header", "\na,b\n1,2\n", [("csv-blank-line", 1, 1)]),
    # what spreadsheets save where the comma is the decimal sign
    ("semicolons", "a;b\n1,5;2\n", [("csv-delimiter", 1, 1)]),
    ("semicolons, commas in the header", "V (1,0);b\n1,5;2,5\n", [("csv-delimiter", 1, 1)]),
    ("tabs", "a\tb\n1\t2\n", [("csv-delimiter", 1, 1)]),
    ("strokes", "a|b\n1|2\n", [("csv-delimiter", 1, 1)]),
    ("sep line", "sep=;\na;b\n1;2\n", [("csv-sep-line", 1, 1)]),
    ("sep line with a comma", "SEP=,\r\na,b\r\n1\r\n", [("csv-sep-line", 1, 1), ("csv-ragged-row", 3, 2)]),
    ("blank line inside", "a,b\n1,2\n\n3,4\n", [("csv-blank-line", 3, 1)]),
    ("row of commas inside", "a,b\n1,2\n,\n3,4\n", [("csv-blank-line", 3, 1)]),
    ("line of spaces inside", "a,b\n1,2\n  \n3,4\n", [("csv-blank-line", 3, 1)]),
    ("empty columns at the end", "a,b,,\n1,2,,\n", [("csv-trailing-empty", 1, 5)]),
    ("empty rows at the end", "a,b\n1,2\n,\n,\n", [("csv-trailing-empty", 3, 1)]),
    # CWE-1236 and OWASP ASVS 1.2.10: formulas
    ("formula", "a,b\n1,=1+2\n", [("csv-formula", 2, 3)]),
    ("formula in quotes", 'a,b\n1,"=cmd|x,y"\n', [("csv-formula", 2, 3)]),
    ("formula by plus", "a,b\n+cmd,2\n", [("csv-formula", 2, 1)]),
    ("formula by minus", "a,b\n-SUM(1),2\n", [("csv-formula", 2, 1)]),
    ("formula by number", "a,b\n1,\"-2+3+cmd|' /C x'!A0\"\n", [("csv-formula", 2, 3)]),
    ("formula by at", "a,b\n1,@x\n", [("csv-formula", 2, 3)]),
    ("formula by tab", "a,b\n1,\tx\n", [("csv-formula", 2, 3)]),
    ("formula in the header", "=a,b\n1,2\n", [("csv-formula", 1, 1)]),
    # bounds
    ("long cell", f"a,b\n1,{LONG}\n", [("csv-cell-too-long", 2, 3)]),
    ("long cell of many lines", 'a,b\n1,"' + "x\n" * 6000 + '"\n', [("csv-cell-too-long", 2, 3)]),
    ("longer than the standard reader takes", f"a,b\n1,{'x' * 140_000}\n", [("csv-cell-too-long", 2, 3)]),
    ("many columns", ",".join(f"c{i}" for i in range(201)) + "\n", [("csv-too-many-columns", 1, 891)]),
    ("a line of commas", "a\n" + "," * 2_100_000, [("csv-too-many-columns", 2, 1)]),
    ("a line of one cell", "a\n" + "x" * 2_100_000, [("csv-cell-too-long", 2, 1)]),
    ("many rows", "a\n" + "1\n" * (MAX_ROWS + 1), [("csv-too-many-rows", MAX_ROWS + 2, 1)]),
    ("many empty lines", "\n" * (MAX_ROWS + 2), [("csv-too-many-rows", MAX_ROWS + 2, 1)]),
    # characters
    ("null", "a,b\n1,x\x00\n", [("text-control-character", 2, 4)]),
    ("vertical tab", "a,b\n1\x0b,x\n2\n", [("text-control-character", 2, 2), ("csv-ragged-row", 3, 2)]),
    ("lone carriage return", "a,b\n1,x\r2,y\n", [("text-control-character", 2, 4), ("csv-ragged-row", 2, 7)]),
    ("override", "a,b\n1,\u202ex\n", [("text-bidirectional", 2, 3)]),
    ("zero width", "a,b\u200b\n1,x\n", [("text-invisible-character", 1, 4)]),
]


@pytest.mark.parametrize(("text", "expected"), [row[1:] for row in BAD], ids=[row[0] for row in BAD])
def test_bad_input_is_named_at_its_place(text: str, expected: list[tuple[str, int, int]]) -> None:
    assert rows(read_csv("r.csv", text.encode()).problems) == expected


@pytest.mark.parametrize(
    ("data", "expected", "words"),
    [
        (b"a,b\n1,\xb5A\n", ("text-not-utf8", 2, 3), "“µ”"),
        ("a,b\n1,2\n".encode("utf-16"), ("text-utf16", 1, 1), "UTF-16"),
        ("a,b\n1,2\n".encode("utf-16-le"), ("text-utf16", 1, 1), "little-endian"),
        (b"PK\x03\x04\x14\x00\x06\x00\x08\x00", ("text-binary", 0, 0), "spreadsheet"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1\x00\x00", ("text-binary", 0, 0), "old spreadsheet"),
        (b"version https://git-lfs.github.com/spec/v1\n", ("file-lfs-pointer", 1, 1), "Git LFS"),
        (
            b"row,value\n1,2\n<<<<<<< HEAD\n2,3\n=======\n2,4\n>>>>>>> other\n",
            ("conflict-left", 3, 1),
            "git left a conflict here that begins with “<<<<<<< HEAD”",
        ),
        (b"a" * (64 * 1_048_576 + 1), ("file-too-large", 0, 0), "64.0 MiB"),
    ],
)
def test_bytes_that_are_no_utf8_text(data: bytes, expected: tuple[str, int, int], words: str) -> None:
    table = read_csv("r.csv", data)
    assert rows(table.problems) == [expected]
    assert words in table.problems[0].headline()
    assert not table.readable and table.header == [] and table.rows == []


@pytest.mark.parametrize(
    "text",
    [
        "a,b\n1,2\n",
        "\ufeffa,b\r\n1,2\r\n",
        "a,b\n1,2",
        "a,b\n1,2\n\n\n",
        'a,b\n"1","x, ""y"""\n',
        'a,b\n1,"first line\nsecond, line"\n2,\n',
        "a,b\n-5,+3.2\n-,- looked and nothing seen (twice)\n",
        "a,b\nx = 5,a@b\n2026-03-01T10:00+01:00,c+d\n",
        "a;b,c\n1,2\n",
        "note\nx; y\n",
        "BM,MZ\nID3,II*\n",
        "a,b\n",
        " \ta,b\n1,2\n".replace(" \t", ""),
    ],
)
def test_sound_tables_are_read_as_the_standard_reader_reads_them(text: str) -> None:
    table = read_csv("r.csv", text.encode())
    assert table.problems == () and table.readable
    expected = [row for row in csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True) if row]
    assert [table.header, *table.rows] == expected


def test_places_are_physical_lines_and_characters() -> None:
    text = '\ufeffrow,note,value\r\nR-1,"two\r\nlines, ""ü""",5\r\nR-2,𝛀,"6"\r\nR-3,,\r\n'
    table = read_csv("r.csv", text.encode())
    assert table.problems == ()
    assert table.rows == [["R-1", 'two\r\nlines, "ü"', "5"], ["R-2", "𝛀", "6"], ["R-3", "", ""]]
    assert [table.line_of(row) for row in range(3)] == [2, 4, 5]
    assert [table.place_of(0, cell) for cell in range(3)] == [(2, 1), (2, 5), (3, 15)]
    assert [table.place_of(1, cell) for cell in range(3)] == [(4, 1), (4, 5), (4, 7)]
    assert [table.place_of(2, cell)[1] for cell in range(3)] == [1, 5, 6]
    assert table.header_place(2) == (1, 10)
    with pytest.raises(IndexError, match="no row 3"):
        table.line_of(3)


def test_places_stay_true_where_rows_were_refused() -> None:
    table = read_csv("r.csv", b'\na,b\n1\n2,"x\ny"\n\n3,z\n')
    assert table.rows == [["2", "x\ny"], ["3", "z"]]
    assert [table.line_of(row) for row in range(2)] == [4, 7]
    assert table.place_of(1, 1) == (7, 3)
    assert rows(table.problems) == [("csv-blank-line", 1, 1), ("csv-ragged-row", 3, 2), ("csv-blank-line", 6, 1)]


def test_an_open_quote_hides_no_row() -> None:
    table = read_csv("r.csv", b'a,b\n1,"x\n2,y\n3,"z, ok"\n4\n')
    assert table.rows == [["1", "x"], ["2", "y"], ["3", "z, ok"]]
    assert rows(table.problems) == [("csv-unclosed-quote", 2, 3), ("csv-ragged-row", 5, 2)]
    assert "2 lines below" in table.problems[0].found
    assert str(table.problems[0].related[0]) == "r.csv:4:3"


def test_the_ragged_row_says_what_is_missing_or_extra() -> None:
    short, long = read_csv("r.csv", b"row,value,note\n1\n1,2,3,4\n").problems
    assert short.found == "the row has 1 cell; nothing stands under “value” and “note”"
    assert long.found == "the row has 4 cells; “4” stands beyond the last column"


def test_empty_ends_are_cut_and_said() -> None:
    table = read_csv("r.csv", b"a,b,,\n1,2,,\n3,,,\n,,,\n,,,\n\n")
    assert (table.header, table.rows) == (["a", "b"], [["1", "2"], ["3", ""]])
    assert [problem.found for problem in table.problems] == [
        "2 columns at the end are empty throughout",
        "2 rows at the end are empty",
    ]


def test_a_file_of_rubbish_is_counted_not_listed() -> None:
    table = read_csv("r.csv", b"a,b\n" + b"1\n" * 500)
    assert len(table.problems) == LISTED
    assert f"{500 - LISTED} more places" in table.problems[-1].found


def test_columns_up_to_the_bound_are_read() -> None:
    header = ",".join(f"c{i}" for i in range(MAX_COLUMNS))
    table = read_csv("r.csv", f"{header}\n{',' * (MAX_COLUMNS - 1)}1\n".encode())
    assert table.problems == () and len(table.rows[0]) == MAX_COLUMNS


def test_rows_up_to_the_bound_are_read() -> None:
    table = read_csv("r.csv", b"a\n" + b"1\n" * MAX_ROWS)
    assert table.problems == () and len(table.rows) == MAX_ROWS
    assert table.line_of(MAX_ROWS - 1) == MAX_ROWS + 1


def test_the_grammar_of_rfc_4180() -> None:
    """The examples of RFC 4180, section 2, rules 1, 2, 5, 6 and 7 (from memory), read as the text says."""
    assert read_csv("r.csv", b"aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n").rows == [["zzz", "yyy", "xxx"]]
    assert read_csv("r.csv", b"aaa,bbb,ccc\r\nzzz,yyy,xxx").rows == [["zzz", "yyy", "xxx"]]
    assert read_csv("r.csv", b'"aaa","bbb","ccc"\r\nzzz,yyy,xxx\r\n').header == ["aaa", "bbb", "ccc"]
    assert read_csv("r.csv", b'"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx').header == ["aaa", "b\r\nbb", "ccc"]
    assert read_csv("r.csv", b'"aaa","b""bb","ccc"\r\n').header == ["aaa", 'b"bb', "ccc"]
