"""`asfound calc NAME --chart`: pictures that stand alone, never over a file unasked, never among evidence."""

from __future__ import annotations

import json
import math
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from .support import repository, run

DOSE = ("calc", "thermal-dose", "temperature=48.9±1.2 degC", "time=130±10 min")
NS = "{http://www.w3.org/2000/svg}"


def _words(file: Path) -> str:
    root = ET.fromstring(file.read_bytes())
    return " ".join(" ".join(e.text or "" for e in root.iter(f"{NS}text")).split())


def test_a_chart_stands_alone_with_result_inputs_formula_and_source(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    done = run(capsys, monkeypatch, tmp_path, *DOSE, "--chart", "dose.svg")
    assert (done.code, done.err) == (0, "dose.svg is written.\n")
    plain = run(capsys, monkeypatch, tmp_path, *DOSE)
    assert plain.out == done.out
    words = _words(tmp_path / "dose.svg")
    for part in (
        "as used: 48.9\u00a0°C",
        "Inputs: temperature 48.9±1.2 degC, time 130±10",
        "Formula: ",
        "Source: ",
    ):
        assert " ".join(part.split()) in words
    assert "Caution: It says what is plausible" in words
    again = run(capsys, monkeypatch, tmp_path, *DOSE, "--chart", "again.svg")
    assert again.code == 0 and (tmp_path / "again.svg").read_bytes() == (tmp_path / "dose.svg").read_bytes()
    assert str(tmp_path).encode() not in (tmp_path / "dose.svg").read_bytes()


def test_several_plots_become_several_files_and_json_stays_json(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    lines = [f"{i / 100:.2f},{1430 * math.exp(-i / 800) if i < 700 else 0:.1f}" for i in range(1000)]
    (tmp_path / "shock.csv").write_text("time [ms],voltage [V]\n" + "\n".join(lines) + "\n", encoding="utf-8")
    given = ("calc", "pulse-energy", "load=50 ohm", "--file", "shock.csv", "--chart", "shock.svg", "--json")
    done = run(capsys, monkeypatch, tmp_path, *given)
    assert done.code == 0 and json.loads(done.out)["calculation"] == "pulse-energy"
    written = sorted(path.name for path in tmp_path.glob("*.svg"))
    assert written == ["shock-energy.svg", "shock-waveform.svg"]
    assert "file shock.csv" in _words(tmp_path / "shock-energy.svg")
    (tmp_path / "shock-waveform.svg").unlink()
    before = (tmp_path / "shock-energy.svg").read_bytes()
    refused = run(capsys, monkeypatch, tmp_path, *given)
    assert refused.code == 2 and "shock-energy.svg is there already" in refused.err
    assert not (tmp_path / "shock-waveform.svg").exists()
    assert (tmp_path / "shock-energy.svg").read_bytes() == before


def test_a_file_is_written_over_only_when_asked(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "dose.svg").write_text("mine", encoding="utf-8")
    done = run(capsys, monkeypatch, tmp_path, *DOSE, "--chart", "dose.svg")
    assert done.code == 2 and "dose.svg is there already; name another file, or add --replace." in done.err
    assert done.out == "" and (tmp_path / "dose.svg").read_text(encoding="utf-8") == "mine"
    assert run(capsys, monkeypatch, tmp_path, *DOSE, "--chart", "dose.svg", "--replace").code == 0
    assert _words(tmp_path / "dose.svg")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("calc", "--chart", "x.svg"), "--chart needs a calculation"),
        (("calc", "thermal-dose", "--replace"), "--replace is for a file that --chart names"),
        (("calc", "thermal-dose", "--chart", "x.svg"), "temperature and time are not given"),
        ((*DOSE, "--chart", "x.png"), "ends in .svg"),
        ((*DOSE, "--chart", "no/x.svg"), "there is no folder no"),
        ((*DOSE, "--chart", "folder.svg"), "folder.svg is no file"),
        (("calc", "gas-volume", "volume=402 mL", "from=ATPD", "to=BTPS", "--chart", "x.svg"), "has nothing to draw"),
        ((*DOSE, "--chart", "cases/small-case/x.svg"), "whose files are evidence"),
    ],
)
def test_what_is_refused(
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    given: tuple[str, ...],
    said: str,
) -> None:
    repository(tmp_path)
    (tmp_path / "folder.svg").mkdir()
    done = run(capsys, monkeypatch, tmp_path, *given)
    assert done.code == 2 and said in " ".join(done.err.split()) and "Traceback" not in done.err
    assert not list(tmp_path.rglob("x.*"))


def test_what_can_be_drawn_is_said_beside_what_is_needed(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    line = "--chart FILE.svg: draws what there is to see of it\n"
    assert line in run(capsys, monkeypatch, tmp_path, "calc", "thermal-dose").out
    assert line not in run(capsys, monkeypatch, tmp_path, "calc", "gas-volume").out
