"""Probes of incubators and warmers: what a bath shows of them, and what a control makes of a wrong one."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from asfound.measure.fits import line
from asfound.measure.show import short
from asfound.model.plots import Curve, CurveRole, Dot, Level, Plot, PlotAxis, PlotKind
from asfound.physics import curve, probe
from asfound.physics.calc import NOT_A_DIAGNOSIS, PASS, Answer, Calculation, Column, Input, Rows

B_HOLDS = "B holds over the few degrees concerned."
OHMS_ARE_OF_THE_BENCH = "The ohms are those of the bench; what the contact read at the event is not known from them."
B_WORDS = "B value in kelvin, from two points of an exemplar or from the maker"
PROBE = (
    Input("resistance", "ohm", "of a sound probe at the temperature below"),
    Input("temperature", "degC", "at which it has that resistance"),
    Input("b", "", B_WORDS),
)
TOPICS = ("probe-error", "connector-resistance")


def _sound(given: Mapping[str, Any]) -> probe.Thermistor:
    return probe.Thermistor(given["resistance"], given["temperature"], given["b"])


def _series(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    shift = probe.shift_by_series(_sound(given), given["temperature"], given["series"])
    return (
        Answer("error of the display", shift, "K", key="error"),
        Answer("temperature shown", given["temperature"] + shift, "degC", key="shown"),
    )


def _held(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    sound = _sound(given)
    held = curve.held_by_control(sound, given["setting"], given["series"])
    excess = held - given["setting"]
    answers = [
        Answer("temperature at the probe", held, "degC", key="held", said="While the display stands at the setting."),
        Answer("above the setting by", excess, "K", key="excess"),
    ]
    if given["least"] or given["most"]:
        low, high = sorted((given["least"], given["most"]))
        answers.append(
            Answer(
                "of the difference told of, left over", None, "K", low - excess, high - excess, key="left",
                said="Below 0 where the resistance makes more than was told of.",
            )
        )  # fmt: skip
    return tuple(answers)


def _held_plot(given: Mapping[str, Any], _: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    sound, setting, series = _sound(given), given["setting"], given["series"]
    held = next(one.value for one in answers if one.key == "held")
    assert held is not None
    grid = [setting - 3.0 + 0.25 * i for i in range(25)]
    wrong = tuple((t, sound.degrees(sound.ohms(t) + series)) for t in grid)
    return (
        Plot(
            "held",
            PlotKind.AGREEMENT,
            "What is shown, against what the probe feels",
            f"With {short(series)} Ω in the way the display stands at {setting:.1f} °C while the probe is at "
            f"{held:.1f} °C.",
            PlotAxis("temperature at the probe", "degC"),
            PlotAxis("temperature shown", "degC"),
            (
                Curve("a sound probe", tuple((t, t) for t in grid), CurveRole.NOMINAL),
                Curve(f"with {short(series)} Ω in series", wrong, CurveRole.MODEL),
            ),
            dots=(Dot(held, setting, f"held at {held:.2f} °C", as_used=True),),
            levels=(Level("y", setting, f"setting {setting:.1f} °C", CurveRole.NOMINAL),),
            note="The model of a thermistor by one resistance and its B value.",
        ),
    )


def _bath(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    bath, shown = [float(v) for v in rows["bath"]], [float(v) for v in rows["shown"]]
    found = curve.causes(_sound(given), bath, shown)
    errors = [b - a for a, b in zip(bath, shown, strict=True)]
    # A display in steps tells its value to half a step, evenly spread; the bath to its stated doubt (JCGM 100, 4.3.7).
    one = 2.0 * math.hypot(given["step"] / math.sqrt(12.0), given["bath-doubt"] / 2.0)
    answers = [
        Answer("mean error of the display", found.offset.amount, "K", min(errors), max(errors), one, key="error"),
    ]
    if len(set(bath)) > 2:
        fit = line(bath, errors)
        answers.append(
            Answer("change of the error with each kelvin", fit.slope, "1", key="slope", said="In kelvin for a kelvin.")
        )
    half = given["step"] / 2.0 + given["bath-doubt"]
    fits = [
        name
        for name, cause in (("ohms in series", found.series), ("an offset", found.offset), ("a shunt", found.shunt))
        if cause.worst <= half
    ]
    answers += [
        Answer("resistance in series that fits best", found.series.amount, "ohm", key="series"),
        Answer("largest departure if it is ohms in series", found.series.worst, "K", key="departure-series"),
        Answer("largest departure if it is one offset", found.offset.worst, "K", key="departure-offset"),
        Answer(
            "step and bath together", half, "K", key="resolved",
            said=f"Within that, the readings go along with {' and with '.join(fits) or 'none of the three'}.",
        ),
    ]  # fmt: skip
    if found.shunt.amount > 0.0:
        answers.append(
            Answer("resistance across the bead that fits best", 1.0 / found.shunt.amount, "ohm", key="shunt")
        )
    return tuple(answers)


def _bath_plot(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    bath, shown = [float(v) for v in rows["bath"]], [float(v) for v in rows["shown"]]
    sound = _sound(given)
    ohms = next(one.value for one in answers if one.key == "series")
    mean = next(one.value for one in answers if one.key == "error")
    assert ohms is not None and mean is not None
    low, high = min(bath) - 0.5, max(bath) + 0.5
    grid = [low + (high - low) * i / 40 for i in range(41)]
    half = given["step"] / 2.0
    return (
        Plot(
            "bath",
            PlotKind.AGREEMENT,
            "Error of the display, against the bath",
            f"The display reads {abs(mean):.1f} K {'low' if mean < 0 else 'high'} in the mean, "
            f"from {short(min(bath))} °C to {short(max(bath))} °C.",
            PlotAxis("bath by the reference", "degC"),
            PlotAxis("shown less bath", "K", from_zero=True),
            (
                Curve(f"{ohms:.0f} Ω in series", tuple((t, sound.degrees(sound.ohms(t) + ohms) - t) for t in grid),
                      CurveRole.MODEL),
                Curve("one offset", ((low, mean), (high, mean)), CurveRole.PRACTICE),
            ),
            dots=tuple(
                Dot(a, b - a, f"{b:.1f} °C shown at {a:.2f} °C", given["bath-doubt"], half)
                for a, b in zip(bath, shown, strict=True)
            ),
            levels=(
                Level("y", 0.0, "as the bath", CurveRole.NOMINAL),
                *(
                    Level("y", sign * given["allowed"], f"{sign * given['allowed']:+g} K".replace("-", "−"))
                    for sign in (1.0, -1.0)
                    if given["allowed"]
                ),
            ),
            note="Bars: half a step of the display, and the doubt of the bath.",
        ),
    )  # fmt: skip


def _three(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    points = [(given[f"{place}-bath"], given[place]) for place in ("cold", "middle", "warm")]
    made = curve.SteinhartHart.through(points)
    (cold, middle, warm) = points
    b = probe.b_value(cold, warm)
    two = probe.Thermistor(cold[1], cold[0], b)
    ohms = [cold[1] * (warm[1] / cold[1]) ** (i / 40) for i in range(41)]
    return (
        Answer("B value in kelvin", b, "1", key="b", said="From the coldest and the warmest point."),
        Answer(
            "departure of the middle point from it", two.degrees(middle[1]) - middle[0], "K", key="departure",
            said="By how much the two-point model would tell its temperature wrongly.",
        ),
        Answer(
            "largest difference of two points and three, between the ends",
            max(abs(two.degrees(r) - made.degrees(r)) for r in ohms), "K", key="models",
        ),
    )  # fmt: skip


def _excess(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    sound = _sound(given)
    bath, ohms = [float(v) for v in rows["bath"]], [float(v) for v in rows["ohms"]]
    extra = [r - sound.ohms(t) for t, r in zip(bath, ohms, strict=True)]
    share = [100.0 * one / sound.ohms(t) for one, t in zip(extra, bath, strict=True)]
    errors = [sound.degrees(r) - t for t, r in zip(bath, ohms, strict=True)]
    return (
        Answer(
            "ohms in excess of the curve", math.fsum(extra) / len(extra), "ohm", min(extra), max(extra), key="excess"
        ),
        Answer("the same as a share of the curve", None, "%", min(share), max(share), key="share"),
        Answer(
            "error of a display that is right by the curve", math.fsum(errors) / len(errors), "K", min(errors),
            max(errors), key="error", said="The mean of the readings, and the least and the most.",
        ),
    )  # fmt: skip


def _excess_plot(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    sound = _sound(given)
    bath, ohms = [float(v) for v in rows["bath"]], [float(v) for v in rows["ohms"]]
    mean = next(one.value for one in answers if one.key == "excess")
    assert mean is not None
    low, high = min(bath) - 0.5, max(bath) + 0.5
    grid = [low + (high - low) * i / 40 for i in range(41)]
    return (
        Plot(
            "excess",
            PlotKind.AGREEMENT,
            "Ohms of the probe, against the curve of a sound one",
            f"The probe has {mean:.0f} Ω {'more' if mean >= 0 else 'less'} than the curve in the mean.",
            PlotAxis("bath by the reference", "degC"),
            PlotAxis("resistance", "ohm"),
            (
                Curve("curve of a sound probe", tuple((t, sound.ohms(t)) for t in grid), CurveRole.NOMINAL),
                Curve(f"the curve and {mean:.0f} Ω", tuple((t, sound.ohms(t) + mean) for t in grid), CurveRole.MODEL),
            ),
            dots=tuple(Dot(t, r, f"{r:.0f} Ω at {t:.2f} °C") for t, r in zip(bath, ohms, strict=True)),
            note="Points: the probe that was measured, with its lead and connector.",
        ),
    )


CALCULATIONS = (
    Calculation(
        "thermistor-series",
        "What a resistance in the lead makes of a thermistor's display",
        (
            Input("resistance", "ohm", "of the thermistor at the temperature"),
            Input("temperature", "degC", "true temperature"),
            Input("b", "", B_WORDS),
            Input("series", "ohm", "resistance in the way"),
        ),
        "R = R₀ exp(B (1/T − 1/T₀))",
        "Usual two-point model of a thermistor",
        "common practice, no source",
        (B_HOLDS,),
        _series,
        cautions=(NOT_A_DIAGNOSIS, OHMS_ARE_OF_THE_BENCH),
        reaches=TOPICS,
    ),
    Calculation(
        "held-by-control",
        "Temperature a control keeps, with a resistance in the lead of its probe",
        (
            *PROBE,
            Input("setting", "degC", "that the control keeps the display at"),
            Input("series", "ohm", "resistance in the way"),
            Input("least", "K", "smallest difference told of, by another thermometer; 0 where none is", 0.0),
            Input("most", "K", "largest difference told of", 0.0),
        ),
        "R(T) = R(setting) − R_series",
        "Usual two-point model of a thermistor; a control that keeps its display at the setting",
        "common practice, no source",
        (B_HOLDS, "The control reaches its setting and has power left.", "The probe is as warm as what it lies on."),
        _held,
        cautions=(NOT_A_DIAGNOSIS, OHMS_ARE_OF_THE_BENCH, "A child makes heat of its own and may have a fever."),
        reaches=TOPICS,
        plots=_held_plot,
    ),
    Calculation(
        "probe-in-bath",
        "Error of a probe in a bath, and which single cause it goes along with",
        (
            *PROBE,
            Input("step", "K", "step of the display", 0.1),
            Input("bath-doubt", "K", "of the bath, expanded", 0.05),
            Input("allowed", "K", "error that is allowed, for the drawing; 0 for none", 0.3),
        ),
        "shown = R⁻¹(R(bath) + R_series), or bath + offset, or R⁻¹(R(bath) ∥ R_shunt); least squares of one value each",
        "Usual two-point model of a thermistor; doubts as JCGM 100:2008, 4.3.7",
        "common practice, no source",
        (B_HOLDS, "The probe is as warm as the bath."),
        _bath,
        columns=(Column("bath", "degC", "by the reference"), Column("shown", "degC", "by the display")),
        cautions=(NOT_A_DIAGNOSIS, PASS, "Causes may add up; three points part single causes only."),
        plots=_bath_plot,
    ),
    Calculation(
        "thermistor-curve",
        "Curve of a thermistor from three points of a bath",
        (
            Input("cold", "ohm", "at the coldest point"),
            Input("cold-bath", "degC", "coldest point"),
            Input("middle", "ohm", "at a point between"),
            Input("middle-bath", "degC", "point between"),
            Input("warm", "ohm", "at the warmest point"),
            Input("warm-bath", "degC", "warmest point"),
        ),
        "B = ln(R₁/R₂) / (1/T₁ − 1/T₂); 1/T = a + b ln R + c (ln R)³",
        "Two-point model of a thermistor; Steinhart and Hart, Deep-Sea Research 1968;15:497-503",
        "from memory",
        ("The bead is as warm as the bath.",),
        _three,
        cautions=("A curve of one exemplar is that of its kind only within the spread of the kind.",),
    ),
    Calculation(
        "probe-excess",
        "Ohms of a probe in excess of the curve of a sound one, over a bath",
        PROBE,
        "ΔR = R − R₀ exp(B (1/T − 1/T₀))",
        "Usual two-point model of a thermistor",
        "common practice, no source",
        (B_HOLDS, "Both probes are of one kind, and as warm as the bath."),
        _excess,
        columns=(Column("bath", "degC", "by the reference"), Column("ohms", "ohm", "of the probe, with its connector")),
        cautions=(
            NOT_A_DIAGNOSIS,
            "Ohms in series are one number at all temperatures; a wrong bead is one share of its own.",
        ),
        plots=_excess_plot,
    ),
)
