"""The ventilator case's own files give the figures of its narrative; the narrative was written down before them.

Everything in it is invented. The figures: 402 mL dry are 450 mL warm and wet; 7.8 cmH2O before the open tube, over a
limit of 5; no alarm in the record, whose clock is 2 min 10 s behind; 58 in 66 dB(A).
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from asfound.intake import read_series
from asfound.physics.calc import Answer, calculations, evaluate
from tests.support import series_ventilator

CASE = Path("cases/ventilator-disconnect")


def answers(name: str, values: dict[str, float | str], file: str = "", **named: str) -> dict[str, Answer]:
    """A calculation over a file of the case; `named` are its columns where the file calls them otherwise."""
    of = calculations()[name]
    rows = None
    if file:
        read = read_series(CASE / file, file, {named.get(one.name, one.name): one.unit for one in of.columns})
        assert not read.problems
        rows = {one.name: read.columns[named.get(one.name, one.name)] for one in of.columns}
    return {one.slug: one for one in evaluate(of, values, rows)}


@pytest.mark.parametrize("name", sorted(series_ventilator.files()))
def test_files_are_those_the_script_writes(name: str) -> None:
    written = (Path(series_ventilator.FOLDER) / name).read_text(encoding="utf-8")
    assert written == series_ventilator.files()[name]


def test_closed_circuit_gives_402_ml_which_are_450_warm_and_wet() -> None:
    found = answers("breath-traces", {"limit": 5.0, "delay": 15.0}, "evidence/series/connected.csv")
    assert found["volume"].value == pytest.approx(402.0, abs=1.0)
    assert found["rate"].value == pytest.approx(10.0, abs=0.01)
    warm = answers("gas-volume", {"volume": found["volume"].value or 0.0, "from": "ATPD", "to": "BTPS", "set": 450.0})
    assert warm["volume"].value == pytest.approx(450.0, abs=1.5)
    assert warm["error"].value == pytest.approx(0.0, abs=0.3)


def test_open_circuit_stays_above_the_limit_and_the_alarm_would_not_act() -> None:
    found = answers("breath-traces", {"limit": 5.0, "delay": 14.0}, "evidence/series/open-through-tube.csv")
    assert found["peak"].value == pytest.approx(7.8, abs=0.1)
    assert found["least-peak"].value is not None
    assert found["least-peak"].value > 5.0
    assert "would not act" in found["below"].said


def test_tube_alone_holds_back_what_the_unit_shows_open() -> None:
    values = {"flow": series_ventilator.FLOW, "limit": 5.0}
    found = answers("tube-back-pressure", values, "readings/back.csv", pressure="value")
    assert found["pressure"].value == pytest.approx(7.8, abs=0.1)
    assert "stays above" in found["margin"].said


def test_record_is_whole_and_covers_the_event() -> None:
    columns = {"time": "running"}
    found = answers("log-completeness", {"event": 1520.0, "interval": 60.0}, "evidence/logs/unit.csv", **columns)
    assert (found["missing"].value, found["backwards"].value, found["gaps"].value) == (0.0, 0.0, 0.0)
    assert "covers the event" in found["reaches-back"].said


def test_record_holds_no_alarm() -> None:
    """Alarms of this unit bear codes from 300 on (invented)."""
    with (CASE / "evidence/logs/unit.csv").open(encoding="utf-8") as file:
        codes = [int(row["code"]) for row in csv.DictReader(file)]
    assert 210 in codes
    assert not [code for code in codes if 300 <= code < 900]
