"""The arithmetic of the nine narratives, from the readings that stand in the cases to the figures the narratives give.

Where the program has a model or a derived result it is asked; beside it stands the plain formula. The figures were
worked by hand when the narratives were invented (common practice, no source; sources of benchmarks stand beside them).
"""

from __future__ import annotations

import math
from decimal import Decimal

import pytest

from asfound.model.case import Case
from asfound.model.verdict import Result
from asfound.physics.curve import held_by_control
from asfound.physics.dose import fitted_time
from asfound.physics.gas import Ambient, GasCondition, factor
from asfound.physics.infusion import balance, head, siphon
from asfound.physics.probe import Thermistor, shift_by_series
from asfound.physics.shock import isolated_touch, monitor_check_resistance
from tests.weighing.narratives import NARRATIVES
from tests.weighing.test_narratives import assessed

GOOD = {told.name: told for told in NARRATIVES}


def case(name: str) -> Case:
    dossier = assessed(GOOD[name]).dossier
    assert dossier is not None
    return dossier.core.case


def result(name: str, ref: str) -> Result:
    dossier = assessed(GOOD[name]).dossier
    assert dossier is not None
    return next(one for one in dossier.core.results if one.id == ref)


def read(name: str, ref: str) -> Decimal:
    """A reading of a narrative, in the unit it stands in."""
    number = case(name).reading[ref].value.number
    assert number is not None
    return number


def test_d1_heating_factor_and_area() -> None:
    """1.15^2 x 95 = 126 A2s against the 30 A2s of AAMI HF-18 (secondary); 46 of 120 cm2."""
    longest = [f"R-log-{row}" for row in range(21, 26)]
    seconds = sum(read("d1", ref) for ref in longest)
    assert seconds == 95
    assert read("d1", "R-current-1") ** 2 * seconds == pytest.approx(Decimal("125.6"), abs=Decimal("0.1"))
    derived = result("d1", "Y-log-heating-factor")
    assert (derived.unit, float(derived.value or 0)) == ("A2s", pytest.approx(125.6, abs=0.1))
    assert float(read("d1", "R-gel-1") / read("d1", "R-gel-4")) == pytest.approx(0.38, abs=0.005)


def test_d2_balance_of_volumes_and_flow_by_gravity() -> None:
    """46 mL in 40 min are 69 mL/h; ten times the rate would be 33 mL; 75 cm are 55 mmHg; the line gives about 70."""
    left, logged = read("d2", "R-left-1"), read("d2", "R-log-1")
    made = balance(Decimal(50), left, Decimal(0), Decimal(40) / 60, Decimal("5.0"), logged)
    assert made.given == Decimal(46) == 50 - left
    assert float(made.implied) == pytest.approx(46 / (40 / 60))
    assert float(made.implied) == pytest.approx(69)
    supposed = {one.name: one for one in made.supposed}
    assert float(supposed["ten times the rate"].volume) == pytest.approx(33.3, abs=0.05)
    assert float(supposed["as set"].volume) == pytest.approx(float(logged), abs=0.05)
    heights = [float(case("d2").reading[f"R-gravity-{row}"].conditions["height"]) for row in range(1, 10)]
    line = siphon(heights, [float(read("d2", f"R-gravity-{row}")) for row in range(1, 10)])
    assert line.at(75) == pytest.approx(70, abs=0.5)
    assert line.worst < 0.5
    assert head(75) == pytest.approx(55, abs=0.5)
    assert float(read("d2", "R-flow-1") / 5) == pytest.approx(1.018, abs=0.0005)
    # Nine alarms in ten: a miss in ten lies between about 0.3 and 45 per cent (exact binomial, two-sided 95 %).
    ((_, said),) = result("d2", "Y-sensor-trials").numbers
    assert "55.5" in said and "99.7" in said


def test_d3_clocks_make_the_staff_look_slow() -> None:
    """The unit 6 min 20 s behind and the chart 1 min ahead: 7 min 20 s between them that nobody lost."""
    clocks = case("d3").clocks
    unit, chart = (clocks[ref].comparisons[0].offset.seconds for ref in ("K-1", "K-2"))
    assert chart - unit == 7 * 60 + 20
    # 15 % or 3 J, whichever is greater (IEC 60601-2-4, from memory).
    assert abs(read("d3", "R-energy-1") - 200) < max(Decimal(3), Decimal("0.15") * 200)


