"""A sheet that went through a real spreadsheet of a country with decimal commas, and back by `asfound normalise`.

The program is LibreOffice without a screen, in a profile of its own whose locale is German (Germany): numbers are shown
and exported with a comma. The options of its CSV filter are those of its documented list of tokens (separator, quote,
character set, first line, column formats, language, quote all text cells, detect special numbers). `from memory`
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from asfound.intake import read_csv, read_readings
from tests.conftest import OFFICE
from tests.real.support import ROOT
from tests.unit.cli.support import apart

pytestmark = pytest.mark.office

SHEET = '''\
row,setting [W],port,value [W],at,note
1,30,1,92.4,2026-03-16 10:15 -05:00,"plain, with ""quotes"""
2,0.5,2,<0.5,2026-03-16 10:16 -05:00,"5 µA at 20 °C, é"
3,120,2,no output,,
4,1,1,-3.1,2026-03-16 10:20 -05:00,
5,2,1,1.234,,
6,2,1,1234.5,,3 of 10
7,2,1,not measured: the lead was kept,,
'''
PROFILE = """\
<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema"
 xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"><item oor:path="/org.openoffice.Setup/L10N"><prop
 oor:name="ooSetupSystemLocale" oor:op="fuse"><value>de-DE</value></prop></item></oor:items>
"""
READS = "Text - txt - csv (StarCalc):44,34,76,1,,1033,false,true"
"""Commas, UTF-8, numbers as they are written in English."""


class Office:
    """The spreadsheet, with a profile of its own."""

    def __init__(self, at: Path) -> None:
        self.at = at
        user = at / "profil é" / "user"
        user.mkdir(parents=True)
        (user / "registrymodifications.xcu").write_text(PROFILE, "utf-8")
        self.profile = user.parent.as_uri()

    def convert(self, file: Path, to: str, out: str, *more: str) -> Path:
        """Convert a file into a folder `out`; the new one."""
        assert OFFICE is not None
        command = [
            OFFICE, f"-env:UserInstallation={self.profile}", "--headless", *more,
            "--convert-to", to, "--outdir", str(self.at / out), str(file),
        ]  # fmt: skip
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=180)
        made = self.at / out / f"{file.stem}.{to.partition(':')[0]}"
        assert made.exists(), done.stdout + done.stderr
        return made


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Office:
    return Office(tmp_path_factory.mktemp("Büro 1"))


@pytest.fixture(scope="module", params=["ods", "xlsx"])
def workbook(office: Office, request: pytest.FixtureRequest) -> Path:
    """SHEET as a workbook that the spreadsheet saved."""
    typed = office.at / "output.csv"
    typed.write_text(SHEET, "utf-8")
    return office.convert(typed, request.param, f"mappe {request.param}", f"--infilter={READS}")


SAVES = {
    "semicolons, UTF-8": "59,34,76,1,,0,false,true",
    "semicolons, the old encoding, all text in quotes": "59,34,ANSI,1,,0,true,true",
    "tabs, UTF-16": "9,34,65535,1,,0,false,true",
}


@pytest.mark.parametrize("name", SAVES)
def test_a_workbook_comes_back_as_the_very_sheet(office: Office, workbook: Path, tmp_path: Path, name: str) -> None:
    tokens = SAVES[name]
    out = f"aus {workbook.suffix} {tokens.replace(',', '-')}"
    saved = office.convert(workbook, f"csv:Text - txt - csv (StarCalc):{tokens}", out)
    kept = saved.read_bytes()
    assert kept != SHEET.encode() and (b"92,4" in kept or "92,4".encode("utf-16-le") in kept)
    told = apart(saved.parent, "normalise", "output.csv")
    assert told.code == 1 and "“1,234”" in told.err and "--decimal comma: 1.234" in told.err, told.err
    (tmp_path / "Blätter").mkdir()
    done = apart(saved.parent, "normalise", "output.csv", "--decimal", "comma", "--to", str(tmp_path / "Blätter"))
    assert done.code == 0, done.out + done.err
    assert (tmp_path / "Blätter/output.csv").read_text("utf-8") == SHEET, name
    assert saved.read_bytes() == kept
    rows = read_readings(read_csv("output.csv", (tmp_path / "Blätter/output.csv").read_bytes()), "output")
    assert not rows.problems and rows.sheet is not None and len(rows.sheet.rows) == 7


def test_what_the_spreadsheet_takes_for_dates_is_named_and_not_undone(office: Office, tmp_path: Path) -> None:
    typed = tmp_path / "keys.csv"
    typed.write_text("row,lead,value [W],note\n3/4,a,92.4,\n2,5/6/2026,3.1,\n3,b,7/8/2026,\n", "utf-8")
    book = office.convert(typed, "ods", "daten", f"--infilter={READS}")
    saved = office.convert(book, "csv:Text - txt - csv (StarCalc):59,34,76,1,,0,false,true", "daten aus")
    (tmp_path / "to").mkdir()
    done = apart(saved.parent, "normalise", saved.name, "--to", str(tmp_path / "to"))
    assert done.code == 1, done.out
    copy = (tmp_path / "to/keys.csv").read_text("utf-8").splitlines()
    assert copy[0] == "row,lead,value [W],note" and len(copy) == 4
    named = [line.split(": ")[1] for line in done.out.splitlines() if "left: " in line]
    assert named[:1] == ["line 2, column 1"]
    assert {line.partition(",")[0] for line in named} == {"line 2", "line 3", "line 4"}
    # What stands there now is still what the spreadsheet made of it.
    assert "3/4" not in copy[1].split(",")[0] and copy[1].split(",")[2] == "92.4"


def test_a_sheet_of_the_demonstration_survives(office: Office, tmp_path: Path) -> None:
    """The longest sheet with times, conditions and units: equal cell by cell, but for zeros at the end."""
    name = "output.csv"
    sheet = tmp_path / name
    shutil.copy(ROOT / "cases/return-pad-lesion/readings" / name, sheet)
    book = office.convert(sheet, "xlsx", "vorführung", f"--infilter={READS}")
    saved = office.convert(book, "csv:Text - txt - csv (StarCalc):59,34,ANSI,1,,0,false,true", "vorführung aus")
    (tmp_path / "to").mkdir()
    done = apart(saved.parent, "normalise", name, "--decimal", "comma", "--to", str(tmp_path / "to"))
    assert done.code == 0, done.out + done.err
    both = (sheet, tmp_path / "to" / name)
    before, after = (read_readings(read_csv(name, one.read_bytes()), "output") for one in both)
    assert before.sheet is not None and after.sheet is not None and not after.problems
    for was, now in zip(before.sheet.rows, after.sheet.rows, strict=True):
        assert was.value.number == now.value.number and was._replace(value=now.value) == now
