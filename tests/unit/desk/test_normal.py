"""What spreadsheets do to a sheet: what is put right, what is asked, what is left and named."""

from __future__ import annotations

import hashlib
import re
from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from asfound.desk import Refused
from asfound.desk.normal import Answers, Fate, Normal, normalise
from asfound.desk.normal.numbers import number
from asfound.intake import read_csv, read_readings

SHEET = 'row,setting [W],port,value [W],at,note\n1,30,1,92.4,2026-03-16 10:15 -05:00,\n2,0.5,2,<0.5,,"a, b"\n'


def found(made: Normal, fate: Fate) -> list[str]:
    return [f"{one.line}:{one.column} {one.kind}" for one in made.found if one.fate is fate]


def as_saved(text: str = SHEET, separator: str = ";") -> str:
    """SHEET as a spreadsheet of a country with decimal commas writes it."""
    rows = []
    for line in text.splitlines():
        cells = re.findall(r'"[^"]*"|[^,]+|(?<=,)(?=,)|(?<=,)$', line)
        rows.append(separator.join(re.sub(r"(?<=\d)\.(?=\d)", ",", cell.strip('"')) for cell in cells))
    return "\n".join(rows) + "\n"


def test_a_sheet_as_it_should_be_is_left_alone() -> None:
    made = normalise(SHEET.encode())
    assert made.clean and made.copy == made.data and made.found == ()


@pytest.mark.parametrize("separator", [";", "\t", "|"])
@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16", "utf-16-be", "utf-32"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_separators_encodings_and_line_ends_come_back_to_the_very_sheet(separator: str, codec: str, end: str) -> None:
    data = as_saved(SHEET.replace("a, b", "µΩ, é"), separator).replace("\n", end).encode(codec)
    made = normalise(data)
    assert made.question is None and made.copy == SHEET.replace("a, b", "µΩ, é").encode(), made.found
    assert made.left == () and made.data == data
    assert next(one for one in found(made, Fate.MENDED) if "decimal" in one) == "2:8 decimal commas"


def test_each_thing_is_told_with_the_place_it_has_in_the_original() -> None:
    text = "sep=;\r\nrow;value [W];;\r\n1;92,4;;\r\n2;\u22123,1;;\r\n3;1.234,5;;\r\n4;\u00a07,5 ;;\r\n;;;\r\n"
    made = normalise(text.encode("utf-8"))
    assert made.copy == b"row,value [W]\n1,92.4\n2,-3.1\n3,1234.5\n4,7.5\n"
    assert found(made, Fate.MENDED) == [
        "0:0 line ends", "1:1 sep= line", "2:0 separator", "2:15 empty columns", "3:3 decimal commas",
        "4:3 minus signs", "4:3 decimal commas", "5:3 groups of thousands", "5:3 decimal commas",
        "6:3 spaces", "6:3 decimal commas", "7:0 empty rows",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("cell", "comma", "point"),
    [
        ("1,234", "1.234", "1234"),
        ("1.234", "1234", "1.234"),
        ("-12,345", "-12.345", "-12345"),
        ("<1.000", "<1000", "<1.000"),
    ],
)
def test_what_reads_in_two_ways_is_asked_and_never_guessed(cell: str, comma: str, point: str) -> None:
    data = f"row;value [W]\n1;92,4\n2;{cell}\n".encode()
    made = normalise(data)
    assert made.copy is None and made.question is not None and made.question.option == "--decimal"
    assert "Line 3, column 3 holds" in made.question.asks and "commas part decimals on line 2" in made.question.asks
    assert made.question.choices == (("comma", comma), ("point", point))
    for answer, value in (("comma", comma), ("point", point)):
        copy = normalise(data, Answers(decimal=answer)).copy
        assert copy is not None and copy.endswith(f"\n2,{value}\n".encode())


def test_a_point_before_three_digits_is_no_question_where_nothing_speaks_of_commas() -> None:
    assert normalise(b"row,value [W]\n1,1.234\n2,3.1\n").clean


