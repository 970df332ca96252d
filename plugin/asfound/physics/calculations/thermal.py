"""Heat: contact, dose, conduction and blood flow."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from asfound.physics import bioheat, dose, heat
from asfound.physics.calc import NOT_A_DIAGNOSIS, Answer, Calculation, Input, Rows

WIDE = (
    "Every measure comes from small experiments on healthy skin; poor blood flow, pressure, age and wet skin "
    "shorten its times."
)


def _contact(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    other = next(one for one in heat.MATERIALS if one.name == given["material"])
    met = heat.contact_temperature(given["skin"], heat.SKIN, given["hot"], other)
    return (Answer("temperature where they meet", met, "degC"),)


def _dose(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    temperature, seconds = given["temperature"], given["time"]
    if seconds <= 0.0:
        raise ValueError("time must be above 0")
    answers = []
    fitted = dose.fitted_time(temperature)
    answers.append(Answer("time to harm, fit of 1947, at the surface", fitted, "s", said=_times(seconds, fitted)))
    try:
        low, high = dose.tabled_time(temperature)
        answers.append(Answer("time to harm, public tables, at the surface", None, "s", low=low, high=high))
    except ValueError as outside:
        answers.append(Answer("time to harm, public tables, at the surface", None, "s", said=f"Not given: {outside}."))
    times = sorted(dose.time_to(temperature, one) for one in dose.SETS)
    if math.isinf(times[0]):
        answers.append(Answer("time to a damage integral of 1", None, "s", said="Below 44 °C the integral is not run."))
    else:
        answers.append(
            Answer(
                "time to a damage integral of 1", None, "s", low=times[0], high=times[-1],
                said="For the temperature of the basal layer, which lies below that of the surface.",
            )
        )  # fmt: skip
        integrals = sorted(one.rate(temperature) * seconds for one in dose.SETS)
        answers.append(
            Answer(
                "damage integral of this exposure", None, "1",
                low=integrals[0], high=integrals[-1], said="The published sets of coefficients disagree this far.",
            )
        )  # fmt: skip
    minutes = dose.cem43([(seconds / 60.0, temperature)])
    said = "Far above 50 °C this measure is an extrapolation without ground." if temperature > 50.0 else ""
    answers.append(Answer("equivalent time at 43 °C", minutes, "min", said=said))
    return tuple(answers)


def _times(seconds: float, needed: float) -> str:
    return f"The exposure lasted {seconds / needed:.2g} times as long."


def _skin(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    surface = bioheat.Surface(temperature=given["surface"])
    answers = []
    runs = [
        bioheat.bioheat(surface, given["time"], start=given["start"], blood=bioheat.Blood(perfusion=flow))
        for flow in (given["perfusion"], 0.0005, 0.002)
    ]
    for name, depth in (("basal layer, 0.08 mm", bioheat.BASAL), ("0.5 mm", 5e-4), ("2 mm", 2e-3)):
        ends = [run.history(depth)[-1][1] for run in runs]
        answers.append(Answer(f"temperature at {name}", ends[0], "degC", low=min(ends), high=max(ends)))
    history = runs[0].history(bioheat.BASAL)
    harms = sorted(dose.damage(history, one) for one in dose.SETS)
    answers.append(
        Answer(
            "damage integral at the basal layer", None, "1",
            low=harms[0], high=harms[-1], said="Over four published sets of coefficients.",
        )
    )  # fmt: skip
    return tuple(answers)


CALCULATIONS = (
    Calculation(
        "contact-temperature",
        "Temperature where something hot meets skin",
        (
            Input("hot", "degC", "temperature of the thing"),
            Input("material", "", "what it is made of", choices=tuple(one.name for one in heat.MATERIALS[1:])),
            Input("skin", "degC", "temperature of the skin before", 33.0),
        ),
        "(e₁T₁ + e₂T₂) / (e₁ + e₂), e = √(k ρ c)",
        "Carslaw and Jaeger, Conduction of Heat in Solids; typical values of materials",
        "from memory",
        ("Both are thick, and neither has a source of heat of its own.",),
        _contact,
    ),
    Calculation(
        "thermal-dose",
        "How long skin bears a temperature, by measures that disagree",
        (Input("temperature", "degC", "held temperature"), Input("time", "s", "how long")),
        "ln t = −28.3 ln T + 116.4; ∫A exp(−E/RT) dt by four sets; Σ t R^(43−T)",
        "PLoS ONE 2021, review of contact burns, figure 2; public time-temperature tables; Henriques 1947 and "
        "later sets; "
        "Sapareto and Dewey 1984",
        "confirmed for the fit, secondary for the rest",
        (
            "Good contact and healthy adult skin.",
            "The fit and the tables speak of the surface, the integrals of the basal layer.",
        ),
        _dose,
        cautions=(NOT_A_DIAGNOSIS, WIDE),
    ),
    Calculation(
        "skin-heating",
        "Temperature below skin whose surface is held hot, with blood flow",
        (
            Input("surface", "degC", "temperature of the surface"),
            Input("time", "s", "how long"),
            Input("start", "degC", "temperature before", 33.0),
            Input("perfusion", "/s", "blood flow", 0.001),
        ),
        "ρc ∂T/∂t = k ∂²T/∂x² + w ρb cb (Ta − T)",
        "Pennes 1948; typical values of skin and blood",
        "from memory",
        ("One layer, one dimension.", "The range shown is that of blood flows from 0.0005 to 0.002 /s."),
        _skin,
        cautions=(NOT_A_DIAGNOSIS, WIDE),
    ),
)
