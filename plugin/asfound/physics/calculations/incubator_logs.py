"""Logs of incubators: doors, air, heater; and the heat of a radiant warmer against its height."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from asfound.measure.budget import coverage_factor, expanded_of
from asfound.measure.show import short
from asfound.model.plots import Curve, CurveRole, Dot, Level, Plot, PlotAxis, PlotKind
from asfound.physics import incubator
from asfound.physics.calc import NOT_A_DIAGNOSIS, PASS, Answer, Calculation, Column, Input, Rows
from asfound.physics.logs import doors_of, evenly, traces


def _doors(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    step = evenly(rows["time"])
    openings = doors_of(rows["door"])
    window = max(1, round(given["window"] / step))
    skin, air = list(map(float, rows["probe"])), list(map(float, rows["air"]))
    of_probe, of_air = incubator.fall(skin, openings, window), incubator.fall(air, openings, window)
    delay = incubator.lag(air, skin, openings, window)
    usable = sum(1 for at in openings if at < len(skin) - window)
    answers = [
        Answer("openings of the door used", float(usable), "1", key="openings"),
        Answer("fall of the air beyond its own course", of_air.beyond, "K", doubt=of_air.doubt, key="air-fall",
               dof=of_air.dof),
        Answer("fall of the probe beyond its own course", of_probe.beyond, "K", doubt=of_probe.doubt, key="probe-fall",
               dof=of_probe.dof, said=_says(of_probe, of_air, usable)),
        Answer(
            "windows without an opening that the doubt rests on", float(of_probe.windows), "1", key="windows",
        ),
        Answer(
            "how often openings placed elsewhere give the probe as deep a fall", 100.0 * of_probe.chance, "%",
            key="chance", said=f"Never below {100.0 / (len(skin) - window):.2g} %, the share of one place in the log.",
        ),
        Answer(
            "the same for the air", 100.0 * of_air.chance, "%", key="air-chance",
        ),
    ]  # fmt: skip
    if of_air.seen and of_probe.doubt is not None:
        part = of_probe.beyond / of_air.beyond
        # Both falls are doubted, the one that is divided by as well (JCGM 100:2008, 5.1.6).
        shares = (of_probe.doubt / abs(of_air.beyond), part * (of_air.doubt or 0.0) / of_air.beyond)
        free = (of_probe.dof, of_air.dof)
        twice = [share * 2.0 / coverage_factor(dof) for share, dof in zip(shares, free, strict=True)]
        spread = expanded_of(twice, free)
        answers.append(
            Answer(
                "part of the air's fall that the probe shows",
                part * 100.0,
                "%",
                doubt=spread.U * 100.0,
                key="part",
                dof=spread.dof,
            )
        )
    if delay is None:
        said = "Around the openings one of the two does not move at all, so no delay can be told."
    else:
        said = f"At a delay of {short(delay.samples * step)} min, the best from 0 min to {short(given['window'])} min."
    answers.append(
        Answer("correlation of probe with air", delay.correlation if delay else None, "1", key="correlation", said=said)
    )
    return tuple(answers)


def _says(skin: incubator.Fall, air: incubator.Fall, openings: int) -> str:
    count = f"{openings} opening{'s' if openings != 1 else ''} of the door"
    if skin.doubt is None or air.doubt is None:
        return "The log holds too few windows without an opening to tell a fall from its noise."
    if not air.seen:
        return f"At {count} the air does not itself fall beyond its noise, so the log cannot tell."
    if skin.seen and skin.beyond < 0.5 * air.beyond:
        return f"At {count} the probe falls with the air, as one that lies in air does."
    if abs(skin.beyond) + skin.doubt < 0.5 * abs(air.beyond):
        return (
            f"At {count} the air falls and the probe shows less than half of it, doubt included: "
            "it does not follow as one that lies in air does."
        )
    return f"At {count} the log does not tell whether the probe follows the air."


def _doors_plot(_: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    says = next(one.said for one in answers if one.key == "probe-fall")
    return (
        traces(
            "doors", "Probe and air, and the doors", says, rows,
            {"probe": "skin probe, as logged", "air": "air, as logged"}, PlotAxis("temperature, as logged", "degC"),
        ),
    )  # fmt: skip


def _recovery(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = incubator.recovery(
        list(map(float, rows["time"])), list(map(float, rows["air"])), given["setting"], given["since"], given["band"],
        given["settle"],
    )  # fmt: skip
    within = f"Within {short(given['band'])} K of the setting, and staying there."
    return (
        Answer("lowest air", found.lowest, "degC", key="lowest"),
        Answer(
            "time until the air is back", found.back, "min", key="back",
            said=within if found.back is not None else "It does not come back by the end of the log.",
        ),
        Answer(
            "overshoot above the setting", found.overshoot, "K", key="overshoot",
            said="" if found.overshoot is not None else "The air never comes up to the setting.",
        ),
        Answer("mean of the settled air", found.settled, "degC", key="settled"),
        Answer("settled air against the setting", found.settled - given["setting"], "K", key="offset"),
        Answer("largest departure from that mean", found.unsteady, "K", key="unsteady"),
    )  # fmt: skip


def _recovery_plot(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    back = next(one for one in answers if one.key == "back")
    within = f"The air is within {short(given['band'])} K of its setting"
    result = f"{within} after {back.value:.0f} min." if back.value is not None else back.said
    plot = traces(
        "recovery", "Air after a disturbance", result, rows, {"air": "air over the mattress"},
        PlotAxis("air temperature", "degC"),
    )  # fmt: skip
    band = given["band"]
    levels = (
        Level("y", given["setting"], f"setting {given['setting']:.1f} °C", CurveRole.NOMINAL),
        Level("y", given["setting"] - band, f"{short(band)} K below", CurveRole.PRACTICE),
        Level("x", given["since"], "from here", CurveRole.NOMINAL),
    )
    return (Plot(plot.name, plot.kind, plot.title, plot.result, plot.x, plot.y, plot.curves, levels=levels),)


def _duty(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = incubator.duty(list(map(float, rows["time"])), list(map(float, rows["heater"])), given["window"])
    answers = [
        Answer("mean duty of the heater", found.mean, "%", found.lowest, found.highest, key="mean",
               said=f"Lowest and highest mean over {short(given['window'])} min."),
        Answer("mean over the first third", found.first, "%", key="first"),
        Answer("mean over the last third", found.last, "%", key="last"),
    ]  # fmt: skip
    if given["rated"]:
        answers.append(Answer("mean power", given["rated"] * found.mean / 100.0, "W", key="power"))
    return tuple(answers)


def _duty_plot(_: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    first, last = (next(one.value for one in answers if one.key == key) for key in ("first", "last"))
    return (
        traces(
            "duty", "Duty of the heater", f"It worked {first:.0f} % in the first third and {last:.0f} % in the last.",
            rows,             {"heater": "heater, as logged"}, PlotAxis("duty of the heater", "%", from_zero=True),
        ),
    )  # fmt: skip


def _height(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = incubator.with_height(list(map(float, rows["height"])), list(map(float, rows["rise"])))
    here, there = found.at(given["height"]), found.at(given["intended"])
    return (
        Answer("power of the height by which the rise falls", found.n, "1", key="power",
               doubt=coverage_factor(found.dof) * found.u or None, dof=found.dof,
               said="Near 2 far from a small heater, less near a long or wide one."),
        Answer("rise at the height of the event", here, "K", key="rise"),
        Answer("as a share of the rise at the intended height", 100.0 * here / there, "%", key="share"),
        Answer("largest departure from the fit", found.worst, "K", key="departure"),
    )  # fmt: skip


def _height_plot(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    heights, rises = list(map(float, rows["height"])), list(map(float, rows["rise"]))
    found = incubator.with_height(heights, rises)
    low, high = (edge(*heights, given["height"], given["intended"]) for edge in (min, max))
    grid = [low + (high - low) * i / 40 for i in range(41)]
    share = next(one.value for one in answers if one.key == "share")
    return (
        Plot(
            "height", PlotKind.FIT, "Rise at the mattress, against the height of the heater",
            f"At {short(given['height'])} cm the rise is {share:.0f} % of that at {short(given['intended'])} cm.",
            PlotAxis("heater over the mattress", "cm"), PlotAxis("rise of the test disc", "K", from_zero=True),
            (Curve("fitted power of the height", tuple((h, found.at(h)) for h in grid), CurveRole.MODEL),),
            dots=tuple(Dot(h, r, f"{short(r)} K at {short(h)} cm") for h, r in zip(heights, rises, strict=True)),
            levels=(Level("x", given["height"], "height of the event", CurveRole.NOMINAL),),
        ),
    )  # fmt: skip


CALCULATIONS = (
    Calculation(
        "door-answer",
        "Whether a logged probe follows the doors and the air",
        (Input("window", "min", "how long after an opening is looked at", 10.0),),
        "lowest value within the window less the value at the opening, against windows without an opening",
        "Student's t as in JCGM 100:2008, annex G; shifts of the openings along the log; the half is ours",
        "common practice, no source",
        (
            "Samples are evenly spaced, and doors are logged when they move.",
            "Windows without an opening, side by side, do not depend on one another.",
        ),
        _doors,
        columns=(
            Column("time", "min", "of each sample"),
            Column("probe", "degC", "skin probe, as logged"),
            Column("air", "degC", "air, as logged"),
            Column("door", "", "1 while a door is open, else 0"),
        ),
        cautions=(
            NOT_A_DIAGNOSIS,
            "A log records what the device believed.",
            "A probe under a cover or between skin and mattress follows slowly and partly.",
        ),
        dose=False,
        reaches=("probe-place",),
        plots=_doors_plot,
    ),
    Calculation(
        "air-recovery",
        "Air after a door or a new setting: back when, over by how much, how steady",
        (
            Input("setting", "degC", "of the air"),
            Input("since", "min", "time of the log at which the door was closed or the setting raised"),
            Input("band", "K", "that counts as back", 1.0),
            Input("settle", "min", "last stretch of the log, taken as settled", 60.0),
        ),
        "last sample outside the band; highest once the setting was reached; mean and departure of the last stretch",
        "Common practice; IEC 60601-2-19 for what is asked of overshoot and steadiness",
        "from memory",
        ("The reference lies where the document says, over the middle of the mattress.",),
        _recovery,
        columns=(Column("time", "min", "of each sample"), Column("air", "degC", "by the reference")),
        cautions=(PASS,),
        plots=_recovery_plot,
    ),
    Calculation(
        "heater-duty",
        "How hard a heater worked, from its log",
        (
            Input("window", "min", "over which the lowest and highest mean are looked for", 30.0),
            Input("rated", "W", "power of the heater when it is on; 0 where not known", 0.0),
        ),
        "Σ duty × time / time; each value holds until the next",
        "Arithmetic",
        "computed",
        ("The log's duty is that of the heater.",),
        _duty,
        columns=(Column("time", "min", "of each sample"), Column("heater", "%", "duty, as logged")),
        cautions=("A log records what the device believed.",),
        plots=_duty_plot,
    ),
    Calculation(
        "heat-against-height",
        "Heat of a radiant warmer at the mattress, against the height of its heater",
        (
            Input("height", "cm", "of the event"),
            Input("intended", "cm", "by the maker's instructions"),
        ),
        "ΔT = k h⁻ⁿ, least squares of the logarithms",
        "Irradiance falls with the square of the distance far from a small source, more slowly near a large one",
        "common practice, no source",
        (
            "The rise of the test disc is in proportion to what reaches it.",
            "Power and tilt are the same at each height.",
        ),
        _height,
        columns=(
            Column("height", "cm", "heater over the mattress"),
            Column("rise", "K", "of a test disc above the room"),
        ),
        cautions=(NOT_A_DIAGNOSIS, "Outside the heights measured the fit is a guess."),
        reaches=("heater-place",),
        plots=_height_plot,
    ),
)
