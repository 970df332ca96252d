"""What the models refuse, and what must hold of them whatever the figures."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.physics import bioheat, dose, energy, gas, heat, infusion, monitors, probe, shock, water
from asfound.physics.sampled import CHUNK


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: energy.pulse([0.0], [1.0], 50.0), "at least two samples"),
        (lambda: energy.pulse([0.0, 1.0], [1.0], 50.0), "one voltage for each time"),
        (lambda: energy.pulse([0.0, 0.0], [1.0, 1.0], 50.0), "do not ascend"),
        (lambda: energy.pulse([0.0, 1.0], [1.0, math.nan], 50.0), "not a finite number"),
        (lambda: energy.pulse([0.0, 1.0], [0.0, 0.0], 50.0), "there is no pulse"),
        (lambda: energy.pulse([0.0, 1.0], [1.0, 1.0], 0.0), "load must be above 0"),
        (lambda: energy.rlc_discharge(0.0, 1.0, 0.0, -1.0, 1.0), "capacitance and load must be above 0"),
        (lambda: energy.rlc_discharge(1.0, 1.0, -1.0, 1.0, 1.0), "series resistance"),
        (lambda: infusion.trumpet([], 5.0), "at least one"),
        (lambda: infusion.trumpet([5.0] * 100, 5.0, 0.7), "no whole number of samples"),
        (lambda: infusion.siphon([10.0], [1.0]), "two heights"),
        (lambda: infusion.siphon([10.0, 10.0], [1.0, 2.0]), "two heights"),
        (lambda: infusion.siphon([10.0, 20.0], [2.0, 1.0]), "gravity does not drive it"),
        (lambda: infusion.balance(Decimal(1), Decimal(2), Decimal(0), Decimal(1), Decimal(1)), "nothing was given"),
        (lambda: infusion.balance(Decimal(2), Decimal(1), Decimal(0), Decimal(0), Decimal(1)), "must be above 0"),
        (lambda: water.density_tanaka(41.0), "0 to 40"),
        (lambda: gas.vapour_pressure(61.0), "0 to 60"),
        (lambda: gas.factor(gas.GasCondition.ATPD, gas.GasCondition.BTPS, gas.Ambient(22.0, 40.0)), "water vapour"),
        (lambda: gas.compliance(500.0, 5.0, 5.0), "above the end-expiratory"),
        (lambda: gas.leak(2.0, 10.0, 12.0, 60.0), "no leak"),
        (lambda: shock.body_impedance(24.9), "from 25 V to 1000 V"),
        (lambda: shock.source_impedance(1.0, 2.0, 1000.0), "above the open one"),
        (lambda: shock.touch_current(1.0, -1.0), "not below 0"),
        (lambda: shock.fibrillation_current(4.0), "0.03 s to 3 s"),
        (lambda: shock.isolated_touch(120.0, 2e-3, -1.0), "not below 0"),
        (lambda: monitors.pressure_criterion_2(10.0), "no standard deviation"),
        (lambda: probe.b_value((30.0, 1.0), (30.0, 2.0)), "two temperatures"),
        (lambda: probe.shift_by_series(probe.Thermistor(1e3, 36.0, 3900.0), 36.0, -1.0), "not below 0"),
        (lambda: probe.door_answer([36.0] * 5, [1], 5), "too short"),
        (lambda: probe.door_answer([36.0] * 50, [49], 5), "no opening"),
        (lambda: heat.joule_rate(1e3, heat.TISSUES[0], 500), "100, 400, 1000 kHz"),
        (lambda: dose.damage([(1.0, 50.0), (1.0, 51.0)], dose.SETS[0]), "do not ascend"),
        (lambda: dose.fitted_time(0.0), "holds for temperatures"),
        (lambda: dose.surface_limits(0.5), "from 1 s"),
        (lambda: bioheat.bioheat(bioheat.Surface(), 1.0), "a surface is held"),
        (lambda: bioheat.bioheat(bioheat.Surface(flux=1.0, temperature=50.0), 1.0), "a surface is held"),
        (lambda: bioheat.bioheat(bioheat.Surface(flux=1.0), 0.0), "seconds must be above 0"),
        (lambda: bioheat.bioheat(bioheat.Surface(flux=1.0), 1.0).history(1.0), "outside the grid"),
    ],
)  # fmt: skip
def test_what_cannot_be_computed_is_said(call: Callable[[], object], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        call()


def test_bad_sampling_is_reported() -> None:
    t = np.linspace(0.0, 5e-3, 20)
    coarse = energy.pulse(t, 2000.0 * np.sin(math.pi * t / 5e-3), 50.0)
    assert any("samples lie within the pulse" in one for one in coarse.faults)

    t = np.arange(2000) * 5e-6
    clipped = energy.pulse(t, np.minimum(2000.0 * np.sin(math.pi * t / 10e-3), 1500.0), 50.0)
    assert any("recorder may have been at its end" in one for one in clipped.faults)

    cut = energy.pulse(t[:1500], 2000.0 * np.sin(math.pi * t[:1500] / 10e-3), 50.0)
    assert any("ends within the pulse" in one for one in cut.faults)

    uneven = np.delete(t, [700, 701, 702])
    gap = energy.pulse(uneven, 2000.0 * np.sin(math.pi * uneven / 10e-3), 50.0)
    assert any("not evenly spaced" in one for one in gap.faults)
    assert gap.sampling == 0.0


def test_a_long_record_is_one_pulse_however_it_is_cut_into_pieces() -> None:
    """Longer than a piece of the reader, an odd number of samples, with the pulse across the seam."""
    size = CHUNK + 12_345
    t = np.arange(size) * 1e-6
    middle = CHUNK * 1e-6
    v = 1500.0 * np.exp(-(((t - middle) / 2e-3) ** 2))
    assert energy.pulse(t, v, 50.0).energy == pytest.approx(float(np.trapezoid(v * v, t)) / 50.0, rel=1e-12)


@pytest.mark.parametrize("size", [9, 10, CHUNK, CHUNK + 1, CHUNK + 2, 2 * CHUNK + 1])
def test_what_hangs_on_the_sampling_is_the_rule_at_twice_the_step(size: int) -> None:
    t = np.linspace(0.0, 5e-3, size)
    v = 2000.0 * np.exp(-t / 2e-3) + 50.0
    last = size - 1 - (size - 1) % 2
    rough = float(np.trapezoid(v[: last + 1 : 2] ** 2, t[: last + 1 : 2])) + float(
        np.trapezoid(v[last:] ** 2, t[last:])
    )
    exact = float(np.trapezoid(v * v, t))
    # Times that are doubles leave a few parts in 1e12 of the energy in the difference.
    assert energy.pulse(t, v, 50.0).sampling == pytest.approx(abs(exact - rough) / 150.0, rel=1e-6, abs=1e-8)


@settings(deadline=None)  # numpy is loaded within the first example
@given(
    st.lists(st.floats(0.0, 20.0), min_size=62, max_size=200),
    st.floats(0.5, 20.0),
)
def test_a_trumpet_is_what_a_plain_loop_gives(flows: list[float], rate: float) -> None:
    for one in infusion.trumpet(flows, rate).windows:
        n = one.minutes * 2
        means = [
            sum(100.0 * (flow - rate) / rate for flow in flows[at : at + n]) / n for at in range(len(flows) - n + 1)
        ]
        assert one.count == len(means)
        assert one.highest == pytest.approx(max(means), abs=1e-6 * (1.0 + 2000.0 / rate))
        assert one.lowest == pytest.approx(min(means), abs=1e-6 * (1.0 + 2000.0 / rate))


@given(st.sampled_from(list(gas.GasCondition)), st.sampled_from(list(gas.GasCondition)), st.floats(10.0, 40.0))
def test_a_gas_volume_comes_back_from_another_condition(
    one: gas.GasCondition, other: gas.GasCondition, temperature: float
) -> None:
    ambient = gas.Ambient(temperature, 745.0)
    assert gas.factor(one, other, ambient) * gas.factor(other, one, ambient) == pytest.approx(1.0)


@given(st.floats(44.0, 70.0), st.floats(0.1, 5.0))
def test_hotter_or_longer_is_never_less_harm(temperature: float, more: float) -> None:
    for one in dose.SETS:
        if not temperature <= 50.0 < temperature + more or one.name != "two ranges":
            assert one.rate(temperature + more) >= one.rate(temperature)
    assert dose.cem43([(1.0, temperature + more)]) > dose.cem43([(1.0, temperature)])
    assert dose.fitted_time(temperature + more) < dose.fitted_time(temperature)


def test_damage_of_a_held_temperature_is_its_rate_times_its_time() -> None:
    for one in dose.SETS:
        assert dose.damage([(0.0, 52.0), (30.0, 52.0)], one) == pytest.approx(30.0 * one.rate(52.0), rel=1e-12)
        ramp = dose.damage([(0.0, 45.0), (60.0, 55.0)], one)
        fine = dose.damage([(60.0 * n / 4000, 45.0 + 10.0 * n / 4000) for n in range(4001)], one)
        # The two-range set jumps at 50 degC, where a step can straddle.
        assert ramp == pytest.approx(fine, rel=1e-2 if one.name == "two ranges" else 1e-4)


@given(st.floats(20.0, 45.0), st.floats(0.0, 500.0))
def test_a_resistance_in_the_way_never_reads_warm(temperature: float, series: float) -> None:
    curve = probe.Thermistor(1412.0, 36.0, 3960.0)
    assert curve.degrees(curve.ohms(temperature)) == pytest.approx(temperature, abs=1e-9)
    assert probe.shift_by_series(curve, temperature, series) <= 1e-9


def test_b_is_found_back_from_two_points() -> None:
    curve = probe.Thermistor(2252.0, 25.0, 3977.0)
    assert probe.b_value((25.0, curve.ohms(25.0)), (37.0, curve.ohms(37.0))) == pytest.approx(3977.0)


def test_a_probe_in_air_falls_with_the_door_and_one_on_skin_does_not() -> None:
    """Seen by shifting the openings along the log: in air the fall is rare elsewhere, on skin it is common."""
    openings = [60, 180, 305]
    ripple = [0.02 * math.sin(n / 7.0) for n in range(400)]
    skin = [36.5 + one for one in ripple]
    air = list(skin)
    for at in openings:
        for n in range(1, 11):
            air[at + n] -= 1.5 * math.exp(-n / 6.0)
    off, on = probe.door_answer(air, openings, 10), probe.door_answer(skin, openings, 10)
    assert off.fall < -1.0 and off.chance < 0.02
    assert abs(on.fall) < 0.1 and on.chance > 0.1
    assert (off.openings, on.openings) == (3, 3)


def test_faults_of_device_and_socket_are_combined() -> None:
    """A case behind 20 kohm: harmless while any earth is made, 5.7 mA where the cord's is open (120 V)."""
    device = [("sound", 20e3, 0.1), ("cord earth open", 20e3, math.inf)]
    found = shock.combinations(120.0, device, [("sound", 0.06), ("earth open", math.inf)])
    worst = found[0]
    assert worst.current == pytest.approx(5.714e-3, rel=1e-3) and worst.faults >= 1
    both = {(one.device, one.socket): one for one in found}
    assert both["sound", "sound"].current < 1e-6 and both["sound", "sound"].faults == 0
    assert both["cord earth open", "earth open"].faults == 2


def test_suppositions_of_a_balance_leave_out_an_empty_log() -> None:
    names = [one.name for one in infusion.balance(Decimal(9), Decimal(4), Decimal(0), Decimal(1), Decimal(5)).supposed]
    assert "as the log says" not in names and "as set" in names


@pytest.mark.parametrize("surface", [bioheat.Surface(temperature=50.0), bioheat.Surface(temperature=50.0, film=60.0)])
@pytest.mark.parametrize("course", [(), ((0.0, 50.0), (3.0, 44.0))])
def test_several_flows_at_once_are_each_alone_to_the_last_digit(
    surface: bioheat.Surface, course: tuple[tuple[float, float], ...]
) -> None:
    flows = (None, bioheat.Blood(), bioheat.Blood(perfusion=0.002))
    together = bioheat.bioheats(surface, 5.0, flows, course=course)
    assert together == tuple(bioheat.bioheat(surface, 5.0, blood=one, course=course) for one in flows)
    assert together[0] != together[1] and together[1].surface != together[2].history(bioheat.BASAL)
    assert together[1].surface == tuple(row[0] for row in together[1].at)
    with pytest.raises(ValueError, match="read-only"):
        together[0].states[0, 0] = 1.0
