"""From the built wheel to an issued report, as a newcomer types it: the chapter of the manual, in a fresh environment.

Nothing of this checkout is within reach: the program is installed by pip from the wheel. What it needs stands in the
environment of the tests already and is shared by a line in a `.pth` file, since nothing is fetched here.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest
from PIL import Image

from asfound.pages.manual.chapter import Fence

from .following import Doing, follow, typed
from .support import OFFLINE, ROOT
from .test_spreadsheets import READS, Office

pytestmark = [pytest.mark.office, pytest.mark.skipif(sys.platform == "win32", reason="typed at bash")]

MAKE, MODEL, TAKEN, OFFSET = 0x010F, 0x0110, 0x9003, 0x9011
"""Tags of Exif 2.32: maker, model, time of the picture, its offset. `from memory`"""


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the programs of a fresh environment with the wheel in it."""
    home = tmp_path_factory.mktemp("new")
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "-o", str(home), str(ROOT)]
    subprocess.run(build, check=True, capture_output=True)
    (wheel,) = home.glob("*.whl")
    subprocess.run([sys.executable, "-m", "venv", str(home / "venv")], check=True)
    python = home / "venv/bin/python"
    install = [python, "-m", "pip", "install", "-q", "--no-index", "--no-deps", wheel]
    subprocess.run(install, check=True, capture_output=True)
    where = "import sysconfig; print(sysconfig.get_path('purelib'))"
    own = Path(subprocess.run([python, "-c", where], check=True, capture_output=True, text=True).stdout.strip())
    (own / "needs.pth").write_text(f"{sysconfig.get_path('purelib')}\n", "utf-8")
    # What pip would have made for the site engine, had it been installed here.
    engine = home / "venv/bin/mkdocs"
    engine.write_text(f"#!{python}\nfrom mkdocs.__main__ import cli\ncli()\n", "utf-8")
    engine.chmod(0o755)
    found = "import asfound; print(asfound.__file__)"
    at = subprocess.run([python, "-c", found], check=True, capture_output=True, text=True, cwd=home).stdout
    assert at.startswith(str(home / "venv")), at
    return home / "venv/bin"


def photographs(block: Fence, folder: Path) -> None:
    """Put photographs where a camera put them."""
    for number, line in enumerate(block.text.splitlines()):
        name, day, time, offset = line.split()
        picture = Image.new("RGB", (64, 48), (200, 180, 20 * number))
        exif = picture.getexif()
        exif[MODEL] = "camera"
        below = exif.get_ifd(0x8769)
        below[TAKEN], below[OFFSET] = f"{day.replace('-', ':')} {time}", offset
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        picture.save(folder / name, exif=exif)


def by_spreadsheet(office: Office) -> Doing:
    """Type a sheet in a spreadsheet with decimal commas, on what lies there, and save it as CSV."""

    def do(block: Fence, folder: Path) -> None:
        place = folder / str(block.mark("spreadsheet"))
        there, lines = place.read_text("utf-8").splitlines(), block.text.splitlines()
        assert lines[0] == there[0], "the head of the sheet as it was laid out"
        for row in there[1:]:
            number, first, *_ = row.split(",")
            assert any(line.startswith(f"{number},{first},") for line in lines), f"the row {number} keeps its place"
        typed_in = office.at / place.name
        typed_in.write_text(block.text, "utf-8")
        book = office.convert(typed_in, "ods", "mappe", f"--infilter={READS}")
        saved = office.convert(book, "csv:Text - txt - csv (StarCalc):59,34,76,1,,0,false,true", "aus").read_bytes()
        assert re.search(rb";\d+,\d+;", saved), "decimal commas between semicolons"
        place.write_bytes(saved)

    return do