def test_d4_time_at_the_spot_and_at_the_outlet() -> None:
    """The fit of published burn times (PLoS ONE 2021, caption confirmed): 9 min at 48.9, about 4 h at 43.6."""
    spot, outlet = (float(read("d4", ref)) for ref in ("R-spot-1", "R-outlet-1"))
    assert fitted_time(spot) / 60 == pytest.approx(9, abs=0.5)
    assert fitted_time(outlet) / 3600 == pytest.approx(4, abs=0.25)
    assert math.exp(-28.3 * math.log(spot) + 116.4) == pytest.approx(fitted_time(spot))
    assert 130 * 60 / fitted_time(spot) == pytest.approx(14, abs=0.5)
    assert fitted_time(outlet) > 130 * 60


def test_d5_ohms_in_series_and_what_they_are_read_as() -> None:
    """1412 + 83 = 1495 ohm; with a B of about 4000 K (of the order usual for such probes, from memory) about -1.4 K."""
    assert read("d5", "R-probe-1") == 1412 + read("d5", "R-pin-1")
    shift = shift_by_series(Thermistor(1412.0, 36.0, 3950.0), 36.0, float(read("d5", "R-pin-1")))
    assert shift == pytest.approx(-1.4, abs=0.05)
    assert read("d5", "R-bath-1") - 36 == Decimal("-1.4")
    # Under control the error is that at the higher temperature, a little more than in the bath; within what was told.
    held = held_by_control(Thermistor(1412.0, 36.0, 3950.0), 36.0, float(read("d5", "R-pin-1"))) - 36.0
    assert 1.4 < held < 1.8
    assert held == pytest.approx(float(read("d5", "R-skin-1")), abs=0.05)
    # The same ohms more at each temperature, as a resistance in series makes, and not the same share.
    extra = [read("d5", f"R-probe-{a}") - read("d5", f"R-sound-{b}") for a, b in ((1, 4), (4, 7), (7, 1))]
    assert max(extra) - min(extra) <= 2


def test_d6_density_at_the_electrode() -> None:
    """92/0.80 = 115 and 205/0.80 = 256 mA/cm2, against about 100 for 10 s (Anesthesiology 1973, abstract confirmed)."""
    area = read("d6", "R-area-1")
    assert read("d6", "R-rf-1") / area == 115
    assert float(read("d6", "R-rf-4") / area) == pytest.approx(256, abs=0.5)
    # Four orders between what the monitor can send and what the generator sent.
    assert 4 <= math.log10(float(read("d6", "R-rf-1") * 1000 / read("d6", "R-mains-1"))) < 5


def test_d7_one_gas_condition() -> None:
    """BTPS over ATPD at 22 degC and 760 mmHg is 1.120, so that 450 mL as shown are 402 mL as read."""
    ratio = factor(GasCondition.ATPD, GasCondition.BTPS, Ambient(22.0))
    assert ratio == pytest.approx(1.120, abs=0.001)
    assert 450 / ratio == pytest.approx(float(read("d7", "R-volume-1")), abs=0.5)
    assert 1 - float(read("d7", "R-volume-1")) / 450 == pytest.approx(0.107, abs=0.001)


def test_d8_hazard_current_and_the_touch_behind_it() -> None:
    """24 kohm at 120 V draw 5.0 mA (NFPA 99, secondary); 60 V behind 49.6 kohm are 1.21 mA, as was read."""
    assert monitor_check_resistance(120.0) == pytest.approx(24_000)
    drawn = 120 / 24_000
    assert drawn == pytest.approx(0.005)
    assert float(read("d8", "R-hazard-1")) + 2.1 == pytest.approx(8.1)
    insulation = float(read("d8", "R-insulation-1")) * 1000
    source = 60 / 2.1e-3
    assert source == pytest.approx(28_600, rel=0.001)
    touch = isolated_touch(120.0, 2.1e-3, insulation)
    assert touch == pytest.approx(60 / 49_571, rel=1e-3)
    assert touch == pytest.approx(1.21e-3, abs=5e-6)
    assert touch * 1000 == pytest.approx(float(read("d8", "R-body-1")), rel=0.01)
    # On the workshop's grounded supply: 120 V behind the insulation and a body of 1 kohm.
    assert 120 / (insulation + 1000) * 1e6 == pytest.approx(float(read("d8", "R-bench-3")), rel=0.01)


def test_d9_none_of_fifty_nine_is_not_never() -> None:
    """The exact binomial upper bound of 0 of 59 is 4.95 per cent (one-sided 95 %)."""
    assert result("d9", "Y-moves-trials").value == Decimal("4.95")
    bound = 1 - 0.05 ** (1 / 59)
    assert bound == pytest.approx(0.0495, abs=5e-5)
    # The bridge, dry, stands 95 times above what makes the bed act.
    assert float(read("d9", "R-key-1") * 1000 / read("d9", "R-acting-1")) == pytest.approx(95, abs=0.5)
