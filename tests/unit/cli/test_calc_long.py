"""`asfound calc pulse-energy --file` of a long file: no more is held than a stretch, and nothing comes out otherwise.

Memory is counted by `tracemalloc`, which sees what numpy takes; how much a whole process takes is measured in the
bench.
"""

from __future__ import annotations

import tracemalloc
from pathlib import Path

import numpy as np
import pytest

from asfound.intake import Spilled, Window, read_series, series_spill
from asfound.physics import energy
from asfound.physics.calc import calculations, evaluate
from asfound.physics.sampled import CHUNK, Stored, held

WANTED = {"time": "s", "voltage": "V"}
OF = calculations()["pulse-energy"]


def _wave(rows: int, noise: float = 0.0) -> tuple[np.ndarray, np.ndarray]:
    """A two-phase pulse of 20 ms with a rest of 3 V, and noise on it."""
    t = np.arange(rows) * (20e-3 / rows)
    first, second = t - 2e-3, t - 8.4e-3
    v = np.where((first >= 0) & (first < 6e-3), 1600.0 * np.exp(-first / 8e-3), 0.0)
    v -= np.where((second >= 0) & (second < 4e-3), 750.0 * np.exp(-second / 8e-3), 0.0)
    return t, v + 3.0 + np.random.default_rng(3).normal(0.0, noise, rows)


def _file(place: Path, rows: int) -> Path:
    t, v = _wave(rows, 2.0)
    text = "".join(f"{a:.9f},{b:.3f}\n" for a, b in zip((t * 1e3).tolist(), v.tolist(), strict=True))
    place.write_text("time [ms],voltage [V]\n" + text, "utf-8")
    return place


@pytest.mark.parametrize("small", [0, series_spill.SMALL])
@pytest.mark.parametrize("rest", ["left", "taken off"])
def test_a_file_gone_through_in_stretches_gives_the_very_figures_and_plots_of_arrays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, small: int, rest: str
) -> None:
    monkeypatch.setattr(series_spill, "SMALL", small or 1)
    place = _file(tmp_path / "shock.csv", 3 * CHUNK + 5)
    whole = dict(read_series(place, place.name, WANTED).columns)
    aside = read_series(place, place.name, WANTED, aside=True).columns
    assert isinstance(aside, Spilled) and isinstance(aside, Stored) and aside.size == 3 * CHUNK + 5
    assert not isinstance(whole, Stored)
    assert all((aside[name] == whole[name]).all() for name in WANTED)
    values = {"load": 50.0, "scale": 0.5, "rest": rest}
    doubts = {"load": 0.5, "scale": 1.0}
    assert evaluate(OF, values, aside, doubts) == evaluate(OF, values, whole, doubts)
    assert OF.plots is not None
    assert list(OF.plots(values, aside, ())) == list(OF.plots(values, whole, ()))


def test_no_more_than_stretches_are_held(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """16 bytes a row in arrays; put aside and gone through, a small part of that, whatever the number of rows."""
    monkeypatch.setattr(series_spill, "SMALL", 1)
    place, rows = _file(tmp_path / "shock.csv", 600_000), 600_000
    read_series(_file(tmp_path / "tiny.csv", 99), "tiny.csv", WANTED, aside=True)  # what is imported late is there now

    def most(aside: bool) -> int:
        tracemalloc.start()
        try:
            columns = read_series(place, place.name, WANTED, aside=aside).columns
            evaluate(OF, {"load": 50.0}, columns)
            assert OF.plots is not None
            OF.plots({"load": 50.0, "scale": 0.0, "rest": "left"}, columns, ())
            return tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()

    held_whole, in_stretches = most(False), most(True)
    assert held_whole > 16 * rows
    assert in_stretches < 5_000_000


def test_a_window_and_what_is_wrong_are_told_alike(tmp_path: Path) -> None:
    place = _file(tmp_path / "shock.csv", 5_000)
    window = Window("time", 4e-3, 9e-3)
    whole = read_series(place, place.name, WANTED, window).columns
    aside = read_series(place, place.name, WANTED, window, aside=True).columns
    assert isinstance(aside, Spilled) and aside["voltage"].tolist() == whole["voltage"].tolist()
    for wrong in ("time [ms],voltage [V]\n1,2\n2,x\n3\n", "time [ms],voltage [V]\n", "time [ms],volts [V]\n1,2\n"):
        place.write_text(wrong, "utf-8")
        one, other = (read_series(place, place.name, WANTED, aside=aside) for aside in (False, True))
        assert one.problems and one.problems == other.problems and not other.columns


def test_a_stretch_ends_with_its_column_and_other_names_are_the_same_column() -> None:
    made = Spilled(["a"])
    made.add({"a": np.arange(10.0)})
    made.add({"a": np.arange(10.0, 12.0)})
    other = made.named({"time": "a"})
    assert other.stretch("time", 9, 40).tolist() == [9.0, 10.0, 11.0] and not other.stretch("time", 12, 13).size
    assert list(other) == ["time"] and len(other) == 1 and other.size == 12


def test_noise_where_a_slow_flank_crosses_the_edge_is_no_phase() -> None:
    """A damped sine of a million samples whose tail crosses a twentieth of its peak slowly: one phase all the same."""
    t = np.arange(1_000_000) * 2e-8
    v = 3000.0 * np.exp(-t / 3e-3) * (1.0 - np.exp(-t / 5e-4))
    clean = energy.pulse(t, v, 50.0)
    noisy = energy.pulse(t, v + np.random.default_rng(1).normal(0.0, 5.0, t.size), 50.0)
    assert len(clean.phases) == len(noisy.phases) == 1
    assert noisy.phases[0].duration == pytest.approx(clean.phases[0].duration, rel=0.1)


def test_a_dip_below_half_the_edge_ends_a_phase_also_where_two_stretches_meet() -> None:
    for gap in (0.0, 30.0):
        for at in (CHUNK - 50, CHUNK - 100, CHUNK, 2 * CHUNK + 17):
            v = np.full(3 * CHUNK, 1000.0)
            v[:100] = v[-100:] = 0.0
            v[at : at + 100] = gap
            found = energy.pulse_of(held(np.arange(v.size) * 1e-6, v), 50.0)
            assert len(found.phases) == (2 if gap < 25.0 else 1)
            below = energy.pulse_of(held(np.arange(v.size) * 1e-6, -v), 50.0)
            assert [one.start for one in below.phases] == [one.start for one in found.phases]


def test_what_is_no_pulse_is_refused_in_words() -> None:
    """Alternating voltage: ever so many phases would be listed, and none of them says anything."""
    t = np.arange(500_000) * 1e-5
    with pytest.raises(ValueError, match="alternating voltage or noise, and no pulse"):
        energy.pulse(t, np.sin(2 * np.pi * 60.0 * t), 50.0)
