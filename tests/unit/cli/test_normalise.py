"""`asfound normalise`: what is printed, what is written where, and that the original is never lost."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.rules.support import BASE
from tests.unit.cli.support import apart

GOOD = b"row,value [mL/h]\n1,100.2\n"
SAVED = b"\xef\xbb\xbfrow;value [mL/h]\r\n1;100,2\r\n"


@pytest.fixture
def home(tmp_path: Path) -> Path:
    shutil.copytree(BASE, tmp_path / "Prüf stand")
    return tmp_path / "Prüf stand"


def put(home: Path, data: bytes = SAVED, name: str = "Maß é.csv") -> Path:
    (home / name).write_bytes(data)
    return home / name


def test_without_a_place_it_only_tells(home: Path) -> None:
    file = put(home)
    before = sorted(home.rglob("*"))
    done = apart(home, "normalise", file.name)
    assert done.code == 1 and file.read_bytes() == SAVED and sorted(home.rglob("*")) == before
    assert done.out.splitlines() == [
        "Maß é.csv: the whole file: the file is saved as UTF-8 with a byte order mark; saved as UTF-8 without a mark",
        "Maß é.csv: the whole file: 2 lines end with CR LF; end with LF",
        "Maß é.csv: line 1: semicolons separate the cells; commas do",
        "Maß é.csv: line 2, column 3: a comma parts the decimals in “100,2”; “100.2”",
        "Maß é.csv: 4 things can be put right by copy: --to DIR, or --in-place-copy.",
    ]


def test_a_copy_and_its_log_go_where_they_are_wanted_and_over_nothing(home: Path) -> None:
    file = put(home)
    (home / "to").mkdir()
    done = apart(home, "normalise", file.name, "--to", "to")
    assert done.code == 0 and file.read_bytes() == SAVED and (home / "to" / file.name).read_bytes() == GOOD
    log = (home / "to" / f"{file.name}.log.txt").read_text("utf-8")
    assert "line 2, column 3" in log
    again = apart(home, "normalise", file.name, "--to", "to")
    assert again.code == 1 and "stands there already" in again.err
    assert apart(home, "normalise", "to/Maß é.csv").out == "to/Maß é.csv: nothing to mend.\n"
    assert apart(home, "normalise", file.name, "--to", ".").code == 1 and file.read_bytes() == SAVED


def test_of_a_sheet_of_a_case_the_original_goes_to_the_evidence(home: Path) -> None:
    sheet = next((home / "cases/base/readings").glob("*.csv"))
    good = sheet.read_bytes()
    saved = good.replace(b",", b";").replace(b"\n", b"\r\n")
    sheet.write_bytes(saved)
    assert apart(home, "check", "--on", "2026-03-20").code == 1
    assert "asfound normalise" in apart(home, "check", "--on", "2026-03-20").out
    done = apart(home, "normalise", str(sheet), "--in-place-copy")
    assert done.code == 0, done.err
    stem = sheet.name.removesuffix(".csv")
    kept, log = (home / "cases/base/evidence" / f"{stem}{end}" for end in ("-as-saved.csv", "-normalised.txt"))
    assert sheet.read_bytes() == good and kept.read_bytes() == saved and kept.name in log.read_text("utf-8")
    # The lines it prints register both, and then the check is as content as before.
    for line in done.err.splitlines():
        if "asfound evidence add" in line:
            words = line.split('"')
            more = ("--kind", "data", "--by", "examiner", "--what", words[3])
            assert apart(home, "evidence", "add", words[1], *more).code == 0
    assert apart(home, "check", "--on", "2026-03-20").code == 0
    sheet.write_bytes(saved)
    second = apart(home, "normalise", str(sheet), "--in-place-copy")
    assert second.code == 1 and "stands there already" in second.err and sheet.read_bytes() == saved


def test_outside_of_a_case_the_original_stays_beside_it_under_another_name(home: Path) -> None:
    file = put(home)
    assert apart(home, "normalise", file.name, "--in-place-copy").code == 0
    assert file.read_bytes() == GOOD and (home / f"{file.name}.as-saved").read_bytes() == SAVED


def test_a_question_is_asked_with_its_answers_and_nothing_is_written(home: Path) -> None:
    file = put(home, b"row;value [mL/h]\n1;1,234\n")
    done = apart(home, "normalise", file.name, "--in-place-copy")
    assert done.code == 1 and "    --decimal comma: 1.234\n    --decimal point: 1234\n" in done.err
    assert sorted(one.name for one in home.iterdir() if one.is_file()) == ["Maß é.csv"]
    assert apart(home, "normalise", file.name, "--in-place-copy", "--decimal", "point").code == 0
    assert file.read_bytes() == b"row,value [mL/h]\n1,1234\n"


def test_what_is_left_makes_the_exit_code_1_and_the_first_of_many_are_shown(home: Path) -> None:
    rows = b"".join(b"%d;%d,5\n" % (n, n) for n in range(1, 9))
    file = put(home, b"row;value [mL/h]\n" + rows + b"9;3. Mai\n")
    (home / "to").mkdir()
    done = apart(home, "normalise", file.name, "--to", "to")
    assert done.code == 1 and "3 more of decimal commas" in done.out and "1 thing left to settle" in done.out
    assert "line 10, column 3: “3. Mai” looks like a date" in done.out
    assert "more of" not in apart(home, "normalise", file.name, "--all").out
    assert (home / "to" / file.name).read_text("utf-8").endswith("9,3. Mai\n")


@pytest.mark.parametrize(
    ("arguments", "why"),
    [((), "FILE"), (("a", "--to", "b", "--in-place-copy"), "one of them"), (("a", "--to", "nowhere"), "no folder")],
)
def test_wrong_usage_is_told_apart(home: Path, arguments: tuple[str, ...], why: str) -> None:
    (home / "b").mkdir()
    done = apart(home, "normalise", *arguments)
    assert done.code == 2 and why in done.err


def test_files_that_are_none_are_refused_one_by_one(home: Path) -> None:
    put(home, b"PK\x03\x04" + bytes(80), "book.csv")
    put(home, GOOD, "good.csv")
    (home / "link.csv").symlink_to(home / "good.csv")
    done = apart(home, "normalise", "book.csv", "nowhere.csv", "link.csv", "good.csv")
    assert done.code == 1 and done.out == "good.csv: nothing to mend.\n" and "Traceback" not in done.err
    assert "save the sheet as CSV" in done.err and "no such file" in done.err and "link.csv: " in done.err


def test_help_has_an_example(home: Path) -> None:
    assert "\n  asfound normalise cases/my-case/" in apart(home, "normalise", "--help").out
