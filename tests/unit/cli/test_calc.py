"""`asfound calc`: the list, what a calculation needs, results with their ground, and what is refused."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from asfound.measure.units import unit
from asfound.physics.calc import Answer, Calculation, Column, Input, Rows, calculations, evaluate

from .support import run

ALL = list(calculations().values())


def _run(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path, *args: str
) -> tuple[int, str, str]:
    done = run(capsys, monkeypatch, tmp_path, "calc", *args)
    return done.code, done.out, done.err


def test_every_calculation_is_listed_and_explained(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    code, out, err = _run(capsys, monkeypatch, tmp_path)
    assert (code, err) == (0, "")
    assert [line.split()[0] for line in out.splitlines()] == sorted(one.name for one in ALL)
    for one in ALL:
        code, out, err = _run(capsys, monkeypatch, tmp_path, one.name)
        assert (code, err) == (0, "")
        said = " ".join(out.split())
        for part in (one.title, one.formula, one.source, one.status, *one.assumes, *one.cautions):
            assert " ".join(part.split()) in said
        for each in (*one.inputs, *one.columns):
            assert each.name in said and each.what in said


@pytest.mark.parametrize("of", ALL, ids=lambda one: one.name)
def test_a_calculation_is_whole(of: Calculation) -> None:
    """Units are known, a source and its status are named, it says what it assumes, and it warns."""
    for each in (*of.inputs, *of.columns):
        assert not each.unit or unit(each.unit) is not None
        assert isinstance(each, Input | Column) and each.what
    assert of.source and of.assumes and of.cautions
    known = ("confirmed", "secondary", "from memory", "computed", "common practice, no source")
    assert of.status.startswith(known)


def test_a_result_with_its_doubt(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    code, out, err = _run(capsys, monkeypatch, tmp_path, "heating-factor", "current=1150±30 mA", "time=95 s")
    assert (code, err) == (0, "")
    assert "heating factor: 125.6 A²·s ± 6.6 A²·s" in out.replace("\u00a0", " ")
    assert "current: 1150±30 mA" in out


def test_json_says_the_same(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    args = ("thermal-dose", "temperature=48.9 degC", "time=130 min", "--json")
    code, out, _ = _run(capsys, monkeypatch, tmp_path, *args)
    data = json.loads(out)
    assert code == 0 and data["calculation"] == "thermal-dose"
    assert data["given"] == {"temperature": "48.9 degC", "time": "130 min", "other": "0 degC"}
    assert all(math.isfinite(one["low"]) and one["low"] <= one["high"] for one in data["answers"] if one["low"])
    assert out == _run(capsys, monkeypatch, tmp_path, *args)[1]


def test_a_range_is_no_single_number() -> None:
    """Where published models disagree, only their range is given."""
    answers = evaluate(calculations()["thermal-dose"], {"temperature": 50.0, "time": 60.0})
    ranged = [one for one in answers if one.low is not None]
    assert len(ranged) == 3 and all(one.value is None for one in ranged)
    cold = evaluate(calculations()["thermal-dose"], {"temperature": 42.0, "time": 60.0})
    assert [one.said for one in cold if "not run" in one.said]


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("heating-facto",), 'there is no calculation "heating-facto". Did you mean "heating-factor"?'),
        (("heating-factor", "current=1.15", "time=95 s"), "current bears no unit; write it after the number"),
        (("heating-factor", "current=1.15 V", "time=95 s"), "V measures voltage and A measures electric current"),
        (("heating-factor", "current=1.15 a", "time=95 s"), 'current: no unit "a" is known'),
        (("heating-factor", "current=1,15 A", "time=95 s"), "current:"),
        (("heating-factor", "current=1 A", "current=2 A"), "current is given twice; time is not given"),
        (("heating-factor", "current=-1 A", "time=1 s"), "current must be above 0"),
        (("heating-factor", "amps=1 A"), '"amps=1 A" is no input of heating-factor; its inputs are: current, time'),
        (("gas-volume", "volume=1 mL", "from=XTPS", "to=BTPS"), 'from is one of BTPS, ATPS, ATPD, STPD, not "XTPS"'),
        (("thermistor-series", "resistance=1 ohm", "temperature=36 degC", "b=9 K", "series=1 ohm"), "without a unit"),
        (("heating-factor", "current=1 A", "time=1 s", "--file", "x.csv"), "takes no file"),
        (("trumpet", "rate=5 mL/h"), "trumpet needs --file"),
        (("trumpet", "rate=5 mL/h", "--file", "missing.csv"), "missing.csv cannot be read"),
    ],
)  # fmt: skip
def test_wrong_input_is_said_in_one_line(
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    args: tuple[str, ...],
    said: str,
) -> None:
    code, out, err = _run(capsys, monkeypatch, tmp_path, *args)
    assert (code, out) == (2, "")
    assert said in " ".join(err.split())


def test_a_file_of_flows(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    file = tmp_path / "flow.csv"
    file.write_text("flow [mL/h]\n" + "5\n" * 60 + "0\n" + "5\n" * 59)
    code, out, err = _run(capsys, monkeypatch, tmp_path, "trumpet", "rate=5 mL/h", "--file", str(file))
    assert (code, err) == (0, "")
    assert "deviations over 2 min: from −25 % to 0 %" in out.replace("\u00a0", " ")
    assert "file: flow.csv" in out and str(tmp_path) not in out
    file.write_text("flow [mL/h]\nfive\n")
    code, out, err = _run(capsys, monkeypatch, tmp_path, "trumpet", "rate=5 mL/h", "--file", str(file))
    assert (code, out) == (1, "")
    assert err.startswith("flow.csv:2:1 reject series-not-a-number")


SAMPLE = {
    "contact-temperature": {"hot": 60.0, "material": "wood"},
    "damped-sine": {"capacitance": 32.0, "inductance": 25.0, "voltage": 5000.0, "series": 11.0},
    "truncated-exponential": {"capacitance": 150.0, "voltage": 1600.0, "duration": 12.0},
    "current-density": {"current": 92.0, "area": 0.8},
    "joule-heating": {"density": 100.0},
    "source-impedance": {"open": 60.0, "loaded": 1.2},
    "isolated-power": {"voltage": 120.0, "hazard": 2.1, "insulation": 20e3},
    "touch-current": {"voltage": 20.0},
    "gravimetric-flow": {"mass": 9.96, "time": 2.0, "temperature": 22.0, "rate": 5.0},
    "mass-balance": {"filled": 50.0, "left": 4.0, "time": 2 / 3, "rate": 5.0},
    "skin-heating": {"surface": 50.0, "time": 10.0},
    "gas-volume": {"volume": 402.0, "from": "ATPD", "to": "BTPS"},
    "thermistor-series": {"resistance": 1412.0, "temperature": 36.0, "b": 3960.0, "series": 83.0},
    "thermal-dose": {"temperature": 70.0, "time": 1.0},
    "dose-of-trace": {},
    "skin-under-air": {"air": 48.9, "film": 60.0, "time": 600.0},
    "contact-threshold": {"time": 60.0},
    "uneven-wires": {},
    "heating-factor": {"current": 0.7, "time": 60.0},
    "pulse-energy": {},
    "pulse-pair": {},
    "charge-time": {},
    "synchroniser-delay": {"look": 0.5},
    "energy-over-loads": {"capacitance": 150.0, "voltage": 1800.0, "first": 6.0, "second": 4.0},
    "trumpet": {"rate": 5.0},
    "siphon": {"height": 75.0},
    "flow-run": {"rate": 5.0, "temperature": 22.0, "window": 40.0},
    "evaporation-blank": {"rate": 5.0, "temperature": 22.0},
    "occlusion": {"mass": 0.4, "temperature": 22.0, "rate": 5.0, "time": 600.0, "pressure": 300.0, "missing": 43.0},
    "record-windows": {"rate": 5.0, "given": 46.0},
    "agreement": {},
    "held-by-control": {
        "resistance": 1412.0,
        "temperature": 36.0,
        "b": 3950.0,
        "setting": 36.0,
        "series": 83.0,
        "least": 1.4,
        "most": 1.8,
    },
    "probe-in-bath": {"resistance": 1412.0, "temperature": 36.0, "b": 3950.0},
    "probe-excess": {"resistance": 1412.0, "temperature": 36.0, "b": 3950.0},
    "thermistor-curve": {
        "cold": 1536.0,
        "cold-bath": 34.0,
        "middle": 1412.0,
        "middle-bath": 36.0,
        "warm": 1301.0,
        "warm-bath": 38.0,
    },
    "door-answer": {},
    "air-recovery": {"setting": 36.0, "since": 0.0, "settle": 5.0},
    "heater-duty": {"rated": 400.0},
    "heat-against-height": {"height": 65.0, "intended": 80.0},
    "tube-back-pressure": {"flow": 8.0, "limit": 5.0},
    "alarm-margin": {"limit": 4.9, "open": 7.8},
    "breath-traces": {"limit": 5.0, "delay": 14.0},
    "pressure-decay": {"compliance": 2.0, "pressure": 30.0},
    "circuit-compliance": {},
    "alarm-audibility": {"alarm": 58.0, "noise": 66.0},
    "cylinder-duration": {"size": 2.0, "pressure": 110.0, "flow": 5.0},
    "log-completeness": {"event": 25.0},
    "hazard-build-up": {"voltage": 120.0, "before": 0.4, "monitor": 0.05, "shown": 8.1},
    "monitor-check": {"voltage": 120.0, "resistor": 24.0, "shown": 5.1, "before": 0.1},
    "fault-pairs": {"voltage": 120.0, "hazard": 2.1},
    "body-current-range": {"voltage": 230.0},
    "current-levels": {"current": 1.2},
    "trend": {},
    "sister-units": {"value": 2.1},
    "missed-intermittent": {"trials": 59.0},
    "alarm-chain": {"signal": 10.0, "delay": 6.0, "sound": 1.0, "remote": 5.0, "level": 58.0, "background": 66.0},
    "capacitive-current": {"frequency": 500.0, "capacitance": 60.0, "voltage": 700.0},
    "current-squared": {},
    "direct-current-charge": {"current": 40.0, "time": 180.0, "area": 1.5},
    "electrode-density": {"current": 120.0, "area": 1.1, "time": 20.0},
    "heating-clusters": {"pause": 60.0},
    "lead-wavelength": {"length": 1.2, "frequency": 63.9},
    "on-time-clusters": {"pause": 60.0},
    "pressure-criteria": {"mean": 3.1, "deviation": 7.2, "person-deviation": 5.8},
    "print-area": {"known": 10.0, "read": 500.0, "whole": 130.0},
    "rf-share": {"lead": 92.0, "total": 540.0},
}
ROWS = {
    "dose-of-trace": {"time": [0.0, 60.0, 120.0, 600.0], "temperature": [33.0, 44.0, 48.0, 48.9]},
    "uneven-wires": {"resistance": [100.0, 80.0, 101.0]},
    "pulse-energy": {"time": [0.0, 1e-3, 2e-3], "voltage": [0.0, 1000.0, 0.0]},
    "pulse-pair": {
        "time": [0.0, 1e-3, 2e-3, 3e-3],
        "voltage": [0.0, 990.0, 700.0, 0.0],
        "other": [0.0, 1000.0, 710.0, 0.0],
    },
    "charge-time": {"time": [0.0, 1.0, 2.0, 7.0], "key": [0.0, 5.0, 0.0, 0.0], "ready": [0.0, 0.0, 0.0, 5.0]},
    "synchroniser-delay": {
        "time": [0.0, 0.1, 0.2, 0.3, 0.34],
        "ecg": [0.0, 0.0, 1.2, 0.0, 0.0],
        "voltage": [0.0, 0.0, 0.0, 0.0, 1500.0],
    },
    "trumpet": {"flow": [5.0] * 70},
    "siphon": {"height": [25.0, 50.0, 75.0], "flow": [22.0, 46.0, 70.0]},
    "flow-run": {"time": [0.5 * n for n in range(260)], "mass": [0.0415 * n for n in range(260)]},
    "evaporation-blank": {"time": [0.0, 20.0, 40.0, 60.0], "mass": [9.0, 8.9993, 8.9985, 8.998]},
    "record-windows": {"time": [0.0, 10.0, 40.0], "volume": [0.0, 0.8, 3.3]},
    "agreement": {"error": [1.0, -2.0, 0.0]},
    "probe-in-bath": {"bath": [34.0, 36.0, 38.0], "shown": [32.8, 34.6, 36.5]},
    "probe-excess": {"bath": [34.0, 36.0, 38.0], "ohms": [1617.0, 1495.0, 1384.0]},
    "door-answer": {
        "time": list(range(200)),
        "probe": [36.0, 36.1] * 100,
        "air": [34.0] * 90 + [32.0] * 10 + [34.0] * 100,
        "door": [0.0] * 90 + [1.0] * 5 + [0.0] * 105,
    },
    "air-recovery": {"time": list(range(20)), "air": [34.0 + 0.25 * min(k, 9) for k in range(20)]},
    "heater-duty": {"time": list(range(0, 400, 10)), "heater": [20.0 + k for k in range(40)]},
    "heat-against-height": {"height": [60.0, 80.0, 100.0], "rise": [18.0, 11.0, 7.0]},
    "tube-back-pressure": {"flow": [2.0, 4.0, 8.0, 12.0], "pressure": [0.75, 2.3, 7.75, 16.4]},
    "breath-traces": {
        "time": [0.1 * n for n in range(200)],
        "pressure": [15.0 if n % 40 in range(5, 25) else 3.0 for n in range(200)],
        "flow": [8.0 if n % 40 in range(5, 25) else 0.0 for n in range(200)],
    },
    "pressure-decay": {"time": [0.0, 2.0, 4.0, 6.0, 8.0], "pressure": [40.0, 36.1, 32.6, 29.5, 26.6]},
    "circuit-compliance": {"volume": [0.0, 20.0, 40.0, 60.0], "pressure": [0.0, 10.1, 20.0, 30.1]},
    "log-completeness": {"number": [1.0, 2.0, 4.0, 5.0], "time": [0.0, 10.0, 30.0, 40.0]},
    "hazard-build-up": {"socket": [1.0, 2.0, 6.0], "hazard": [0.9, 0.8, 6.0]},
    "fault-pairs": {"insulation": [2e4, 20.0, 20.0], "cord": [0.1, 0.1, 1e9], "socket": [0.06, 0.06, 1e9]},
    "trend": {"time": [0.0, 180.0, 365.0, 540.0, 730.0], "value": [0.08, 0.09, 0.09, 0.1, 0.19]},
    "sister-units": {"sister": [20.0, 22.0, 21.0, 25.0, 19.0]},
    "current-squared": {"current": [0.25, 0.5, 0.7, 1.0], "rise": [0.4, 1.5, 2.9, 6.1]},
    "heating-clusters": {"start": [0.0, 30.0, 400.0], "on": [20.0, 15.0, 45.0], "current": [0.7, 0.7, 0.9]},
    "on-time-clusters": {"start": [0.0, 30.0, 400.0], "on": [20.0, 15.0, 45.0]},
    "print-area": {
        "outline": [1.0] * 4 + [2.0] * 4 + [3.0] * 4,
        "x": [0.0, 500.0, 500.0, 0.0, 2.0, 498.0, 499.0, 1.0, 0.0, 503.0, 501.0, 1.0],
        "y": [0.0, 0.0, 450.0, 450.0, 1.0, 2.0, 447.0, 449.0, 0.0, 1.0, 452.0, 451.0],
    },
}


@pytest.mark.parametrize("of", ALL, ids=lambda one: one.name)
def test_every_calculation_answers(of: Calculation) -> None:
    answers = evaluate(of, SAMPLE[of.name], ROWS.get(of.name))
    assert answers
    for one in answers:
        assert unit(one.unit) is not None, one
        assert one.value is not None or one.said or one.low is not None, one
        assert one.value is None or math.isfinite(one.value)
        if one.low is not None and one.high is not None:
            assert one.low <= one.high
            assert one.value is None or one.low <= one.value <= one.high


def test_what_is_missing_is_said() -> None:
    with pytest.raises(ValueError, match="current and time are not given"):
        evaluate(calculations()["heating-factor"], {})
    with pytest.raises(ValueError, match="a file with values is needed"):
        evaluate(calculations()["agreement"], {})


def test_a_doubt_that_reaches_beyond_a_model_is_carried_on_one_side_and_said(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A load of 1 Ω ± 2 Ω: below 0 there is none. The other side in closed form: C V² / 2 (1 − exp(−2T/RC))."""
    words = ("truncated-exponential", "capacitance=150 uF", "voltage=1600 V", "load=1±2 ohm", "duration=1 ms")
    code, out, err = _run(capsys, monkeypatch, tmp_path, *words)
    assert (code, err) == (0, "")
    said = " ".join(out.split())
    assert "With the load at -1 Ω nothing comes of it (load must be above 0), so that its doubt is carried on" in said
    at = [75e-6 * 1600.0**2 * -math.expm1(-2.0 * 1e-3 / (load * 150e-6)) for load in (1.0, 3.0)]
    of = calculations()["truncated-exponential"]
    values = {"capacitance": 150.0, "voltage": 1600.0, "load": 1.0, "duration": 1.0}
    [found] = evaluate(of, values, None, {"load": 2.0})
    assert found.value == pytest.approx(at[0]) and found.doubt == pytest.approx(at[0] - at[1])


