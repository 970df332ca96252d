"""Heat: contact, dose, conduction and blood flow."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from asfound.physics import bioheat, dose, heat
from asfound.physics.calc import NOT_A_DIAGNOSIS, Answer, Calculation, Input, Rows
from asfound.physics.calculations import warming

WIDE = (
    "Every measure comes from small experiments on healthy skin; poor blood flow, pressure, age and wet skin "
    "shorten its times."
)


def _contact(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    other = next(one for one in heat.MATERIALS if one.name == given["material"])
    met = heat.contact_temperature(given["skin"], heat.SKIN, given["hot"], other)
    return (Answer("temperature where they meet", met, "degC"),)


def _skin(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    surface = bioheat.Surface(temperature=given["surface"])
    answers = []
    flows = [bioheat.Blood(perfusion=flow) if flow else None for flow in (given["perfusion"], 0.0, 0.0005, 0.002)]
    runs = bioheat.bioheats(surface, given["time"], flows, start=given["start"])
    for name, depth in (("basal layer, 0.08 mm", bioheat.BASAL), ("0.5 mm", 5e-4), ("2 mm", 2e-3)):
        ends = [run.history(depth)[-1][1] for run in runs]
        answers.append(Answer(f"temperature at {name}", ends[0], "degC", low=min(ends), high=max(ends)))
    harms = sorted(dose.damage(run.history(bioheat.BASAL), one) for run in runs for one in dose.SETS)
    answers.append(
        Answer(
            "damage integral at the basal layer", None, "1",
            low=harms[0], high=harms[-1], said="Over four published sets of coefficients and these blood flows.",
        )
    )  # fmt: skip
    return tuple(answers)


def _thresholds(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    irreversible, reversible = dose.surface_limits(given["time"])
    answers = [
        Answer("surface at which harm stays", irreversible, "degC", key="irreversible"),
        Answer("surface at which harm heals", reversible, "degC", key="reversible"),
    ]
    if given["temperature"]:
        above = given["temperature"] - irreversible
        answers.append(Answer("surface less the first of them", above, "K", key="above"))
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
        (
            "One layer, one dimension.",
            "The range shown is that of blood flows from none, as in a clamped limb, to 0.002 /s.",
        ),
        _skin,
        cautions=(NOT_A_DIAGNOSIS, WIDE),
    ),
    Calculation(
        "contact-threshold",
        "Surface temperatures at which a contact of some time begins to harm",
        (
            Input("time", "s", "how long it is touched"),
            Input("temperature", "degC", "of the surface, to set beside them; 0 for none", 0.0),
        ),
        "15.005 + 0.51907 L + 352.97 / L and 39.468 − 0.41352 L + 190.60 / L, L = ln(1000 t)",
        "ASTM C1055",
        "from memory",
        ("Healthy adult skin that touches a surface which keeps its temperature.",),
        _thresholds,
        cautions=(NOT_A_DIAGNOSIS, warming.WIDE),
        reaches=warming.HEAT,
    ),
)
