"""A redacted pack as the command writes it, and what both verifiers say of it when it was tampered with."""

from __future__ import annotations

import html
import json
import subprocess
import sys
from pathlib import Path

import pytest

from asfound.pack import alone, verify
from tests.rules.support import CASE, Copy
from tests.unit.cli.support import Done, apart
from tests.unit.pack.support import ON, archive, files_of, outcomes, sealed

TOP = "redacted-draft"
CLEAN = ("data/redacted.json", "data/report.html", "data/ro-crate-metadata.json")


def pack(root: Path, out: Path, *more: str) -> Done:
    """`asfound pack base --draft --redacted`."""
    arguments = ("pack", "base", "--draft", "--redacted", "--on", ON, "--root", str(root), *more)
    return apart(out, *arguments, env={"TZ": "Asia/Kathmandu"})


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a redacted pack of the base case, which shows one picture."""
    root = Copy(tmp_path_factory.mktemp("repository")).root
    out = tmp_path_factory.mktemp("out")
    done = pack(root, out, "--picture", "E-1")
    assert done.code == 0, done.err
    assert done.out.strip().endswith(f"{TOP}.zip") and "A person has to read it" in done.err
    subprocess.run(["unzip", "-q", f"{TOP}.zip"], cwd=out, check=True, timeout=60)
    return out


def test_it_holds_what_is_shown_and_no_file_of_the_case(home: Path) -> None:
    files = files_of(home / f"{TOP}.zip")
    assert set(files) == {*alone.TAG_FILES, *CLEAN, "data/pictures/E-1.png"}
    data = json.loads(files["data/redacted.json"])
    assert data["items"]["I-1"]["serial"] == "serial 1"
    assert data["event"]["told_at"] == "at the time of the event"
    assert data["custody"]["C-1"]["received_at"] == "1 h 10 min after the event"
    assert data["readings"]["R-flow-4"]["value"] == "111.9"
    assert data["custody"]["C-1"]["received_by"] == "risk-manager"
    assert len(data["verdicts"]) == 15
    # What was taken out is told by kind and number, and what cannot be checked is told too, wherever it is read.
    for text in (files["README.txt"].decode(), files["data/report.html"].decode()):
        for said in (*data["removed"], *data["cannot_be_checked"]):
            assert html.unescape(said) in html.unescape(text)
    assert any(one.startswith("Serial numbers: 4,") for one in data["removed"])


def test_both_verifiers_say_what_they_checked_and_no_more(home: Path) -> None:
    for place in (home / f"{TOP}.zip", home / TOP):
        found = verify(place)
        assert outcomes(found) == {**dict.fromkeys((1, 2, 3, 4), "passed"), **dict.fromkeys((5, 6, 7, 8), "not done")}
        assert "nor that it tells of any case" in found.text() and "was not looked for here" in found.text()
        done = subprocess.run(
            [sys.executable, "-I", "-S", str(home / TOP / "verify.py"), str(place)],
            capture_output=True, text=True, check=False, timeout=60,
        )  # fmt: skip
        assert done.returncode == 0 and done.stdout == found.text()


@pytest.mark.parametrize("name", [*CLEAN, "README.txt", "verify.py", "bag-info.txt", "bagit.txt", "SHA256SUMS"])
def test_an_altered_byte_is_found(name: str, home: Path, tmp_path: Path) -> None:
    files = files_of(home / f"{TOP}.zip")
    data = bytearray(files[name])
    data[len(data) // 2] ^= 1
    found = verify(archive(tmp_path / "x.zip", files | {name: bytes(data)}, TOP))
    assert found.failed


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"data/case/case.yml": b"case: base\n"}, "data/case/case.yml belongs to no pack"),
        ({"data/approvals/a.json": b"{}"}, "data/approvals/a.json belongs to no pack"),
        ({"data/dossier.json": b"{}"}, "data/dossier.json belongs to no pack"),
    ],
)
def test_what_belongs_to_the_whole_pack_alone_is_refused(
    more: dict[str, bytes], said: str, home: Path, tmp_path: Path
) -> None:
    found = verify(archive(tmp_path / "x.zip", sealed(files_of(home / f"{TOP}.zip") | more), TOP))
    assert found.failed and said in found.text()


def test_nothing_is_packed_where_a_leak_is_left(tmp_path: Path) -> None:
    """An id is shown as it is: one that holds a serial number has to be renamed by a person."""
    root = Copy(tmp_path / "r", [("items.yml", 'serial: "118"', 'serial: "kx-77310-q"')]).root
    for path in [*(root / CASE).rglob("*.yml"), *(root / CASE).rglob("*.csv")]:
        path.write_text(path.read_text().replace("I-3", "I-kx-77310-q"))
    done = pack(root, tmp_path)
    assert done.code == 1
    assert (
        "redacted.json would still hold a serial of the case; see where it stands in the case, and reword" in done.err
    )
    assert "kx-77310-q" not in done.err.replace(str(root), "")
