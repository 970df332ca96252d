"""The warming case against its narrative, and its invented files against the scripts that write them.

The figures of the narrative were invented with it (common practice, no source); the doubt of the spot, 0.6 K, too.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from asfound.physics import exposure
from tests.support import series_warmer

CASE = Path(__file__).resolve().parents[2] / "cases/warmer-calf"


def values(name: str) -> list[float]:
    with (CASE / f"readings/{name}.csv").open(encoding="utf-8") as file:
        return [float(next(v for k, v in row.items() if k.startswith("value"))) for row in csv.DictReader(file)]


def trace(run: int) -> tuple[list[float], list[float]]:
    with (CASE / f"evidence/logs/spot-{run}.csv").open(encoding="utf-8") as file:
        rows = list(csv.reader(file))[1:]
    return [float(row[0]) for row in rows], [float(row[1]) for row in rows]


@pytest.mark.parametrize("name", sorted(series_warmer.files()))
def test_logs_are_what_their_script_writes(name: str) -> None:
    assert (CASE / "evidence/logs" / name).read_bytes() == series_warmer.files()[name].encode()


@pytest.mark.parametrize("run", [1, 2, 3])
def test_a_run_ends_where_its_reading_says(run: int) -> None:
    """130 min, a row every ten seconds; the last row is the reading of the sheet."""
    seconds, degrees = trace(run)
    assert (seconds[0], seconds[-1], len(seconds)) == (0.0, 7800.0, 781)
    assert degrees[-1] == values("spot")[run - 1]


@pytest.mark.parametrize("run", [1, 2, 3])
def test_every_run_passes_what_each_measure_of_the_surface_allows(run: int) -> None:
    """Whole runs, warming up included, and 0.6 K less than logged: still several times what any measure allows."""
    seconds, degrees = trace(run)
    least, most = exposure.used_range(seconds, degrees, exposure.SURFACE, 0.6)
    assert 5.0 < least < most < 60.0
    # Fourteen times are those of a temperature held from the first second; warming up takes some of them.
    assert 10.0 < exposure.used(seconds, degrees, exposure.FIT)[0] < 14.0


def test_the_log_of_the_cut_out_holds_its_reading_and_its_delay() -> None:
    with (CASE / "evidence/logs/cut-out.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    lit = next(row for row in rows if row["lamp of the cut-out"] == "lit")
    off = next(row for row in rows if row["heater"] == "off")
    assert float(lit["air [°C]"]) == values("cut-out")[0] == 52.1
    assert int(off["time [s]"]) - int(lit["time [s]"]) == values("delay")[0]
