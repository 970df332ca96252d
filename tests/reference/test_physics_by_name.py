"""Calculations as `asfound calc` runs them, where the function below is checked elsewhere and its wiring was not.

Units are turned between what is typed and what is computed in, so the same outside figures are asked for by name.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
from scipy import special

from asfound.physics.calc import Answer, calculations, evaluate


def run(name: str, rows: Mapping[str, Any] | None = None, **values: Any) -> dict[str, Answer]:
    return {one.slug: one for one in evaluate(calculations()[name], values, rows)}


def test_agreement() -> None:
    """Errors 1, -2, 0, 3, -1, 2: root of 19/6, bias 0.5, s 1.870829 (computed)."""
    found = run("agreement", {"error": [1.0, -2.0, 0.0, 3.0, -1.0, 2.0]})
    assert found["root-mean-square"].value == pytest.approx(1.779513, abs=1e-6)
    assert found["bias"].value == pytest.approx(0.5)
    assert found["standard-deviation"].value == pytest.approx(1.870829, abs=1e-6)


def test_capacitive_current() -> None:
    """100 pF at 500 kHz are 3183.1 ohm, the textbook's 1 / (2 pi f C); 1000 V drive 314.16 mA (computed)."""
    assert run("capacitive-current", frequency=500.0, capacitance=100.0, voltage=1000.0)["current"].value == (
        pytest.approx(1e6 / 3183.0989, rel=1e-6)
    )


@pytest.mark.parametrize(
    ("material", "hot", "met"), [("borosilicate glass", 90.0, 64.49), ("stainless steel", 60.0, 56.52)]
)
def test_contact_temperature(material: str, hot: float, met: float) -> None:
    """Glass at 90 degC on skin of 33 degC meets it at 64.5 degC (secondary); steel at 60 degC at 56.52 (computed)."""
    found = run("contact-temperature", material=material, hot=hot)["temperature-where-they-meet"].value
    assert found == pytest.approx(met, abs=0.01)


def test_current_density() -> None:
    """0.7 A over 7 cm2 are 100 mA/cm2, the order of harm in 10 s of Anesthesiology 1973 (confirmed)."""
    found = run("current-density", current=700.0, area=7.0)["mean-current-density"]
    assert found.value == pytest.approx(100.0) and "100 mA/cm²" in found.said


def test_damped_sine() -> None:
    """32 uF, 25 mH, 11 and 50 ohm, 5000 V: 400 J stored, 327.8689 J given, 62.0259 A at 0.868191 ms (computed)."""
    found = run("damped-sine", capacitance=32.0, inductance=25.0, series=11.0, load=50.0, voltage=5000.0)
    assert found["stored-energy"].value == pytest.approx(400.0)
    assert found["energy-into-the-load"].value == pytest.approx(327.8689, rel=1e-6)
    assert found["peak-current"].value == pytest.approx(62.0259, rel=1e-5)
    assert found["time-of-the-peak"].value == pytest.approx(0.868191, rel=1e-5)


def test_truncated_exponential() -> None:
    """150 uF, 1600 V, 50 ohm, 12 ms: 184.1737 J; 100 uF, 2000 V, 8 ms: 191.8476 J (computed)."""
    for microfarad, volts, ms, joules in ((150.0, 1600.0, 12.0, 184.1737), (100.0, 2000.0, 8.0, 191.8476)):
        found = run("truncated-exponential", capacitance=microfarad, voltage=volts, load=50.0, duration=ms)
        assert found["energy-into-the-load"].value == pytest.approx(joules, rel=1e-6)


def test_gravimetric_flow() -> None:
    """9.96 g in 2 h at 22 degC: 997.773 kg/m3 (Tanaka 2001, secondary), 4.991115 mL/h, and a factor of 1.001054 for
    the buoyancy of air of 1.2 kg/m3 (computed by hand)."""
    found = run("gravimetric-flow", mass=9.96, time=2.0, temperature=22.0, rate=5.0)
    assert found["density"].value == pytest.approx(997.773, abs=5e-4)
    assert found["without-buoyancy"].value == pytest.approx(4.991115, abs=1e-6)
    assert found["flow"].value == pytest.approx(4.991115 * 1.001054, rel=1e-6)


def test_joule_heating() -> None:
    """100 mA/cm2 at 400 kHz: 1.6264 K/s in wet skin, 18.85 in fat, 0.6269 across muscle (conductivities confirmed)."""
    found = run("joule-heating", density=100.0, frequency=400.0)
    for key, rise in (("wet-skin", 1.6264), ("fat", 18.85), ("muscle-across-its-fibres", 0.6269)):
        assert found[f"rise-in-{key}"].value == pytest.approx(rise, rel=1e-3)


def test_lead_wavelength() -> None:
    """64 MHz: 4.684 m in empty space, and 0.52 m in a body of relative permittivity 80: half of each (computed; that
    half a wavelength in tissue at 1.5 T is about 26 cm is a figure of the trade, common practice, no source)."""
    found = run("lead-wavelength", length=0.26, frequency=64.0)["half"]
    assert (found.low, found.high) == (pytest.approx(0.26, abs=0.005), pytest.approx(4.684 / 2.0, abs=0.001))


def test_pressure_decay() -> None:
    """A pressure that falls as exp(-t / 50 s) leaks C p / 50 s by definition: 1.1 x 20 / 50 mL/s = 26.4 mL/min
    (computed)."""
    times = np.linspace(0.0, 10.0, 101)
    rows = {"time": times, "pressure": 30.0 * np.exp(-times / 50.0)}
    found = run("pressure-decay", rows, compliance=1.1, pressure=20.0)
    assert found["laminar"].value == pytest.approx(26.4, rel=1e-9)
    assert "in proportion to the pressure fits better" in found["leak"].said


def test_rf_share() -> None:
    """Kirchhoff's law of currents: 205 of 432 mA are 47.45 %, and 227 mA go elsewhere (computed)."""
    found = run("rf-share", lead=205.0, total=432.0)
    assert found["share"].value == pytest.approx(47.4537, abs=1e-4) and found["rest"].value == pytest.approx(227.0)


def test_skin_heating() -> None:
    """Without blood flow a surface that is held is erfc of depth (Carslaw and Jaeger, from memory), by scipy's erfc and
    a diffusivity of 9.893048e-8 m2/s."""
    found = run("skin-heating", surface=55.0, time=60.0, start=33.0, perfusion=0.0)
    for key, depth in (("temperature-at-0-5-mm", 5e-4), ("temperature-at-2-mm", 2e-3)):
        expected = 33.0 + 22.0 * float(special.erfc(depth / 2.0 / math.sqrt(9.893048e-8 * 60.0)))
        assert found[key].value == pytest.approx(expected, abs=0.02)


def test_thermistor_series() -> None:
    """1412 ohm at 36 degC with 83 ohm in the way, B 3960 K: 1 / (1/T + ln(1 + 83/1412) / B) by hand, 1.37 K low
    (computed by the two-point model, common practice, no source)."""
    found = run("thermistor-series", resistance=1412.0, temperature=36.0, b=3960.0, series=83.0)
    by_hand = 1.0 / (1.0 / 309.15 + math.log(1.0 + 83.0 / 1412.0) / 3960.0) - 273.15
    assert found["shown"].value == pytest.approx(by_hand, abs=1e-9)
    assert found["error"].value == pytest.approx(-1.37, abs=0.01)
