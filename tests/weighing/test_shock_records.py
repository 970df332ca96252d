"""The records of the shock case against the readings typed beside them, computed by the program's own calculations.

The figures are invented; the closed form of the handbook's capacitor is circuit theory (computed).
"""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from asfound.intake import read_series
from asfound.physics.calc import calculations, evaluate
from tests.support import series_no_shock
from tests.weighing.test_arithmetic import case, read

FOLDER = Path("cases/no-shock/evidence")


def worked(name: str, file: str, values: dict[str, Any], **columns: str) -> dict[str, float]:
    of = calculations()[name]
    named = {columns.get(one.name, one.name): one for one in of.columns}
    found = read_series(FOLDER / "series" / file, file, {title: one.unit for title, one in named.items()})
    assert found.problems == []
    rows = {one.name: found.columns[title] for title, one in named.items()}
    return {one.slug: one.value for one in evaluate(of, values, rows) if one.value is not None}


@pytest.mark.parametrize(("path", "ref"), [("through the cable", "R-energy-1"), ("through the adapter", "R-adapter-1")])
def test_energy_of_the_record_is_the_reading(path: str, ref: str) -> None:
    found = worked("pulse-energy", "shock-200-j.csv", {"load": 50.0}, voltage=path)
    assert round(found["energy"], 1) == float(read("d3", ref))


def test_the_cable_lying_straight_adds_no_more_than_its_own_resistance() -> None:
    """0.08 ohm at rest, a recorder of half a volt in 1600 V: within 0.05 ohm."""
    found = worked("pulse-pair", "shock-200-j.csv", {"load": 50.0, "inside": 5.0},
                   voltage="through the cable", other="through the adapter")  # fmt: skip
    assert found["series"] == pytest.approx(float(read("d3", "R-cable-1")), abs=0.05)


@pytest.mark.parametrize(("file", "ref"), [("charge-battery.csv", "R-charge-4"), ("charge-mains.csv", "R-charge-1")])
def test_time_to_ready_of_the_record_is_the_reading(file: str, ref: str) -> None:
    assert worked("charge-time", file, {})["charge"] == pytest.approx(float(read("d3", ref)), abs=0.011)


def test_delay_of_the_record_is_the_reading() -> None:
    assert worked("synchroniser-delay", "synchronised.csv", {})["delay"] == pytest.approx(float(read("d3", "R-sync-1")))


@pytest.mark.parametrize("load", [25, 50, 75, 100, 125, 150, 175])
def test_what_the_handbook_states_for_a_load_is_what_its_capacitor_gives(load: int) -> None:
    """150 uF, 1795 V, 5 ohm within, 6 ms and 4 ms, to a joule."""
    values = {"capacitance": 150.0, "voltage": 1795.0, "inside": 5.0, "first": 6.0, "second": 4.0}
    found = {one.slug: one.value for one in evaluate(calculations()["energy-over-loads"], values)}
    stated = {one.when["load"]: one.value.value for one in case("d3").items["I-1"].stated if one.quantity == "energy"}
    assert found[f"into-{load}"] == pytest.approx(float(Decimal(stated[f"{load} Ω"])), abs=1.0)


def test_the_flexes_one_by_one_are_those_of_the_reading() -> None:
    rows = (FOLDER / "logs/flexes.csv").read_text(encoding="utf-8").splitlines()[1:]
    assert (sum(row.split(",")[4] == "yes" for row in rows), len(rows)) == (17, 20)


def test_the_records_are_what_their_script_writes() -> None:
    for name, made in series_no_shock.FILES.items():
        assert (FOLDER / name).read_text(encoding="utf-8") == made(), name
