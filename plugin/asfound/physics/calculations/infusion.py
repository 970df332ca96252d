"""Flow of a pump by weighing, gravity, blockage, and what a balance of volumes says of a record and of a keyed rate."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from msgspec import structs

from asfound.measure.show import short, show_number, two_digits
from asfound.model.plots import Plot
from asfound.physics import infusion, infusion_run, water
from asfound.physics import infusion_plots as plots
from asfound.physics.calc import PASS, Answer, Calculation, Column, Input, Rows

NO_LIMIT = "Whether it is enough is for the maker's stated value and the standard in force to say."
FITS = "That a volume fits says that it would do, not that it happened so."
BENCH = "A run at the bench, with the drive holding the fluid, does not show that it held it at the event."
STANDARD = "IEC 60601-2-24:1998, 50.102; 2012, 201.12.1.102"
WEIGHING = "Tanaka et al., Metrologia 2001, 38, 301-309, for the density (secondary); buoyancy as in ISO 8655-6"


def _gravimetric(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    hours, rate = given["time"], given["rate"]
    flow = water.flow_of(given["mass"], hours, given["temperature"], blank=given["blank"] / 1e3)
    plain = water.flow_of(given["mass"], hours, given["temperature"], blank=given["blank"] / 1e3, buoyancy=False)
    return (
        Answer("mean flow", flow, "mL/h", key="flow"),
        Answer("mean flow, buoyancy of the air left out", plain, "mL/h", key="without-buoyancy"),
        Answer("deviation from the set rate", 100.0 * (flow - rate) / rate, "%", key="deviation"),
        Answer("density of water", water.density_tanaka(given["temperature"]), "kg/m3", key="density"),
    )


def _windows(found: infusion.Trumpet) -> list[Answer]:
    return [
        Answer(
            f"deviations over {one.minutes} min", None, "%", one.lowest, one.highest,
            said=f"{one.count} windows.", key=f"window-{one.minutes}",
        )
        for one in found.windows
    ]  # fmt: skip


def _trumpet(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = infusion.trumpet(rows["flow"], given["rate"], given["sample"])
    return (Answer("mean deviation", found.mean, "%", key="deviation"), *_windows(found))


def _draw_trumpet(given: Mapping[str, Any], rows: Rows, _: Sequence[Answer]) -> tuple[Plot, ...]:
    return (plots.trumpet(infusion.trumpet(rows["flow"], given["rate"], given["sample"]), given["rate"]),)


def _floats(column: Sequence[float]) -> list[float]:
    """A column as plain numbers: those of a file are numpy's, which print otherwise."""
    return [float(one) for one in column]


def _scale(given: Mapping[str, Any]) -> float:
    """What the readings of a balance are multiplied by: 1, and its doubt with it."""
    return float(1.0 + given["scale"] / 100.0)


def _run(given: Mapping[str, Any], rows: Rows) -> tuple[infusion_run.Run, infusion_run.Run]:
    """The whole run, and what is analysed of it."""
    run = infusion_run.run_of(rows["time"], rows["mass"], given["temperature"], given["blank"] / 1e3, _scale(given))
    rest = run.after(given["leave"])
    steps = round(given["over"] / run.sample)
    if 0 < steps < rest.times.size - 1:
        rest = infusion_run.Run(rest.times[: steps + 1], rest.volumes[: steps + 1], rest.sample)
    return run, rest