def test_a_doubt_a_model_does_not_speak_to_on_either_side_is_said_to_be_missing() -> None:
    def narrow(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
        if given["at"] != 5.0:
            raise ValueError("the table has one row")
        return (Answer("first", 1.0, "V"), Answer("range", None, "V", 1.0, 2.0))

    of = Calculation("one", "One", (Input("at", "V", "where"),), "f", "s", "computed", ("a",), narrow)
    for one in evaluate(of, {"at": 5.0}, None, {"at": 1.0}):
        assert one.said.startswith("With the at at 6\u00a0V and 4\u00a0V nothing comes of it (the table has one row), ")
        assert one.said.endswith("so that its doubt is not in this figure.")
        assert one.doubt is None or one.doubt == 0.0


def test_answers_that_come_and_go_with_a_doubt_are_matched_by_name() -> None:
    def steps(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
        more = (Answer("second", 2.0 * given["at"], "V"),) if given["at"] > 4.5 else ()
        return (Answer("first", given["at"], "V"), *more)

    of = Calculation("two", "Two", (Input("at", "V", "where"),), "f", "s", "computed", ("a",), steps)
    first, second = evaluate(of, {"at": 5.0}, None, {"at": 1.0})
    assert (first.doubt, second.doubt, first.said) == (1.0, 2.0, "")
    assert "With the at at 4\u00a0V nothing comes of it (there is no such answer)" in second.said
