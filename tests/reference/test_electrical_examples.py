"""Electrical and electrosurgical arithmetic against published numbers; each docstring gives source and status."""

from __future__ import annotations

from decimal import Decimal

import pytest

import asfound.measure as m

D = Decimal


def test_leakage_at_nominal_mains() -> None:
    """IEC 62353:2014, 5.3.4 (formula from memory; computed): scaling can turn a pass into a fail."""
    assert float(m.scale_to_nominal(D(420), D(225), D(230))) == pytest.approx(429.33, abs=0.01)
    scaled = m.scale_to_nominal(D(488), D(224), D(230))
    assert float(scaled) == pytest.approx(501.07, abs=0.01)
    assert m.decide(D(488), 10.0, upper=D(500)).outcome is m.Outcome.PASS
    assert m.decide(scaled, 10.0, upper=D(500)).outcome is m.Outcome.FAIL


def test_class_one_leakage_by_method() -> None:
    """IEC 62353:2014, table 2 (limits from memory): 800 uA meets 1000 uA (alternative) and not 500 uA (direct)."""
    assert m.decide(D(800), 20.0, upper=D(1000)).outcome is m.Outcome.PASS
    assert m.decide(D(800), 20.0, upper=D(500)).outcome is m.Outcome.FAIL


def test_detachable_cord_in_three_parts() -> None:
    """IEC 62353:2014, 5.3.2.2 b (confirmed in a preview of the standard): the cord alone fails."""
    parts = [(D("0.19"), D("0.200")), (D("0.11"), D("0.100")), (D("0.30"), D("0.300"))]
    assert [m.decide(y, None, upper=limit).outcome for y, limit in parts] == ["pass", "fail", "pass"]


def test_ground_resistance_is_strict() -> None:
    """NFPA 99:2005, 8.4.1.3.2 (confirmed in a trade journal): less than 0.50 ohm, so 0.50 fails."""
    assert m.decide(D("0.50"), None, upper=D("0.50"), strict_upper=True).outcome is m.Outcome.FAIL
    assert m.decide(D("0.5"), None, upper=D("0.50"), strict_upper=True).outcome is m.Outcome.FAIL
    assert m.decide(D("0.499"), None, upper=D("0.50"), strict_upper=True).outcome is m.Outcome.PASS


@pytest.mark.parametrize(
    ("reading", "limit", "outcome"),
    [("350", "300", "fail"), ("520", "500", "fail"), ("350", "500", "pass"), ("120", "100", "fail")],
)
def test_chassis_leakage_by_edition(reading: str, limit: str, outcome: str) -> None:
    """NFPA 99:2005, 8.4.1.3.5 (confirmed in a trade journal); NFPA 99:2012, 10.3.5 (from memory)."""
    assert m.decide(D(reading), None, upper=D(limit)).outcome == outcome


@pytest.mark.parametrize(("limit", "outcome"), [("50", "fail"), ("5000", "pass")])
def test_applied_part(limit: str, outcome: str) -> None:
    """IEC 62353:2014, table 2 (from memory): 60 uA at a CF and at a BF applied part."""
    assert m.decide(D(60), None, upper=D(limit)).outcome == outcome


def test_earth_with_direct_current_both_ways() -> None:
    """IEC 62353:2014, 5.3.2.2 (confirmed in a preview): reversed, and the higher counts."""
    worst = m.worst_of_polarity(D("0.18"), D("0.22"))
    assert worst == D("0.22")
    assert m.decide(worst, None, upper=D("0.200")).outcome is m.Outcome.FAIL
    assert m.worst_of_polarity(D("0.18"), D("-0.22")) == D("0.22")
    assert m.worst_of_polarity(D("0.18"), None) is None


def test_output_against_the_curve() -> None:
    """IEC 60601-2-2, 201.12.1 (rule from memory; computed): 78 W against 92 W of the curve, not 100 W of the dial."""
    deviation = m.percent_deviation(D(78), D(92))
    assert deviation is not None and float(deviation) == pytest.approx(-15.2, abs=0.05)
    assert m.decide(D(78), None, lower=D(92) * D("0.8"), upper=D(92) * D("1.2")).outcome is m.Outcome.PASS
    assert m.percent_deviation(D(78), D(100)) == -22
    assert m.decide(D(21), 1.0).outcome is m.Outcome.NO_REQUIREMENT


@pytest.mark.parametrize(("power", "limit"), [(50, 50.00), (70, 59.16), (95, 68.92)])
def test_bipolar_leakage(power: int, limit: float) -> None:
    """IEC 60601-2-2, 201.8.7.3.101 (rule from memory; computed)."""
    assert float(m.bipolar_leakage_limit(D(power))) == pytest.approx(limit, abs=0.01)


def test_leakage_power() -> None:
    """150 mA in 200 ohm (computed)."""
    assert m.power_in(D("0.150"), D(200)) == D("4.5")


def test_heating_factor() -> None:
    """Heating factor of a return electrode; 30 A2s as the design figure (2016 evaluation guidance; computed)."""
    assert m.heating_factor([(D("0.7"), D(60))]) == D("29.4")
    assert m.heating_factor([(D("0.7"), D(30)), (D("0.7"), D(30))]) == D("29.4")
    assert m.time_to_heating_factor(D(30), D("0.5")) == 120
    assert m.time_to_heating_factor(D(30), D(1)) == 30


def test_current_density() -> None:
    """Order of 100 mA/cm2 at 10 s from a 1973 anaesthesiology paper on burns (confirmed in its abstract; computed)."""
    assert m.current_density(D(700), D(100)) == 7
    assert m.current_density(D(700), D(7)) == 100
    unit, other = m.unit("mA/cm2"), m.unit("A/m2")
    assert unit is not None and other is not None
    assert m.convert(D(100), unit, other) == 1000


@pytest.mark.parametrize(
    ("permittivity", "seconds"),
    [
        (1, (5966, 2983, 1989, 1491, 994)),
        (5, (875, 437, 292, 219, 145)),
        (20, (164, 82, 55, 41, 27)),
        (50, (59, 29, 19, 15, 10)),
        (100, (31, 16, 10, 8, 5)),
    ],
)
def test_time_times_power_is_constant(permittivity: int, seconds: tuple[int, ...]) -> None:
    """BioMedical Engineering OnLine 2013, 12:80, table 2 (confirmed): time to a rise of 10 K goes as 1 / power."""
    powers = (50, 100, 150, 200, 300)
    energies = [t * p for t, p in zip(seconds, powers, strict=True)]
    rounding = max(0.5 / t for t in seconds)
    line = m.linearity([1 / p for p in powers], [float(t) for t in seconds])
    assert all(energy == pytest.approx(line.slope, rel=max(0.03, rounding)) for energy in energies)


def test_pad_rise_goes_with_the_square_of_the_current() -> None:
    """IEEE EMBS 1988 conference abstract on dispersive pads (confirmed data): from 0.65 K at 1 A."""
    for amps, low, high in ((2, 2.5, 3.0), (3, 5.2, 6.0)):
        rise = 0.65 * float(m.heating_factor([(D(amps), D(60))]) / m.heating_factor([(D(1), D(60))]))
        assert low <= rise <= high


def test_measuring_network() -> None:
    """IEC 60601-1, figure 12: 10 kohm and 0.015 uF (from memory; computed)."""
    assert m.corner_frequency(10e3, 0.015e-6) == pytest.approx(1061.0, abs=0.1)