def _flow_run(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    rate, window = given["rate"], given["window"]
    run, rest = _run(given, rows)
    mean, whole = rest.mean(), run.mean()
    start = infusion_run.start_up(run, rate, given["share"], given["smooth"])
    settled = "" if start.minutes is not None else f"It never settled within {short(given['share'])} %."
    answers = [
        Answer("mean flow", mean, "mL/h", key="flow"),
        Answer("deviation from the set rate", 100.0 * (mean - rate) / rate, "%", key="deviation"),
        Answer("mean flow of the whole run", whole, "mL/h", key="whole"),
        Answer("time until the flow stays near the rate", start.minutes, "min", said=settled, key="start-up"),
        Answer("less given until then than the rate asks for", start.short, "mL", key="start-short"),
    ]
    if window > 0:
        worst = infusion_run.stretches(run, window)
        over = f"over any {short(window)} min of the run"
        most = worst.highest * window / 60.0
        answers += [
            Answer(
                f"deviations {over}", None, "%", 100.0 * (worst.lowest - rate) / rate,
                100.0 * (worst.highest - rate) / rate, said=f"{worst.count} windows.", key="event-window",
            ),
            Answer(f"most that was given {over}", most, "mL", key="event-most"),
        ]  # fmt: skip
    return (*answers, *_windows(infusion.trumpet(rest.flows, rate, rest.sample)))


def _draw_run(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    run, rest = _run(given, rows)
    start = next(one.value for one in answers if one.slug == "start-up")
    return (
        plots.trace(run, given["rate"], given["smooth"], given["share"], start),
        plots.trumpet(infusion.trumpet(rest.flows, given["rate"], rest.sample), given["rate"]),
    )


def _blank(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = infusion_run.blank_of(_floats(rows["time"]), _floats(rows["mass"]))
    per_gram = 100.0 * water.volume_of(1.0, given["temperature"]) / given["rate"]
    dof = float(found.fit.dof)
    return (
        Answer("evaporated in an hour", found.rate * 1e3, "mg", doubt=found.doubt * 1e3, key="blank", dof=dof),
        Answer("share of the set rate", found.rate * per_gram, "%", doubt=found.doubt * per_gram, key="share", dof=dof),
    )


def _draw_blank(_: Mapping[str, Any], rows: Rows, __: Sequence[Answer]) -> tuple[Plot, ...]:
    return (plots.blank(_floats(rows["time"]), _floats(rows["mass"])),)


def _occlusion(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    pressure = given["pressure"] or None
    found = infusion_run.occlusion(given["mass"], given["temperature"], given["rate"], given["time"], pressure)
    answers = [
        Answer("bolus let go", found.bolus, "mL", key="bolus"),
        Answer("pumped until the alarm", found.pumped, "mL", key="pumped"),
        Answer("of it, not let go at once", found.kept, "mL", key="kept"),
    ]
    if found.give is not None:
        answers.append(Answer("give of the line, for 100 mmHg", 100.0 * found.give, "mL", key="give"))
    if given["missing"] > 0:
        answers.append(
            Answer("share of the volume asked for", 100.0 * found.bolus / given["missing"], "%", key="share")
        )
    return tuple(answers)


def _siphon(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = infusion.siphon(_floats(rows["height"]), [flow * _scale(given) for flow in _floats(rows["flow"])])
    heights = sorted(set(_floats(rows["height"])))
    outside = ""
    if not heights[0] <= given["height"] <= heights[-1]:
        outside = "It lies outside the heights that were measured: the line is drawn further than its readings."
    return (
        Answer("flow for each centimetre", found.per_cm, "mL/h", key="per-cm"),
        Answer("height at which flow begins", found.start, "cm", key="start"),
        Answer(
            "flow at the height asked for", found.at(given["height"]), "mL/h", doubt=found.doubt(given["height"]),
            said=outside, key="flow", dof=math.inf if found.fit is None else float(found.fit.dof),
        ),
        Answer("largest departure from the line", found.worst, "mL/h", key="worst"),
        Answer("pressure of the column", infusion.head(given["height"]), "mmHg", key="head"),
    )  # fmt: skip


def _draw_siphon(given: Mapping[str, Any], rows: Rows, _: Sequence[Answer]) -> tuple[Plot, ...]:
    return (plots.siphon(_floats(rows["height"]), _floats(rows["flow"]), given["height"]),)


def _balance(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    exact = {name: Decimal(repr(float(value))) for name, value in given.items()}
    found = infusion.balance(
        exact["filled"],
        exact["left"],
        exact["elsewhere"],
        exact["time"],
        exact["rate"],
        exact["logged"],
        infusion.Fields(exact["dose"], exact["volume"], exact["gravity"]),
    )
    answers = [
        Answer("volume given", float(found.given), "mL", key="given"),
        Answer("rate that implies", float(found.implied), "mL/h", key="rate"),
    ]
    for one in found.supposed:
        ratio = f"{short(float(one.ratio))} times as much was given."
        answers.append(Answer(f"volume if {one.name}", float(one.volume), "mL", said=ratio, key=f"if-{one.key}"))
        more = float(found.given - one.volume)
        answers.append(Answer(f"given beyond that, if {one.name}", more, "mL", key=f"{BEYOND}{one.key}"))
    return tuple(answers)


BEYOND = "beyond-"


def _fits(_: Mapping[str, Any], answers: Sequence[Answer]) -> tuple[Answer, ...]:
    """With the doubts known: which supposition fits the volume given, and which does not."""
    return tuple(_fit(one) if one.slug.startswith(BEYOND) else one for one in answers)


def _fit(one: Answer) -> Answer:
    if one.value is None or not one.doubt:
        return structs.replace(one, said="No doubt was given with the inputs, so whether it fits is not said.")
    doubt = show_number(two_digits(one.doubt))
    if abs(one.value) <= one.doubt:
        return structs.replace(one, said=f"It fits: the difference lies within its doubt of {doubt} mL.")
    way = "more" if one.value > 0 else "less"
    size = short(abs(one.value))
    return structs.replace(
        one, said=f"It does not fit: {size} mL {way} were given than that, and the doubt is {doubt} mL."
    )


def _draw_balance(_: Mapping[str, Any], __: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    by = {one.slug: one for one in answers}
    fits = [(one, by[f"{BEYOND}{one.slug.removeprefix('if-')}"]) for one in answers if one.slug.startswith("if-")]
    return (plots.suppositions(by["given"], fits),)


def _log(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = infusion_run.log_windows(_floats(rows["time"]), _floats(rows["volume"]))
    rates = [one.rate for one in found]
    total = sum(one.volume for one in found)
    minutes = found[-1].end - found[0].start
    answers = [
        Answer("volume counted", total, "mL", key="counted"),
        Answer("mean rate by the record", total * 60.0 / minutes, "mL/h", key="rate"),
        Answer("rates of its windows", None, "mL/h", min(rates), max(rates), said=_count(found), key="windows"),
    ]
    if given["given"] > 0:
        past = given["given"] - total
        answers += [
            Answer("given and not counted", past, "mL", key="uncounted"),
            Answer("rate of what was not counted", past * 60.0 / minutes, "mL/h", key="uncounted-rate"),
        ]
    return tuple(answers)


def _count(found: Sequence[infusion_run.LogWindow]) -> str:
    top = max(found, key=lambda one: one.rate)
    return (
        f"{len(found)} windows; the fastest from {short(top.start)} min to {short(top.end)} min. A counter that shows "
        "few digits makes short windows uneven."
    )


def _draw_log(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    found = infusion_run.log_windows(_floats(rows["time"]), _floats(rows["volume"]))
    return (plots.record(found, given["rate"], given["given"]),)


_VOLUME = "volume in the syringe or bag at the beginning"
_BALANCE_COLUMNS = (Column("time", "min", "time of each reading"), Column("mass", "g", "mass on the balance"))
_TEMPERATURE = Input("temperature", "degC", "of the water")
_RATE = Input("rate", "mL/h", "the set rate")
_SCALE = Input("scale", "%", "by which the balance reads low; 0, with the doubt of its scale", 0.0)

CALCULATIONS = (
    Calculation(
        "gravimetric-flow",
        "Flow of a pump by weighing",
        (
            Input("mass", "g", "water collected"),
            Input("time", "h", "for how long"),
            _TEMPERATURE,
            _RATE,
            Input("blank", "mg", "evaporated in an hour without flow", 0.0),
        ),
        "m / ρ × (1 − ρa/ρb) / (1 − ρa/ρ) / t",
        "Tanaka et al., Metrologia 2001, 38, 301-309; buoyancy as in ISO 8655-6",
        "secondary",
        ("Water; air of 1.2 kg/m³, weights of 8000 kg/m³.",),
        _gravimetric,
        cautions=(NO_LIMIT, PASS),
        reaches=("flow",),
    ),
    Calculation(
        "flow-run",
        "Flow of a pump from a balance read at even times",
        (
            _RATE,
            _TEMPERATURE,
            Input("blank", "mg", "evaporated in an hour without flow", 0.0),
            _SCALE,
            Input("leave", "min", "left out at the beginning", 60.0),
            Input("over", "min", "analysed after that; 0 for all that follows", 60.0),
            Input("window", "min", "length of the event; 0 for none", 0.0),
            Input("share", "%", "of the rate within which the flow counts as started", 10.0),
            Input("smooth", "min", "over which the flow is averaged to judge the start", 5.0),
        ),
        "Q = Δm / ρ × buoyancy / S; E(P) = (S/P) Σ 100 (Q − r)/r over all windows",
        f"{STANDARD}; {WEIGHING}",
        "from memory",
        (
            "Water; what evaporates does so evenly.",
            "The hour that is left out and the hour analysed are those of the standard where nothing else is said.",
        ),
        _flow_run,
        columns=_BALANCE_COLUMNS,
        cautions=(NO_LIMIT, BENCH, PASS),
        reaches=("flow", "start-up"),
        plots=_draw_run,
    ),
    Calculation(
        "trumpet",
        "How far flow strays over windows of time",
        (_RATE, Input("sample", "min", "length of a sample", 0.5)),
        "E(P) = (S/P) Σ 100 (Q − r)/r, largest and smallest over all windows",
        STANDARD,
        "from memory",
        ("The flows are those of the analysis period; the first hour is left out before.",),
        _trumpet,
        columns=(Column("flow", "mL/h", "flow of each sample"),),
        cautions=(NO_LIMIT, PASS),
        reaches=("flow",),
        plots=_draw_trumpet,
    ),
    Calculation(
        "evaporation-blank",
        "What leaves the vessel on the balance with no flow",
        (Input("rate", "mL/h", "the rate it is to be held against"), _TEMPERATURE),
        "−dm/dt, least squares",
        "JCGM 100:2008, H.3, for the line and its doubt",
        "secondary",
        ("The vessel, its cover and the air are those of the run.",),
        _blank,
        columns=_BALANCE_COLUMNS,
        cautions=("At 1 mL/h and below, evaporation is the largest error.",),
        plots=_draw_blank,
    ),
    Calculation(
        "occlusion",
        "What a closed line took in and let go",
        (
            Input("mass", "g", "water that came at once"),
            _TEMPERATURE,
            _RATE,
            Input("time", "s", "from closing the line to the alarm"),
            Input("pressure", "mmHg", "in the line at the alarm; 0 where it was not read", 0.0),
            Input("missing", "mL", "volume that is to be explained; 0 for none", 0.0),
        ),
        "bolus m / ρ; pumped r t; give r t / p",
        f"IEC 60601-2-24, occlusion (from memory); {WEIGHING}",
        "from memory",
        ("The drive kept its rate until the alarm.",),
        _occlusion,
        cautions=("The maker discloses these figures; no standard sets them.", PASS),
        reaches=("occlusion-bolus", "occlusion-alarm"),
    ),
    Calculation(
        "siphon",
        "Flow by gravity against height",
        (Input("height", "cm", "height to answer for"), _SCALE),
        "Q = k (h − h₀), least squares; pressure ρ g h",
        "Laminar flow is in proportion to the head; JCGM 100:2008, H.3, for the doubt of the line",
        "computed",
        (
            "The same line, needle and fluid at each height.",
            "The doubt is that of the line from its scatter; what the readings share comes in by scale and height.",
        ),
        _siphon,
        columns=(
            Column("height", "cm", "height of the fluid above the outlet"),
            Column("flow", "mL/h", "measured flow"),
        ),
        reaches=("free-flow",),
        plots=_draw_siphon,
    ),
    Calculation(
        "mass-balance",
        "What was given, held against what was set and logged",
        (
            Input("filled", "mL", _VOLUME),
            Input("left", "mL", "volume left"),
            Input("elsewhere", "mL", "in the line, spilt", 0.0),
            Input("time", "h", "over how long"),
            Input("rate", "mL/h", "the set rate"),
            Input("logged", "mL", "volume by the log", 0.0),
            Input("dose", "", "number of the dose in an hour that gives the set rate; 0 where none was ordered", 0.0),
            Input("volume", "", "number in mL of the field for the volume to be given; 0 where there is none", 0.0),
            Input("gravity", "mL/h", "flow by gravity as measured at the height found; 0 where it was not", 0.0),
        ),
        "filled − left − elsewhere; a supposition fits where the difference lies within its doubt",
        "Conservation of volume; the suppositions are common keying errors",
        "common practice, no source",
        ("Nothing was drawn off that is not named.",),
        _balance,
        cautions=(FITS,),
        reaches=("rate-setting", "flow", "free-flow"),
        plots=_draw_balance,
        finish=_fits,
    ),
    Calculation(
        "record-windows",
        "The rate a pump's record implies, window by window",
        (
            _RATE,
            Input("given", "mL", "volume given by the balance; 0 where it is not known", 0.0),
        ),
        "ΔV / Δt between entries; given less counted",
        "infusion-pump log case study (PubMed 27747683), for the question; conservation of volume",
        "confirmed",
        ("The counter was not cleared between the entries.",),
        _log,
        columns=(Column("time", "min", "time of each entry"), Column("volume", "mL", "volume counted up to it")),
        cautions=("A record holds what the pump believed, not what reached the patient.",),
        reaches=("rate-setting", "flow", "device-record"),
        plots=_draw_log,
    ),
)