@pytest.mark.parametrize(
    ("cell", "reads"),
    [
        ("92,4", "92.4"), ("0,123", "0.123"), ("1.234.567", "1234567"), ("1,234,567", "1234567"), ("1.234,5", "1234.5"),
        ("1,234.5", "1234.5"), ("1'234,567", "1234.567"), ("1\u00a0234,5", "1234.5"), ("1\u202f234", "1234"),
        ("\u2212\u00a01", None), ("–3,1", "-3.1"), ("> 20,5", "> 20.5"), ("1,5E-03", "1.5E-03"), ("12,3456", "12.3456"),
        ("no output", None), ("3 of 10", None), ("1 234", None), ("1,2,3", None), ("1.23.456", None), ("3–5", None),
    ],
)  # fmt: skip
def test_numbers_of_any_country(cell: str, reads: str | None) -> None:
    read = number(cell)
    assert (None if read is None else read.text) == reads


@given(st.decimals(-(10**9), 10**9, places=4, allow_nan=False))
def test_a_number_grouped_and_with_a_comma_is_the_number_it_was(value: Decimal) -> None:
    """Against Python's own formatting of groups (format specification `,`), signs swapped."""
    grouped = f"{value:,.4f}".translate({ord(","): ".", ord("."): ","})
    read = number(grouped)
    assert read is not None and not read.open_ and Decimal(read.text) == value


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("02-Mai;92,4;;", "ids turned"), ("1;03.05.2026;;", "dates turned"), ("1;3. Mai;;", "dates turned"),
        ("1;Mrz 05;;", "dates turned"), ("1,00E+03;92,4;;", "ids turned"), ("1;#WERT!;;", "errors of a spreadsheet"),
        ("1;=A1*2;;", "formulas"), ("1;92,4;16.03.2026 10:15;", "times"), ("1;95 %;;", "values"),
        ("1;WAHR;;", "values"),
        ("1;92,4;;01.02.2026", "dates turned"),
    ],
)  # fmt: skip
def test_what_cannot_be_known_is_left_as_it_stands_and_named_with_its_place(line: str, kind: str) -> None:
    made = normalise(f"row;value [W];at;lead\n7;1,5;;\n{line}\n".encode())
    (left,) = made.left
    assert left.line == 3 and left.column >= 1 and left.kind == kind and left.done.startswith("left: ")
    assert made.copy is not None
    kept = line.split(";")[line[: left.column - 1].count(";")]
    assert kept in made.copy.decode().splitlines()[2]


def test_zeros_that_are_gone_are_seen_where_two_rows_bear_one_name() -> None:
    made = normalise(b"row,value\n7,1\n7,2\n")
    assert found(made, Fate.LEFT) == ["3:1 ids turned"] and "zeros in front" in made.left[0].found


def test_zeros_at_the_end_long_numbers_and_powers_are_to_be_looked_at() -> None:
    made = normalise(b"row;value [W]\n1;90\n2;92,45\n3;1,5E-03\n4;12345678901234567\n")
    assert found(made, Fate.NOTED) == ["0:0 digits", "4:3 scientific notation", "5:3 long numbers"]


def test_rows_that_are_ragged_or_empty_inside_are_left() -> None:
    made = normalise(b"row,value [W],note\n1,92,4,\n\n2,3.1,\n")
    assert found(made, Fate.LEFT) == ["2:0 ragged rows", "3:0 empty rows"]
    assert made.copy == b"row,value [W],note\n1,92,4,\n\n2,3.1,\n"


def test_an_open_quote_stands_in_the_way_of_a_copy() -> None:
    made = normalise(b'row;value;note\n1;2,5;"open\n2;3,5;\n')
    assert found(made, Fate.LEFT) == ["2:7 quotes"] and made.copy == made.data


def test_cells_of_several_lines_and_quotes_keep_their_text() -> None:
    made = normalise(b'row;value;note\r\n1;2,5;"one\r\ntwo; ""three"", four"\r\n2;4,5;x\r\n')
    assert made.copy == b'row,value,note\n1,2.5,"one\ntwo; ""three"", four"\n2,4.5,x\n'
    assert found(made, Fate.MENDED)[-1] == "4:3 decimal commas"


