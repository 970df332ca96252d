"""`asfound calc NAME --file`: a waveform without a case, in both kinds of file, whole and in a window."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from .support import run

TIMES = np.arange(0.0, 20.0, 0.01)
"""ms; a pulse of 1600 V, 12 ms long, from 4 ms on, and a second one of a tenth of that voltage in another column."""
VOLTS = np.where((TIMES >= 4.0) & (TIMES < 16.0), 1600.0 * np.exp(-(TIMES - 4.0) / 7.5), 0.0)


def _csv(path: Path) -> Path:
    rows = [f"{t:.2f},{v!r},{v / 10.0!r}\n" for t, v in zip(TIMES.tolist(), VOLTS.tolist(), strict=True)]
    path.write_text("time [ms],voltage [V],CH 2 [V]\n" + "".join(rows), "utf-8")
    return path


def _parquet(path: Path) -> Path:
    pa = pytest.importorskip("pyarrow", reason="the extra `table`")
    from pyarrow import parquet

    columns = {"time [ms]": np.round(TIMES, 2), "voltage [V]": VOLTS, "CH 2 [V]": VOLTS / 10.0}
    parquet.write_table(pa.table(columns), path, row_group_size=300)
    return path


MAKERS = {"shock.csv": _csv, "shock.parquet": _parquet}


@pytest.fixture(params=list(MAKERS))
def file(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    return MAKERS[request.param](tmp_path / request.param)


def _energy(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, file: Path, *more: str) -> float:
    args = ("calc", "pulse-energy", "load=50 ohm", "--file", file.name, *more)
    done = run(capsys, monkeypatch, file.parent, *args)
    assert (done.code, done.err) == (0, "")
    assert "Source" in done.out and "IEC 60601-2-4" in done.out and str(file.parent) not in done.out
    found = re.search(r"energy into the load: ([0-9.]+)", done.out.replace("\u00a0", " "))
    assert found
    return float(found[1])


def test_a_waveform_without_a_case_gets_its_energy_and_its_source(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, file: Path
) -> None:
    """Closed form of a truncated exponential, example 35 of the fact sheet (computed): 184.1737 J for 150 µF, 50 ohm.

    The step at either end counts half a sample more or less, which is 0.3 J here.
    """
    assert _energy(capsys, monkeypatch, file) == pytest.approx(184.17, abs=0.4)
    assert _energy(capsys, monkeypatch, file, "--column", "voltage=CH 2") == pytest.approx(1.8417, abs=0.004)


def test_a_window_takes_its_rows_and_no_others(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, file: Path
) -> None:
    """Half of a record and the other half, which share a sample, make the whole: an integral adds up."""
    whole = _energy(capsys, monkeypatch, file)
    first = _energy(capsys, monkeypatch, file, "--to", "8 ms")
    second = _energy(capsys, monkeypatch, file, "--from", "8000 us")
    assert first + second == pytest.approx(whole, abs=0.11) and min(first, second) > 10.0
    least = _energy(capsys, monkeypatch, file, "--along", "voltage", "--from", "1 V")
    assert least == pytest.approx(whole, abs=0.5)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--from", "8"], "--from: time bears no unit; write it after the number, as in 8 s."),
        (["--to", "8 kV"], "--to: time"),
        (["--to", "8±1 ms"], "--to: a doubt has no place here."),
        (["--from", "9 ms", "--to", "8 ms"], "the window begins at 9 ms and ends before that, at 8 ms."),
        (["--along", "volts", "--to", "8 ms"], '--along "volts": pulse-energy reads the columns time, voltage.'),
        (["--along", "voltage"], "--along is about --from and --to; give one of them."),
        (["--column", "volts=CH 2"], '--column "volts=CH 2": pulse-energy reads the columns time, voltage'),
        (["--column", "voltage"], '--column "voltage": pulse-energy reads the columns'),
        (["--column", "voltage=time"], 'the column "time" is meant for two columns of pulse-energy.'),
        (["--column", "voltage=a", "--column", "voltage=b"], "--column names voltage twice."),
    ],
)
def test_what_is_typed_wrong_of_a_file_is_said(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path, more: list[str], said: str
) -> None:
    _csv(tmp_path / "a.csv")
    done = run(capsys, monkeypatch, tmp_path, "calc", "pulse-energy", "--file", "a.csv", *more)
    assert done.code == 2 and said in " ".join(done.err.split())


def test_a_window_without_a_row_and_one_without_a_file(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    _csv(tmp_path / "a.csv")
    done = run(capsys, monkeypatch, tmp_path, "calc", "pulse-energy", "--file", "a.csv", "--from", "3 s")
    assert done.code == 1
    assert "“time” has no row from 3\u00a0s; a window within 0\u00a0s to 0.019\u202f99\u00a0s is needed" in done.err
    done = run(capsys, monkeypatch, tmp_path, "calc", "pulse-energy", "--from", "3 s")
    assert done.code == 2 and "are for a file that --file names" in done.err
