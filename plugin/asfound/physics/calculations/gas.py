"""Ventilators: gas volumes, breaths out of traces, an open tube against an alarm's limit, leaks, sound, a cylinder."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import structs

from asfound.measure import fits
from asfound.measure.budget import coverage_factor
from asfound.measure.show import doubtful, short
from asfound.model.plots import Plot
from asfound.physics import breaths, gas, ventilation
from asfound.physics import gas_plots as plots
from asfound.physics.calc import PASS, Answer, Calculation, Column, Input, Rows

NO_LIMIT = "Whether it is enough is for the maker's stated value and the standard in force to say."
OPEN = "It does not show where the circuit came apart at the event, nor that the alarm would have been heard."
TUBE = "A dry, straight tube on the bench is not the tube as it lay; one that was wet or bent holds back more."


def _volume(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    ambient = gas.Ambient(given["temperature"], given["pressure"], given["humidity"] / 100.0)
    by = gas.factor(gas.GasCondition(given["from"]), gas.GasCondition(given["to"]), ambient)
    volume = given["volume"] * by
    answers = [Answer(f"volume, {given['to']}", volume, "mL", key="volume"), Answer("factor", by, "1")]
    if given["set"]:
        answers.append(Answer("deviation from the volume set", 100.0 * (volume / given["set"] - 1.0), "%", key="error"))
        stays = 100.0 * (given["volume"] / given["set"] - 1.0)
        answers.append(
            Answer(
                "deviation if the conditions were left out", stays, "%", key="unconverted",
                said=f"This compares {given['from']} with {given['to']} and is an error of the comparison.",
            )
        )  # fmt: skip
    return tuple(answers)


def _tube(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    fit = ventilation.tube_fit(list(rows["flow"]), list(rows["pressure"]))
    flow, limit = given["flow"], given["limit"]
    at = fit.at(flow)
    try:
        needed = Answer(
            "flow at which the pressure stands at the limit", fit.flow_at(limit), "L/min", key="flow-at-limit"
        )
    except ValueError as error:
        needed = Answer(
            "flow at which the pressure stands at the limit", None, "L/min", said=f"{error}.", key="flow-at-limit"
        )
    return (
        Answer("pressure before the open tube", at, "cmH2O", doubt=fit.doubt(flow), key="pressure", dof=fit.dof),
        Answer(
            "how far it stands above the limit", at - limit, "cmH2O", doubt=fit.doubt(flow), key="margin", dof=fit.dof
        ),
        needed,
        Answer("resistance at this flow", at / (flow / 60.0), "1", said="In cmH₂O for each L/s.", key="resistance"),
        Answer("scatter about the curve", fit.s, "cmH2O", key="scatter"),
    )  # fmt: skip


def _stands(margin: Answer, limit: float) -> str:
    """Whether the pressure stays above the limit, beyond its doubt."""
    if margin.value is None:
        return ""
    if not margin.doubt:
        side = "above" if margin.value > 0.0 else "below"
        return f"It stands {side} the limit of {short(limit)} cmH₂O; no doubt was given."
    if margin.value - margin.doubt > 0.0:
        return f"Beyond its doubt it stays above the limit of {short(limit)} cmH₂O: the limit is not passed."
    if margin.value + margin.doubt < 0.0:
        return f"Beyond its doubt it falls below the limit of {short(limit)} cmH₂O: the limit is passed."
    return f"Within its doubt it can lie on either side of the limit of {short(limit)} cmH₂O."


def _with_side(given: Mapping[str, Any], answers: Sequence[Answer]) -> tuple[Answer, ...]:
    return tuple(
        structs.replace(one, said=f"{_stands(one, given['limit'])} {one.said}".strip()) if one.slug == "margin" else one
        for one in answers
    )


def _draw_tube(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    fit = ventilation.tube_fit(list(rows["flow"]), list(rows["pressure"]))
    found = {one.slug: one for one in answers}
    at = found["pressure"]
    said = f"At {short(given['flow'])} L/min {doubtful(at.value or 0.0, at.doubt)} cmH₂O stand before the open tube."
    return (plots.tube(fit, rows, given["flow"], given["limit"], f"{said} {found['margin'].said}".strip()),)


def _margin(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    return (
        Answer("how far it stands above the limit", given["open"] - given["limit"], "cmH2O", key="margin"),
        Answer("the same as a share of the limit", 100.0 * (given["open"] / given["limit"] - 1.0), "%", key="share"),
    )  # fmt: skip


def _mean(name: str, values: Any, unit: str, key: str) -> Answer:
    """Mean of one value a breath, with its doubt from how the breaths differ."""
    import numpy as np

    n = int(values.size)
    mean = float(values.mean())
    doubt = coverage_factor(n - 1) * float(np.std(values, ddof=1)) / math.sqrt(n) if n > 1 else 0.0
    # What is left of equal breaths is the rounding of sums, and no doubt.
    told = doubt > 1e-9 * abs(mean)
    return Answer(name, mean, unit, doubt=doubt if told else None, key=key, dof=n - 1.0 if told else math.inf)


def _breaths(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = breaths.breaths(rows["time"], rows["pressure"], rows["flow"])
    longest = breaths.longest_below(rows["time"], rows["pressure"], given["limit"])
    acts = longest >= given["delay"]
    said = f"The alarm waits for {short(given['delay'])} s: {'it would act' if acts else 'it would not act'}."
    return (
        Answer("whole breaths", float(found.count), "1", said=f"{found.cut} at the ends were left out.", key="breaths"),
        Answer("breaths in a minute", found.rate, "/min", key="rate"),
        _mean("volume of a breath", found.volumes, "mL", "volume"),
        _mean("highest pressure of a breath", found.peaks, "cmH2O", "peak"),
        Answer("the least of these", float(found.peaks.min()), "cmH2O", key="least-peak"),
        _mean("pressure at the end of a breath", found.ends, "cmH2O", "end"),
        _mean("time in which gas goes in", found.inspiration, "s", "inspiration"),
        Answer("longest time below the limit", longest, "s", said=said, key="below"),
    )


def _draw_breaths(given: Mapping[str, Any], rows: Rows, _: Sequence[Answer]) -> tuple[Plot, ...]:
    found = breaths.breaths(rows["time"], rows["pressure"], rows["flow"])
    longest = breaths.longest_below(rows["time"], rows["pressure"], given["limit"])
    return tuple(plots.breath_traces(found, rows, given["limit"], longest, given["delay"]))


def _decay(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = ventilation.pressure_decay(
        list(rows["time"]), list(rows["pressure"]), given["compliance"], given["pressure"]
    )
    straight, hole = found.rms
    nearer = "in proportion to the pressure" if straight <= hole else "by the root of the pressure"
    return (
        Answer(
            "leak at the pressure", None, "mL/min", found.low, found.high, key="leak",
            said=f"A leak {nearer} fits better: {short(min(found.rms), 2)} against {short(max(found.rms), 2)} cmH₂O.",
        ),
        Answer("leak if in proportion to the pressure", found.laminar, "mL/min", key="laminar"),
        Answer("leak if by the root of the pressure", found.orifice, "mL/min", key="orifice"),
    )  # fmt: skip


def _draw_decay(given: Mapping[str, Any], rows: Rows, _: Sequence[Answer]) -> tuple[Plot, ...]:
    found = ventilation.pressure_decay(
        list(rows["time"]), list(rows["pressure"]), given["compliance"], given["pressure"]
    )
    return (plots.decay(found, rows, given["pressure"]),)


def _compliance(_: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    line = fits.line(list(rows["pressure"]), list(rows["volume"]))
    return (
        Answer(
            "compliance",
            line.slope,
            "mL/cmH2O",
            doubt=coverage_factor(line.dof) * line.u_slope or None,
            dof=float(line.dof),
        ),
        Answer("volume at no pressure, by the line", line.intercept, "mL", key="start"),
    )


def _draw_compliance(_: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    line = fits.line(list(rows["pressure"]), list(rows["volume"]))
    return (plots.compliance(line, rows, line.slope, answers[0].doubt),)


def _sound(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    alarm, noise = given["alarm"], given["noise"]
    above = alarm - noise
    free = ventilation.at_distance(alarm, given["measured"], given["distance"]) - noise
    return (
        Answer("how far the alarm stands above the noise", above, "dB(A)", key="above"),
        Answer(
            "the same where people stood", None, "dB(A)", min(free, above), max(free, above), key="where-heard",
            said="From no fall with distance, as in a small room, to the fall of a small source out of doors.",
        ),
        Answer("what the alarm adds to the noise", ventilation.together(alarm, noise) - noise, "dB(A)", key="adds"),
        Answer("how far it lies from the level asked for", above - given["wanted"], "dB(A)", key="short"),
    )  # fmt: skip


def _heard(given: Mapping[str, Any], answers: Sequence[Answer]) -> tuple[Answer, ...]:
    """Whether it is louder than the noise, beyond its doubt."""
    made = []
    for one in answers:
        if one.slug == "above" and one.value is not None:
            half = one.doubt or 0.0
            if one.value + half < 0.0:
                said = "It is quieter than the noise, beyond its doubt."
            elif one.value - half > 0.0:
                said = "It is louder than the noise, beyond its doubt."
            else:
                said = "Within its doubt it can be louder or quieter than the noise."
            one = structs.replace(one, said=said)
        made.append(one)
    return tuple(made)


def _cylinder(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    size, pressure, flow = given["size"], given["pressure"], given["flow"]
    return (
        Answer("gas it holds", ventilation.cylinder_content(size, pressure), "L", key="content"),
        Answer(
            "how long it lasts at that flow",
            ventilation.cylinder_minutes(size, pressure, flow, given["reserve"]),
            "min",
            key="time",
        ),
        Answer(
            "how far its pressure falls in the time asked about", flow * given["during"] / size, "bar", key="fall",
        ),
    )  # fmt: skip


_CONDITIONS = tuple(str(one) for one in gas.GasCondition)
_LIMIT = Input("limit", "cmH2O", "limit of the low-pressure alarm, as set or as measured")

CALCULATIONS = (
    Calculation(
        "gas-volume",
        "A gas volume under other conditions",
        (
            Input("volume", "mL", "the volume"),
            Input("from", "", "under which it was stated", choices=_CONDITIONS),
            Input("to", "", "under which it is wanted", choices=_CONDITIONS),
            Input("temperature", "degC", "of the room", 22.0),
            Input("pressure", "mmHg", "of the room", 760.0),
            Input("humidity", "%", "of saturation, what stands in gas that is stated as dry", 0.0),
            Input("set", "mL", "what was set, in the condition wanted; 0 where nothing is compared", 0.0),
        ),
        "V₂ = V₁ P₁ T₂ / (P₂ T₁), water vapour taken off",
        "ISO 4135 for the conditions; vapour pressure after Buck 1981",
        "from memory",
        ("An ideal gas; body temperature 37 °C.",),
        _volume,
        cautions=(NO_LIMIT, PASS),
    ),
    Calculation(
        "tube-back-pressure",
        "Pressure before an open tube against the limit of an alarm",
        (
            Input("flow", "L/min", "flow of the breath through the open tube"),
            _LIMIT,
        ),
        "p = K₁ q + K₂ q²",
        "Rohrer 1915 for the form; least squares as in JCGM 100:2008, H.3",
        "from memory",
        (
            "Steady flow; the highest pressure of a breath with steady flow is that of this flow.",
            "The gauge stands where the unit's own sensor does.",
            "The band tells of the scatter; what the gauge has wrong throughout comes on top.",
        ),
        _tube,
        columns=(
            Column("flow", "L/min", "steady flow through the open tube"),
            Column("pressure", "cmH2O", "pressure before it"),
        ),
        cautions=(OPEN, TUBE),
        reaches=("alarm-limit", "blockage"),
        plots=_draw_tube,
        finish=_with_side,
    ),
    Calculation(
        "alarm-margin",
        "Whether the open circuit lets the pressure fall to the limit of the alarm",
        (_LIMIT, Input("open", "cmH2O", "highest pressure of each breath with the circuit open")),
        "p open − limit",
        "Arithmetic; whether a doubt leaves the side open as in JCGM 106:2012",
        "computed",
        ("The alarm compares the highest pressure of each breath with its limit.",),
        _margin,
        cautions=(OPEN,),
        dose=False,
        reaches=("alarm-limit",),
        finish=_with_side,
    ),
    Calculation(
        "breath-traces",
        "Breaths out of sampled pressure and flow",
        (_LIMIT, Input("delay", "s", "how long the pressure stays below before the alarm acts")),
        "V = ∫ q dt over each breath; longest time with p below the limit",
        "Definitions as in ISO 4135; trapezium rule",
        "from memory",
        (
            "Flow into the circuit counts above 0; volumes are in the gas condition of the flow.",
            "The alarm acts where the pressure has stood below the limit for all of the delay.",
        ),
        _breaths,
        columns=(
            Column("time", "s", "time of each sample"),
            Column("pressure", "cmH2O", "pressure in the circuit"),
            Column("flow", "L/min", "flow into the circuit"),
        ),
        cautions=(OPEN, "The bench's own sensors and their places decide what a trace shows."),
        plots=_draw_breaths,
    ),
    Calculation(
        "pressure-decay",
        "Leak of a closed circuit from the fall of its pressure",
        (
            Input("compliance", "mL/cmH2O", "of all that was closed in"),
            Input("pressure", "cmH2O", "at which the leak is wanted"),
        ),
        "leak = −C dp/dt; ln p or √p along a line",
        "Definitions; a narrow way leaks in proportion to the pressure, a hole by its root",
        "common practice, no source",
        ("One temperature throughout; the same compliance at every pressure.",),
        _decay,
        columns=(Column("time", "s", "time of each sample"), Column("pressure", "cmH2O", "pressure in the circuit")),
        cautions=("A tight circuit says nothing of the cuff, the airway or a joint that was apart.", NO_LIMIT, PASS),
        reaches=("leak",),
        plots=_draw_decay,
    ),
    Calculation(
        "circuit-compliance",
        "Compliance from volumes put in and the pressures they gave",
        (),
        "ΔV / Δp, the slope of a line",
        "Definition; least squares as in JCGM 100:2008, H.3",
        "from memory",
        ("Slow enough to stand still at each reading; no leak meanwhile.",),
        _compliance,
        columns=(Column("volume", "mL", "volume put in"), Column("pressure", "cmH2O", "pressure it gave")),
        cautions=(NO_LIMIT,),
        plots=_draw_compliance,
    ),
    Calculation(
        "alarm-audibility",
        "How far an alarm stands above the noise of its place",
        (
            Input("alarm", "dB(A)", "level of the alarm"),
            Input("noise", "dB(A)", "level of the place"),
            Input("measured", "m", "from where the alarm was measured", 1.0),
            Input("distance", "m", "from where it had to be heard", 1.0),
            Input("wanted", "dB(A)", "how far above the noise is asked for", 15.0),
        ),
        "L alarm − L noise; 20 lg(d₂/d₁) for distance; 10 lg Σ 10^(L/10) for both together",
        "Acoustics, exact; the 15 dB are those of ISO 7731 for danger signals at work, for comparison",
        "from memory",
        (
            "Weighted levels: pitch, pattern and masking are not told by them.",
            "The alarm was measured without the noise, and the noise without the alarm.",
        ),
        _sound,
        cautions=("A level is not the same as being heard; nor is it the attention of a person.", NO_LIMIT),
        dose=False,
        reaches=("alarm-sound",),
        finish=_heard,
    ),
    Calculation(
        "cylinder-duration",
        "How long a cylinder of gas lasts",
        (
            Input("size", "L", "what it holds of water, from its stamp"),
            Input("pressure", "bar", "on its gauge"),
            Input("flow", "L/min", "all that is drawn, with what the unit uses itself"),
            Input("reserve", "bar", "what is to be left", 0.0),
            Input("during", "min", "a time, to see how far the pressure falls in it", 0.0),
        ),
        "size × pressure / flow",
        "The law of Boyle, at one temperature",
        "common practice, no source",
        ("An ideal gas at the temperature of the room; one bar is taken for the air.",),
        _cylinder,
        cautions=("It does not show that the valve was open, nor that the gas reached the unit.",),
        reaches=("gas-supply",),
    ),
)