@pytest.mark.parametrize(("codec", "note"), [("cp1252", "Prüfling, 5 µA, 20 °C"), ("mac-roman", "Prüfling 5 Ω")])
def test_an_old_encoding_is_taken_where_the_other_makes_no_sense(codec: str, note: str) -> None:
    made = normalise(f'row,value,note\n1,2.5,"{note}"\n'.encode(codec))
    assert made.copy is not None and note.encode() in made.copy and "line 2" in made.found[0].found


def test_an_encoding_under_which_both_make_sense_is_asked() -> None:
    """0xBD is ½ in Windows-1252 and Ω in Mac Roman (the tables of Unicode for both; Python's codecs). `confirmed`"""
    data = b"row,value,note\n1,2.5,\xbd\n"
    made = normalise(data)
    assert made.copy is None and made.question is not None and made.question.option == "--encoding"
    assert [name for name, _ in made.question.choices] == ["cp1252", "mac-roman"]
    assert "½" in made.question.choices[0][1] and "Ω" in made.question.choices[1][1]
    copy = normalise(data, Answers(encoding="mac-roman")).copy
    assert copy is not None and "Ω".encode() in copy


def test_a_separator_nobody_can_tell_is_asked() -> None:
    made = normalise(b"one;two|three\n1;2|3\n")
    assert made.question is not None and made.question.option == "--separator"
    assert normalise(b"one;two|three\n1;2|3\n", Answers(separator="|")).copy == b"one;two,three\n1;2,3\n"


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"PK\x03\x04" + bytes(60), "save the sheet as CSV"),
        (b"\xff\xfea", "is no such text"),
        (b"\n\n", "no names"),
        (b"", "is empty"),
    ],
)
def test_what_is_no_table_is_refused(data: bytes, why: str) -> None:
    with pytest.raises(Refused) as caught:
        normalise(data)
    assert why in str(caught.value)


def test_the_log_names_both_files_by_their_digests_and_every_place() -> None:
    made = normalise(as_saved().encode())
    assert made.copy is not None
    log = made.log("a.csv", "b.csv")
    for data in (made.data, made.copy):
        assert f"sha256 {hashlib.sha256(data).hexdigest()}" in log
    assert all(one.where in log and one.found in log for one in made.found) and log == normalise(made.data).log(
        "a.csv", "b.csv"
    )


_CELL = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=12)


@given(st.lists(st.lists(_CELL, min_size=3, max_size=3), max_size=5), st.sampled_from(";\t|,"))
def test_whatever_is_typed_nothing_is_lost_and_the_copy_is_stable(rows: list[list[str]], sign: str) -> None:
    """A second run over a copy has nothing to mend, and a cell that was not mended reads as it did."""
    quoted = [[cell.replace('"', '""') for cell in row] for row in rows]
    text = (
        sign.join(("row", "value", "note"))
        + "\n"
        + "".join(sign.join(f'"{cell}"' for cell in row) + "\n" for row in quoted)
    )
    try:
        made = normalise(text.encode(), Answers(separator=sign, decimal="comma"))
    except Refused:
        return
    if made.copy is None or any(one.kind == "quotes" and one.fate is Fate.LEFT for one in made.found):
        return
    again = normalise(made.copy, Answers(separator=",", decimal="point"))
    assert again.copy == made.copy


@given(st.binary(max_size=200))
@example(b",")
@example(b'"";""\n;\n')
def test_no_bytes_whatever_make_it_fall_over(data: bytes) -> None:
    try:
        made = normalise(data)
    except Refused:
        return
    assert made.data == data and (made.copy is None) == (made.question is not None)


def test_what_it_makes_is_read_by_the_reader_of_the_check() -> None:
    made = normalise(as_saved().encode("utf-16"))
    assert made.copy is not None
    rows = read_readings(read_csv("output.csv", made.copy), "output")
    assert (
        not rows.problems and rows.sheet is not None and [row.value.text for row in rows.sheet.rows] == ["92.4", "<0.5"]
    )
