"""Warming: what a held or a logged temperature asks of skin, with and without blood flow, and uneven wires of a pad."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import structs

from asfound.measure.show import short
from asfound.model.plots import Bar, Curve, CurveRole, Dot, Plot, PlotAxis, PlotKind
from asfound.physics import bioheat, dose, exposure
from asfound.physics.calc import NOT_A_DIAGNOSIS, Answer, Calculation, Column, Input, Rows
from asfound.physics.dose_plots import dose_plot, trace_plot
from asfound.physics.energy import positive

WIDE = f"Every measure is a model of {exposure.HEALTHY}; poor blood flow, pressure, age and wet skin shorten its times."
HEAT = ("hot-air-contact", "heated-contact", "hot-spot", "hot-surface", "pad-layering")
FLOWS = (0.0, 0.0005, 0.001, 0.002)
"""Blood flows in 1/s: none, as in a clamped limb, and the usual range of skin at rest (from memory)."""
SURFACE_SAID, BASAL_SAID = "For the temperature of the surface.", "For the temperature of the basal layer."
DISAGREE = "The published measures disagree this far."


def _held(_: Mapping[str, Any], answers: Sequence[Answer]) -> tuple[Answer, ...]:
    """Say how many times as long it was held: of the least of the time held over the longest, to the most of it over
    the shortest, the doubts being in all of them."""
    held = _by(answers)["held"]
    least, most = ((held.value or 0.0) + sign * (held.doubt or 0.0) for sign in (-1.0, 1.0))

    def told(one: Answer) -> Answer:
        if one.slug not in ("surface", "basal") or not one.low or not one.high:
            return one
        times = f"Held {_two(max(0.0, least) / one.high)} to {_two(most / one.low)} times as long."
        return structs.replace(one, said=f"{one.said} {times}")

    return tuple(told(one) for one in answers)


def _two(value: float) -> str:
    """Two significant digits, without an exponent."""
    return f"{float(f'{value:.2g}'):,.10g}".replace(",", " ")


def _dose(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    temperature, seconds, other = given["temperature"], given["time"], given["other"]
    positive(time=seconds)
    if max(temperature, other) > 100.0:
        raise ValueError("no measure speaks of skin above 100 °C")
    needed = dose.fitted_time(temperature)
    answers = [
        Answer("time to harm, fit of 1947, at the surface", needed / 60.0, "min", key="needed", said=SURFACE_SAID),
        Answer("how many times as long it was held", seconds / needed, "1", key="times", said="By that fit."),
        Answer("temperature", temperature, "degC", key="temperature"),
        Answer("time held", seconds / 60.0, "min", key="held"),
    ]
    for key, name, measures, place in (
        ("surface", "time to harm, four measures, at the surface", exposure.SURFACE, SURFACE_SAID),
        ("basal", "time to harm, five measures, at the basal layer", exposure.BASAL, BASAL_SAID),
    ):
        ends = exposure.spread(measures, temperature)
        if ends is None:
            answers.append(Answer(name, None, "min", key=key, said="Not given: no measure speaks at this temperature."))
        else:
            answers.append(
                Answer(name, None, "min", ends[0] / 60.0, ends[1] / 60.0, key=key, said=f"{place} {DISAGREE}")
            )
    name = "damage integral of this exposure"
    if temperature < dose.ONSET:
        answers.append(Answer(name, None, "1", key="integral", said="Below 44 °C the integral is not run."))
    else:
        integrals = sorted(one.rate(temperature) * seconds for one in dose.SETS)
        said = f"{BASAL_SAID} The published sets of coefficients disagree this far."
        answers.append(Answer(name, None, "1", integrals[0], integrals[-1], key="integral", said=said))
    far = " Far above 50 °C this measure is an extrapolation without ground." if temperature > 50.0 else ""
    minutes = dose.cem43([(seconds / 60.0, temperature)])
    answers.append(Answer("equivalent time at 43 °C", minutes, "min", key="cem43", said=f"{BASAL_SAID}{far}"))
    if other:
        second = dose.fitted_time(other)
        answers += [
            Answer("time to harm at the other temperature, fit of 1947", second / 3600.0, "h", key="other-needed"),
            Answer("how many times as long it was held, at the other", seconds / second, "1", key="other-times"),
            Answer("the other temperature", other, "degC", key="other"),
        ]
    return tuple(answers)


def _by(answers: Sequence[Answer]) -> dict[str, Answer]:
    return {one.slug: one for one in answers}


def _dose_plot(given: Mapping[str, Any], _: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    by = _by(answers)
    held, minutes = by["held"], given["time"] / 60.0
    dots = []
    for key in ("temperature", "other"):
        if key in by:
            at = by[key]
            assert at.value is not None
            text = f"{at.value:.1f} °C for {minutes:.0f} min"
            dots.append(Dot(minutes, at.value, text, held.doubt, at.doubt, as_used=key == "temperature"))
    times = by["times"].value or 0.0
    result = f"{given['temperature']:.1f} °C was held {_two(times)} times as long as the fit of 1947 allows."
    if "other-times" in by:
        result = result[:-1] + f", {given['other']:.1f} °C {_two(by['other-times'].value or 0.0)} times."
    return (dose_plot("dose", result, dots),)


def _seconds(rows: Rows) -> tuple[Any, Any]:
    import numpy as np

    return np.asarray(rows["time"], dtype=np.float64), np.asarray(rows["temperature"], dtype=np.float64)


def _runs(surface: bioheat.Surface, seconds: float, start: float, **more: Any) -> tuple[bioheat.Run, ...]:
    """One run a blood flow, from none to the highest of skin at rest."""
    flows = [bioheat.Blood(perfusion=flow) if flow else None for flow in FLOWS]
    return bioheat.bioheats(surface, seconds, flows, start=start, **more)


def _course(rows: Rows) -> list[tuple[float, float]]:
    """(s, degC) from 0 s, brought down to what the model in depth can use."""
    import numpy as np

    t, c = _seconds(rows)
    at = np.linspace(t[0], t[-1], min(t.size, 801))
    return [(float(a - t[0]), float(b)) for a, b in zip(at, np.interp(at, t, c), strict=True)]


def _basal(rows: Rows, start: float) -> list[tuple[tuple[float, float], ...]]:
    way = _course(rows)
    runs = _runs(bioheat.Surface(temperature=way[0][1]), way[-1][0], start, course=way)
    return [run.history(bioheat.BASAL) for run in runs]


def _trace(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    t, c = _seconds(rows)
    seen, doubt = exposure.course(t, c), given["doubt"]
    if doubt < 0.0:
        raise ValueError("a doubt is not below 0")
    surface = exposure.used_range(t, c, exposure.SURFACE, doubt)
    fit = exposure.used(t, c, exposure.FIT)[0]
    basal = _basal(rows, given["start"])
    ends = [history[-1][1] for history in basal]
    harms = [
        exposure.used_range([p[0] for p in history], [p[1] for p in history], exposure.INTEGRALS, doubt)
        for history in basal
    ]
    cem = exposure.used_range(t, c, (exposure.CEM,), doubt)
    return (
        Answer("length of the trace", seen.duration / 60.0, "min", key="length"),
        Answer("mean temperature", seen.mean, "degC", key="mean"),
        Answer("highest temperature", seen.highest, "degC", key="highest"),
        Answer("temperature at the end", seen.settled, "degC", key="settled", said="Mean over the last tenth."),
        Answer("time above 44 °C", seen.above / 60.0, "min", key="above"),
        Answer(
            "bearable times used up, fit of 1947", fit, "1", key="times",
            said=f"{SURFACE_SAID} 1 is where the fit puts harm.",
        ),
        Answer(
            "bearable times used up, four measures, at the surface", None, "1", *surface, key="surface",
            said=f"{SURFACE_SAID} {DISAGREE}",
        ),
        Answer(
            "temperature of the basal layer at the end", None, "degC", min(ends), max(ends), key="basal-end",
            said="From the highest blood flow of skin at rest to none, with the surface as logged.",
        ),
        Answer(
            "damage integral at the basal layer", None, "1", min(one[0] for one in harms), max(one[1] for one in harms),
            key="integral", said="Over four sets of coefficients and blood flows from none to 0.002 /s.",
        ),
        Answer(
            "equivalent time at 43 °C", None, "min", cem[0] * exposure.NECROSIS, cem[1] * exposure.NECROSIS,
            key="cem43", said="Over the doubt of the temperature, counted from 39 °C.",
        ),
    )  # fmt: skip


def _trace_plots(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    t, c = _seconds(rows)
    minutes = (t - t[0]) / 60.0
    by = _by(answers)
    settled, above, times = (by[key].value or 0.0 for key in ("settled", "above", "times"))
    result = f"It stood at {settled:.1f} °C and was above 44 °C for {above:.0f} min."
    dot = Dot(float(minutes[-1]), settled, f"{settled:.1f} °C for {minutes[-1]:.0f} min", None, given["doubt"] or None)
    most = f"{_two(times)} times the time that the fit of 1947 allows was used up."
    basal = _basal(rows, given["start"])
    deep = tuple(
        Curve(f"basal layer, {words}", tuple((when / 60.0, round(warm, 4)) for when, warm in history), CurveRole.MODEL)
        for words, history in (
            ("no blood flow", basal[0]),
            ("blood flow 0.002 /s", basal[-1]),
        )
    )
    return (trace_plot("trace", result, minutes, c, deep), dose_plot("dose", most, [dot]))


def _air_histories(given: Mapping[str, Any]) -> tuple[bioheat.Run, ...]:
    positive(film=given["film"])
    return _runs(bioheat.Surface(film=given["film"], temperature=given["air"]), given["time"], given["start"])


def _air(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    runs = _air_histories(given)
    surface = [run.surface[-1] for run in runs]
    basal = [run.history(bioheat.BASAL) for run in runs]
    ends = [history[-1][1] for history in basal]
    harms = [sorted(dose.damage(history, one) for one in dose.SETS) for history in basal]
    used = [exposure.used_range(run.times, run.surface, exposure.SURFACE) for run in (runs[0], *runs[1:])]
    flows = "Blood flows from 0.0005 to 0.002 /s."
    sets = "Over four sets of coefficients."
    return (
        Answer("surface without blood flow", surface[0], "degC", key="surface-none"),
        Answer("surface with blood flow", None, "degC", min(surface[1:]), max(surface[1:]), key="surface-flow",
               said=flows),
        Answer("basal layer without blood flow", ends[0], "degC", key="basal-none"),
        Answer("basal layer with blood flow", None, "degC", min(ends[1:]), max(ends[1:]), key="basal-flow", said=flows),
        Answer("lower by blood flow", None, "K", surface[0] - max(surface[1:]), surface[0] - min(surface[1:]),
               key="lower", said="At the surface."),
        Answer("bearable times used up without blood flow", None, "1", *used[0], key="used-none",
               said=f"{SURFACE_SAID} {DISAGREE}"),
        Answer("bearable times used up with blood flow", None, "1", min(one[0] for one in used[1:]),
               max(one[1] for one in used[1:]), key="used-flow", said=f"{SURFACE_SAID} {flows}"),
        Answer("damage integral without blood flow", None, "1", harms[0][0], harms[0][-1], key="integral-none",
               said=f"{BASAL_SAID} {sets}"),
        Answer("damage integral with blood flow", None, "1", min(one[0] for one in harms[1:]),
               max(one[-1] for one in harms[1:]), key="integral-flow", said=f"{BASAL_SAID} {flows} {sets}"),
    )  # fmt: skip


def _air_plot(given: Mapping[str, Any], _: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    runs = _air_histories(given)
    curves = tuple(
        Curve(
            "no blood flow" if not flow else f"blood flow {flow:g} /s",
            tuple((when / 60.0, round(warm, 4)) for when, warm in zip(run.times, run.surface, strict=True)),
            CurveRole.MODEL,
        )
        for flow, run in zip(FLOWS, runs, strict=True)
    )
    by = _by(answers)
    low = by["lower"].low or 0.0
    return (
        Plot(
            "skin-under-air",
            PlotKind.TRACES,
            "Surface of skin under hot air, by blood flow",
            f"Without blood flow the surface comes to {by['surface-none'].value or 0.0:.1f} °C, at least {low:.1f} K "
            "above the same skin with blood flow.",
            PlotAxis("time", "min"),
            PlotAxis("temperature of the surface", "degC"),
            curves,
            note=f"One layer, one dimension; air of {given['air']:.1f} °C; film {short(given['film'])} W/(m²·K).",
        ),
    )


def _wires(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    ohms = [float(one) for one in rows["resistance"]]
    shares = _shares(ohms, given["joined"])
    mean = math.fsum(ohms) / len(ohms)
    warmest = max(range(len(ohms)), key=shares.__getitem__)
    answers = [
        Answer("mean resistance", mean, "ohm", min(ohms), max(ohms), key="mean"),
        Answer("spread, largest less smallest", 100.0 * (max(ohms) - min(ohms)) / mean, "%", key="spread"),
        Answer("wire that heats most", float(warmest + 1), "1", key="warmest", said="Counted by the rows."),
        Answer("its power over the mean of all", shares[warmest], "1", key="share"),
    ]
    if given["rise"]:
        excess = given["rise"] * (shares[warmest] - 1.0)
        said = "Where heat goes off in proportion to the rise, and nothing spreads it from wire to wire."
        answers.append(Answer("above the rest by", excess, "K", key="excess", said=said))
    return tuple(answers)


def _shares(ohms: Sequence[float], joined: str) -> list[float]:
    """Power of each wire over the mean: R in series, 1/R in parallel."""
    if len(ohms) < 2:
        raise ValueError("two wires are needed to compare")
    positive(**{f"resistance of row {n}": one for n, one in enumerate(ohms, 1)})
    powers = list(ohms) if joined == "in series" else [1.0 / one for one in ohms]
    mean = math.fsum(powers) / len(powers)
    return [one / mean for one in powers]


def _wires_plot(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    shares = _shares([float(one) for one in rows["resistance"]], given["joined"])
    by = _by(answers)
    return (
        Plot(
            "wires",
            PlotKind.BUILD_UP,
            "Power of each wire, over the mean of all",
            f"Wire {by['warmest'].value or 0.0:.0f} takes {by['share'].value or 0.0:.2f} of the mean.",
            PlotAxis("power over the mean", "1", from_zero=True),
            PlotAxis("wire"),
            bars=tuple(Bar(f"wire {n}", 0.0, one, f"{one:.2f}") for n, one in enumerate(shares, 1)),
        ),
    )


_START = Input("start", "degC", "temperature of the skin before", 33.0)
_DOSE_SOURCE = (
    "PLoS ONE 2021, review of contact burns, figure 2; public time-temperature tables; Moritz and Henriques 1947; "
    "ASTM C1055; Henriques 1947 and later sets; Sapareto and Dewey 1984"
)
_DOSE_STATUS = "confirmed for the fit, secondary or from memory for the rest"

CALCULATIONS = (
    Calculation(
        "thermal-dose",
        "How long skin bears a temperature, by measures that disagree",
        (
            Input("temperature", "degC", "held temperature"),
            Input("time", "s", "how long"),
            Input("other", "degC", "another temperature to set beside it, for the same time; 0 for none", 0.0),
        ),
        "ln t = −28.3 ln T + 116.4; ∫A exp(−E/RT) dt by four sets; Σ t R^(43−T)",
        _DOSE_SOURCE,
        _DOSE_STATUS,
        (
            "Good contact and healthy adult skin.",
            "The fit, the tables and the curves speak of the surface, the integrals of the basal layer.",
        ),
        _dose,
        cautions=(NOT_A_DIAGNOSIS, WIDE),
        reaches=HEAT,
        plots=_dose_plot,
        finish=_held,
    ),
    Calculation(
        "dose-of-trace",
        "What a logged temperature asks of skin, by measures that disagree",
        (
            Input("doubt", "K", "of the temperature, the same over the whole trace", 0.0),
            _START,
        ),
        "∫ dt / t(T) by four measures of the surface; ∫A exp(−E/RT) dt below it by four sets; ∫ R^(43−T) dt",
        f"{_DOSE_SOURCE}; Pennes 1948 for the layer below",
        _DOSE_STATUS,
        (
            "What is logged is the temperature of the surface of skin.",
            "Parts of the bearable time add up; below where a measure begins nothing is used up.",
            "Below the surface: one layer, one dimension, blood flow from none to 0.002 /s.",
        ),
        _trace,
        columns=(Column("time", "s", "of each sample"), Column("temperature", "degC", "of the surface")),
        cautions=(
            NOT_A_DIAGNOSIS,
            WIDE,
            "A simulant has no blood flow; skin that has it stays cooler.",
        ),
        reaches=HEAT,
        plots=_trace_plots,
    ),
    Calculation(
        "skin-under-air",
        "Skin under hot air, with blood flow and without",
        (
            Input("air", "degC", "temperature of the air at the skin"),
            Input("film", "", "coefficient of the film of air in W/(m²·K)"),
            Input("time", "s", "how long"),
            _START,
        ),
        "ρc ∂T/∂t = k ∂²T/∂x² + w ρb cb (Ta − T); −k ∂T/∂x = h (T_air − T) at the surface",
        "Pennes 1948; typical values of skin and blood; a jet of air gives some tens of W/(m²·K)",
        "from memory",
        (
            "One layer, one dimension, no sweat and no radiation.",
            "Blood flow of skin at rest from 0.0005 to 0.002 /s, and none as in a clamped limb; warm skin opens its "
            "vessels and has more.",
        ),
        _air,
        cautions=(
            NOT_A_DIAGNOSIS,
            WIDE,
            "The coefficient is seldom known within a factor of two: try both ends.",
        ),
        reaches=(*HEAT, "insulated-limb"),
        plots=_air_plot,
    ),
    Calculation(
        "uneven-wires",
        "Heating wires of a pad that should be equal",
        (
            Input("joined", "", "how they are joined", "in parallel", ("in parallel", "in series")),
            Input("rise", "K", "mean rise of the pad above what is round it, for an estimate; 0 for none", 0.0),
        ),
        "P ∝ 1/R in parallel, P ∝ R in series",
        "Ohm's law",
        "computed",
        ("Wires of one length, equally spaced.",),
        _wires,
        columns=(Column("resistance", "ohm", "of each wire"),),
        cautions=(NOT_A_DIAGNOSIS, "A place at which a wire is thin or folded is hotter than its mean tells."),
        reaches=("hot-spot", "wire-fault"),
        plots=_wires_plot,
    ),
)
