"""High-frequency and mains current through people and pads."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from asfound.physics import heat, shock
from asfound.physics.calc import NOT_A_DIAGNOSIS, PASS, Answer, Calculation, Input, Rows


def _heating_factor(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    current, time = given["current"], given["time"]
    if current <= 0.0 or time < 0.0:
        raise ValueError("current must be above 0, and time not below it")
    return (
        Answer("heating factor", current * current * time, "A2s"),
        Answer(
            "time to 30 A2s",
            30.0 / (current * current),
            "s",
            said="30 A²·s is what pads of usual make are designed for.",
        ),
    )


def _density(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    if given["area"] <= 0.0:
        raise ValueError("area must be above 0")
    return (
        Answer(
            "mean current density", given["current"] / given["area"], "mA/cm2",
            said="One study estimates that about 100 mA/cm² for about 10 s can harm skin. Under an edge it is higher.",
        ),
    )  # fmt: skip


def _joule(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    kilohertz = round(given["frequency"])
    rates = {one.name: heat.joule_rate(given["density"] * 10.0, one, kilohertz) for one in heat.TISSUES}
    return tuple(Answer(f"rise in {name}", rate, "K/s") for name, rate in rates.items())


def _body(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    open_, source = given["voltage"], given["source"]
    model = shock.touch_current(open_, source)
    answers = [Answer("current in the body of the standard (1 kΩ)", model * 1e3, "mA")]
    try:
        body = shock.body_impedance(open_)
        worst, middle, best = (shock.touch_current(open_, source, ohms) * 1e3 for ohms in (body.p5, body.p50, body.p95))
        answers.append(Answer("current by the table of body impedances", middle, "mA", low=best, high=worst))
    except ValueError as outside:
        answers.append(Answer("current by the table of body impedances", None, "mA", said=f"Not computed: {outside}."))
    return tuple(answers)


def _source(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    ohms = shock.source_impedance(given["open"], given["loaded"], given["load"])
    through = shock.touch_current(given["open"], ohms)
    return (Answer("source impedance", ohms, "ohm"), Answer("current in 1 kΩ", through * 1e3, "mA"))


def _isolated(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    touched = shock.isolated_touch(given["voltage"], given["hazard"] * 1e-3, given["insulation"])
    room = given["voltage"] / 2.0 / given["hazard"]
    grounded = given["voltage"] / (given["insulation"] + shock.BODY_MODEL)
    return (
        Answer("current in 1 kΩ, earth of the case open", touched * 1e3, "mA"),
        Answer("resistor that must bring the alarm", shock.monitor_check_resistance(given["voltage"]) / 1e3, "kohm"),
        Answer("what the room puts behind half its voltage", room, "kohm", key="room"),
        Answer(
            "the same on a grounded supply of that voltage", grounded * 1e3, "mA", key="grounded",
            said="The whole voltage behind the insulation alone.",
        ),
    )  # fmt: skip


CALCULATIONS = (
    Calculation(
        "heating-factor",
        "Heating factor of a current through a pad",
        (
            Input("current", "A", "r.m.s. current through the pad"),
            Input("time", "s", "how long it flowed, activations added"),
        ),
        "I² × t",
        "Evaluation guidance for return pads, 2016: 30 A²·s as the long-used expectation",
        "secondary",
        ("What cools between activations is left out, so it is an upper view.",),
        _heating_factor,
        cautions=(NOT_A_DIAGNOSIS, "With part of a pad lifted, less is enough."),
    ),
    Calculation(
        "current-density",
        "Mean current density at a contact",
        (Input("current", "mA", "current into the contact"), Input("area", "cm2", "area that was wetted or touched")),
        "I / A",
        "Anesthesiology 1973, distribution of radio-frequency current and burns",
        "confirmed",
        ("The current spreads evenly over the area.",),
        _density,
    ),
    Calculation(
        "joule-heating",
        "Rise of temperature by current, nothing carried away",
        (Input("density", "mA/cm2", "current density, r.m.s."), Input("frequency", "kHz", "100, 400 or 1000", 400.0)),
        "J² / (σ ρ c)",
        "Conductivities: BioMedical Engineering OnLine 2018, s12938-018-0473-9, table 3; the rest from memory",
        "confirmed for the conductivities",
        ("No heat flows away: an upper view, for seconds.", "Dry skin stands for its outermost layer alone."),
        _joule,
    ),
    Calculation(
        "touch-current",
        "Current through a person from a source of mains frequency",
        (Input("voltage", "V", "voltage with nothing connected"), Input("source", "ohm", "impedance behind it", 0.0)),
        "V / (Zs + Zbody)",
        "IEC TS 60479-1:2005, table 1, hand to hand, large dry contact; IEC 60601-1, figure 12",
        "from memory",
        ("5, 50 and 95 % of people; wet or small contacts differ.", "The edition of 1994 differs by up to 40 %."),
        _body,
        cautions=(NOT_A_DIAGNOSIS, "A voltage read by a meter of high impedance is no measure of a shock: load it."),
    ),
    Calculation(
        "source-impedance",
        "What stands behind a voltage, from readings with and without a load",
        (
            Input("open", "V", "voltage with nothing connected"),
            Input("loaded", "V", "voltage across the load"),
            Input("load", "ohm", "the load", 1000.0),
        ),
        "(Vo − Vl) × R / Vl",
        "Ohm's law",
        "computed",
        ("Magnitudes only: behind a capacitance the true impedance is higher.",),
        _source,
        cautions=(NOT_A_DIAGNOSIS, PASS),
    ),
    Calculation(
        "isolated-power",
        "Current from a case whose earth is open, in an isolated-power room",
        (
            Input("voltage", "V", "voltage between the lines"),
            Input("hazard", "mA", "total hazard current of the room"),
            Input("insulation", "ohm", "resistance from a line to the case"),
        ),
        "(V/2) / (Rins + (V/2)/Ih + 1 kΩ)",
        "Circuit theory; the check resistor of 200 Ω for each volt: NFPA 99",
        "secondary",
        ("The leakage of the room is balanced on both lines.",),
        _isolated,
    ),
)