def test_from_nothing_to_an_issued_report(
    installed: Path, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    office = Office(tmp_path_factory.mktemp("Büro 2"))
    others = {"camera": photographs, "spreadsheet": by_spreadsheet(office)}
    home = follow("issued", tmp_path, others, installed, (OFFLINE,))
    # What the chapter does not show: the edition stands, is tagged and approved, and its page is on the site.
    edition = json.loads((home / "cases/suction/editions/1/edition.json").read_text("utf-8"))
    assert edition["number"] == 1 and len(edition["approvals"]) == 2
    code, said, _ = typed(
        "git tag && asfound status suction --on 2026-05-20 && asfound check", tmp_path, home, installed, (OFFLINE,)
    )
    assert code == 0 and "edition/suction/1" in said, said
    page = (home / "site/case/suction/edition/1/index.html").read_text("utf-8")
    assert "Air came in through a crack of the lid" in page
    assert re.search(r"plan.*before|before.*plan", (home / "site/case/suction/work/index.html").read_text("utf-8"))
    with zipfile.ZipFile(tmp_path / "desk/suction.zip") as pack:
        assert any(name.endswith("editions/1/edition.json") for name in pack.namelist())
    # The script of the workflows can be run, as it came out of the wheel.
    assert (home / ".ci/take-cases").stat().st_mode & 0o111


def test_a_pump_from_nothing_to_a_second_edition(
    installed: Path, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """A kind of the package, with mains, disposables and a checklist, in a folder named as people name them."""
    others = {"camera": photographs, "spreadsheet": by_spreadsheet(Office(tmp_path_factory.mktemp("Büro 3")))}
    where = tmp_path / "Prüf bench"
    where.mkdir()
    story = (Path(__file__).parent / "trials/pump.md").read_text("utf-8")
    home = follow("pump", where, others, installed, (OFFLINE,), story)
    case = home / "cases/pump-bag"
    first, second = (json.loads((case / f"editions/{n}/edition.json").read_text("utf-8")) for n in (1, 2))
    assert (first["number"], second["number"]) == (1, 2) and len(second["approvals"]) == 2
    assert (where / "desk/pump.pdf").read_bytes().startswith(b"%PDF-")
    assert (where / "desk/bench.pdf").read_bytes().startswith(b"%PDF-")
    page = (home / "site/case/pump-bag/index.html").read_text("utf-8")
    assert "whose flow stop does not close" in page and "possible" in page
    old = (home / "site/case/pump-bag/edition/1/index.html").read_text("utf-8")
    assert "24.68" in (case / "readings/flow-rate.csv").read_text("utf-8") and "pump" in old


def test_an_ultrasound_unit_from_nothing_to_an_amendment(installed: Path, tmp_path: Path) -> None:
    """A test planned after the first edition, taken by a laboratory from outside, with a limit set that came along."""
    story = (Path(__file__).parent / "trials/ultrasound.md").read_text("utf-8")
    home = follow("ultrasound", tmp_path, {"camera": photographs}, installed, (OFFLINE,), story)
    case = home / "cases/knee-lesion"
    first, second = (json.loads((case / f"editions/{n}/edition.json").read_text("utf-8")) for n in (1, 2))
    assert (first["number"], second["number"]) == (1, 2) and len(second["approvals"]) == 2
    core = json.loads((case / "editions/2/dossier.json").read_text("utf-8"))["core"]
    said = {
        one["subject"]: one["outcome"] for one in core["verdicts"] if one["limit"] and "us-21" in one["limit"]["set"]
    }
    # 7.4 W where 1.5 W follow from what is shown; 7.4 W where 7.5 W are shown; 480.3 s for 8 min.
    assert said["R-ultrasound-power-pulsed-1"] == said["R-pulsed-second-1"] == "fail"
    assert said["R-ultrasound-power-1"] == said["R-treatment-time-1"] == "pass"
    page = (home / "site/case/knee-lesion/index.html").read_text("utf-8")
    assert "continuous output where pulses of one to four were set" in page


def test_a_lift_from_nothing_to_an_issued_report(installed: Path, tmp_path: Path) -> None:
    """A thing without mains, whose tests are counted trials and marks, and whose limits are what its maker states."""
    story = (Path(__file__).parent / "trials/lift.md").read_text("utf-8")
    home = follow("lift", tmp_path, {"camera": photographs}, installed, (OFFLINE,), story)
    case = home / "cases/lift-fall"
    assert len(json.loads((case / "editions/1/edition.json").read_text("utf-8"))["approvals"]) == 2
    core = json.loads((case / "editions/1/dossier.json").read_text("utf-8"))["core"]
    said = {one["subject"]: one["outcome"] for one in core["verdicts"] if one["limit"]}
    # Two of ten where a latch is asked to close; 1.0 mm ± 0.99 mm where 10 mm are stated; marks above 84 kg.
    assert said["R-latch-closes-1"] == said["R-loop-holds-1"] == said["R-loop-holds-3"] == "fail"
    assert said["R-lift-load-held-1"] == said["R-run-on-4"] == said["R-rated-load-of-part-1"] == "pass"
    assert said["R-lift-battery-voltage-1"] == "not assessable", "its maker states nothing of it"
    # Nothing in 59 trials leaves up to 1 - 0.05 ** (1 / 59) = 4.95 %: Clopper and Pearson, Biometrika 26, 1934.
    results = {one["id"]: one for one in core["results"]}
    assert results["Y-uncommanded-lift-trials-1"]["value"] == "4.95"
    # What is marked is told as read: no meter, no doubt.
    marked = [one for one in core["verdicts"] if one["subject"].startswith("R-rated-load-of-part")]
    assert len(marked) == 3 and not any(one["doubt"] for one in marked)
    measured = (home / "site/case/lift-fall/measurements/index.html").read_text("utf-8")
    assert "off the mark, not measured" in measured and "as marked" in measured
    plan = (case / "plan.yml").read_text("utf-8")
    assert "leakage" not in plan and "protective-earth" not in plan
    page = (home / "site/case/lift-fall/index.html").read_text("utf-8")
    assert "The left latch of the bar does not close" in page and "possible" in page
    assert (tmp_path / "desk/lift.pdf").read_bytes().startswith(b"%PDF-")


def test_a_workstation_from_nothing_to_an_issued_report(installed: Path, tmp_path: Path) -> None:
    """A device with an accessory that has a dial of its own, on four protocols, with mains, gas and agent."""
    story = (Path(__file__).parent / "trials/workstation.md").read_text("utf-8")
    home = follow("workstation", tmp_path, {"camera": photographs}, installed, (OFFLINE,), story)
    case = home / "cases/awake"
    assert len(json.loads((case / "editions/1/edition.json").read_text("utf-8"))["approvals"]) == 2
    core = json.loads((case / "editions/1/dossier.json").read_text("utf-8"))["core"]
    said = {(one["subject"], one["limit"]["name"]): one["outcome"] for one in core["verdicts"] if one["limit"]}
    # A bulb has to stay flat for 10 s: the checkout of 1993, as in appendix 3-22-A of the Indian Health Manual.
    assert said["R-bulb-stays-flat-1", "bulb-stays-flat"] == "pass"
    assert said["R-bulb-stays-flat-2", "bulb-stays-flat"] == "fail"
    # 50 mL/min and 150 mL/min at 3 kPa: ISO 80601-2-13:2011, from memory.
    assert said["R-fresh-gas-leak-2", "fresh-gas-leak"] == said["R-leak-second-1", "fresh-gas-leak"] == "fail"
    assert said["R-breathing-system-leak-1", "breathing-system-leak"] == "pass"
    # 15 % of 2 % are 0.3 %: Br J Anaesth 1993;71:453-457, abstract.
    assert said["R-vaporiser-output-1", "vaporiser-output"] == "pass"
    page = (home / "site/case/awake/index.html").read_text("utf-8")
    assert "sat askew with its lock open" in page and "possible" in page
    assert (tmp_path / "desk/workstation.pdf").read_bytes().startswith(b"%PDF-")
