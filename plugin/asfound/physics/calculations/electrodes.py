"""Current at leads, electrodes and pads: share, density, heating, area, clusters of activations."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from asfound.measure.budget import coverage_factor
from asfound.measure.show import short
from asfound.physics import clusters, electrode, electrode_plots, planimetry
from asfound.physics.calc import NOT_A_DIAGNOSIS, PASS, Answer, Calculation, Column, Input, Rows

ONE_STUDY = "The 100 mA/cm² for 10 s at which high-frequency current can harm skin is the estimate of one study."
BENCH = "The impedance of a bench is not that of a patient."
STUDY = "Anesthesiology 1973, distribution of radio-frequency current and burns"
LEADS = ("lead-rf-current", "alternate-path", "probe-rf-current")
PADS = ("pad-contact", "heating-factor", *LEADS)


def _share(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    part = electrode.share(given["lead"], given["total"])
    return (
        Answer("part of the generator's current that leaves by the lead", part * 100.0, "%", key="share"),
        Answer("what is left for every other way", given["total"] - given["lead"], "mA", key="rest"),
    )


def _density(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    found = electrode.density(given["current"], given["area"])
    answers = [
        Answer("mean current density", found, "mA/cm2", key="density", said="Under an edge it is higher."),
        Answer(
            "time to the heat of 100 mA/cm² for 10 s",
            electrode.equal_heat_time(found) if found > 0.0 else None,
            "s",
            key="equal-time",
            said="By J²·t, nothing flowing away." if found > 0.0 else "No current, no heat.",
        ),
    ]
    if given["time"] > 0.0:
        many = electrode.heating_multiple(found, given["time"])
        answers.append(
            Answer(
                "heat as a multiple of that of 100 mA/cm² for 10 s", many, "1", key="heat",
                said="Nothing flowing away, so an upper view; less so the longer the time.",
            )
        )  # fmt: skip
    return tuple(answers)


def _capacitive(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    amperes = electrode.capacitive_current(given["frequency"] * 1e3, given["capacitance"] * 1e-12, given["voltage"])
    return (Answer("current through the capacitance", amperes * 1e3, "mA", key="current"),)


def _direct(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    coulombs = electrode.charge(given["current"] * 1e-6, given["time"] * 60.0)
    dense = electrode.density(given["current"], given["area"])
    said = (
        f"It sets free at most {short(electrode.alkali(coulombs) * 1e9)} nmol of hydroxide at the negative side, by "
        "Faraday's law. It harms by chemistry and not by heat: little current for long is enough, and its two sides "
        "differ."
    )
    return (
        Answer("charge moved", coulombs * 1e3, "mC", key="charge", said=said),
        Answer("mean current density", dense / 1e3, "mA/cm2", key="density"),
    )


def _wavelength(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    hertz = given["frequency"] * 1e6
    free = electrode.half_wavelength(hertz, 1.0)
    body = electrode.half_wavelength(hertz, given["permittivity"])
    return (
        Answer("half a wavelength, between body and air", None, "m", body, free, key="half"),
        Answer(
            "length of the lead in half wavelengths", None, "1", given["length"] / free, given["length"] / body,
            key="halves", said="Near 1 within this range a lead takes up the field best.",
        ),
    )  # fmt: skip


def _outlines(rows: Rows) -> list[list[tuple[float, float]]]:
    found: dict[float, list[tuple[float, float]]] = {}
    for which, x, y in zip(rows["outline"], rows["x"], rows["y"], strict=True):
        found.setdefault(float(which), []).append((float(x), float(y)))
    return [found[which] for which in sorted(found)]


def _area(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    outlines = _outlines(rows)
    found = planimetry.traced(outlines, given["known"], given["read"], given["step"])
    number = len(found.areas)
    apart = "One outline: where the edge lies is one person's sight." if number == 1 else f"By {number} outlines."
    answers = [
        Answer("area", found.mean, "cm2", min(found.areas), max(found.areas), found.doubt, apart, "area", found.dof),
        Answer("doubt from how the outlines differ", found.repeats, "cm2", key="repeats",
               said="Of the mean, standard." if number > 1 else "Not known from one."),
        Answer("doubt from the step of the points", found.setting, "cm2", key="setting", said="Of the mean, standard."),
    ]  # fmt: skip
    if given["whole"] > 0.0:
        part = 100.0 / given["whole"]
        answers.append(
            Answer(
                "part of the whole", found.mean * part, "%", min(found.areas) * part, max(found.areas) * part,
                None if found.doubt is None else found.doubt * part, key="part", dof=found.dof,
            )
        )  # fmt: skip
    return tuple(answers)


def _area_plot(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> Any:
    return (electrode_plots.outlines(_outlines(rows), given["known"] / given["read"], answers[0]),)


def _tried(given: Mapping[str, Any]) -> tuple[float, ...]:
    return tuple(sorted({*clusters.PAUSES, float(given["pause"])}))


def _by_factor(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = clusters.clusters(rows["start"], rows["on"], rows["current"], given["pause"])
    worst = clusters.largest(found)
    tries = [
        clusters.largest(clusters.clusters(rows["start"], rows["on"], rows["current"], one)) for one in _tried(given)
    ]
    factors = [one.factor for one in tries]
    whole = math.fsum(one.factor for one in found)
    first = next(
        (one for one, factor in zip(_tried(given), factors, strict=True) if factor > electrode.REFERENCE_FACTOR), None
    )
    said = _windows(given) + (
        f" It is above 30 A²·s from a pause of {short(first)} s on."
        if first is not None
        else " It is above 30 A²·s with none of them."
    )
    above = sum(one.factor > electrode.REFERENCE_FACTOR for one in found)
    return (
        Answer(
            "largest heating factor of a cluster", worst.factor, "A2s", min(factors), max(factors), said=said,
            key="largest",
        ),
        Answer("it as a multiple of 30 A²·s", worst.factor / electrode.REFERENCE_FACTOR, "1", key="multiple"),
        Answer("time on in that cluster", worst.on, "s", key="on"),
        Answer("length of that cluster", worst.span, "s", key="span", said=_activations(worst.count)),
        Answer("clusters", float(len(found)), "1", key="clusters"),
        Answer("clusters above 30 A²·s", float(above), "1", key="above"),
        Answer("heating factor of the whole record", whole, "A2s", key="whole", said="As if nothing had cooled."),
    )  # fmt: skip


def _factor_plots(given: Mapping[str, Any], rows: Rows, _: Sequence[Answer]) -> Any:
    found = clusters.clusters(rows["start"], rows["on"], rows["current"], given["pause"])
    return (electrode_plots.factors(found, given["pause"]),)


def _by_time(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = clusters.clusters(rows["start"], rows["on"], None, given["pause"])
    worst = clusters.largest(found, by_time=True)
    tries = [
        clusters.largest(clusters.clusters(rows["start"], rows["on"], None, one), by_time=True).on
        for one in _tried(given)
    ]
    return (
        Answer(
            "longest time on in a cluster", worst.on, "s", min(tries), max(tries), key="on",
            said=_windows(given),
        ),
        Answer("length of that cluster", worst.span, "s", key="span", said=_activations(worst.count)),
        Answer("longest single activation", max(float(one) for one in rows["on"]), "s", key="single"),
        Answer("clusters", float(len(found)), "1", key="clusters"),
        Answer("time on in the whole record", math.fsum(one.on for one in found), "s", key="whole"),
    )  # fmt: skip


def _time_plots(given: Mapping[str, Any], rows: Rows, _: Sequence[Answer]) -> Any:
    found = clusters.clusters(rows["start"], rows["on"], None, given["pause"])
    return (electrode_plots.times(found, given["pause"]),)


def _activations(count: int) -> str:
    return "One activation." if count == 1 else f"{count} activations."


def _windows(given: Mapping[str, Any]) -> str:
    tried = _listed(_tried(given))
    return f"Clusters end at a pause above {short(given['pause'])} s; pauses of {tried} s were tried."


def _listed(many: Sequence[float]) -> str:
    return ", ".join(short(one) for one in many[:-1]) + f" and {short(many[-1])}"


def _squared(_: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = electrode.squared([float(one) for one in rows["current"]], [float(one) for one in rows["rise"]])
    return (
        Answer("rise for a current of 1 A", found.per_square, "K", key="per-square"),
        Answer("largest departure from the square", found.worst, "K", key="worst"),
        Answer(
            "power of the current by which the rise goes", found.power, "1", key="power",
            doubt=None if found.power_u is None else coverage_factor(found.dof) * found.power_u,
            said="2 where it goes with the square.", dof=found.dof,
        ),
    )  # fmt: skip


def _squared_plot(_: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> Any:
    points = sorted((float(i), float(r)) for i, r in zip(rows["current"], rows["rise"], strict=True))
    return (electrode_plots.square_law(points, answers),)


PAUSE = Input("pause", "s", "longest pause within a cluster, for want of knowing how it cools", 60.0)
COOLING = "Within a cluster nothing cools, and between clusters everything does: both are conventions."

CALCULATIONS = (
    Calculation(
        "rf-share",
        "Which part of a generator's current leaves by a lead",
        (Input("lead", "mA", "current in the lead"), Input("total", "mA", "whole current of the active output")),
        "I_lead / I_total",
        "Kirchhoff's law of currents",
        "computed",
        (
            "Both currents were measured at the same setting and joined alike.",
            "Magnitudes: currents out of phase add to less.",
        ),
        _share,
        cautions=(NOT_A_DIAGNOSIS, BENCH),
        reaches=LEADS,
    ),
    Calculation(
        "electrode-density",
        "How dense a current was at an electrode, and how soon that heats as one study's figure does",
        (
            Input("current", "mA", "high-frequency current into the contact, r.m.s."),
            Input("area", "cm2", "area that was wet, measured and not taken from the label"),
            Input("time", "s", "how long the output was on, activations added; 0 where it is not known", 0.0),
        ),
        "J = I / A;  t = 10 s × (100 mA/cm² / J)²",
        STUDY,
        "confirmed",
        ("The current spreads evenly over the area.", "Heat per volume goes with J²·t, nothing flowing away."),
        _density,
        cautions=(NOT_A_DIAGNOSIS, ONE_STUDY, BENCH),
        reaches=PADS,
        plots=electrode_plots.density_plots,
    ),
    Calculation(
        "capacitive-current",
        "Current through whole insulation, by its capacitance",
        (
            Input("frequency", "kHz", "of the generator"),
            Input("capacitance", "pF", "between the conductors"),
            Input("voltage", "V", "between them, r.m.s.; with the output open it is highest"),
        ),
        "I = 2π f C V",
        "Circuit theory",
        "computed",
        ("A sine, and nothing else in the way: an upper view.", "Crests bring harmonics, which pass more easily."),
        _capacitive,
        cautions=(NOT_A_DIAGNOSIS, PASS),
        reaches=("capacitive-coupling", "alternate-path"),
    ),
    Calculation(
        "direct-current-charge",
        "What a direct current at an electrode moves and sets free",
        (
            Input("current", "uA", "direct current into the contact"),
            Input("time", "min", "how long it flowed"),
            Input("area", "cm2", "area that was wet"),
        ),
        "Q = I × t;  n = Q / F",
        "Faraday's law; two of seven electrode burns were by direct current: J Clin Monit Comput 2004;18:25-32",
        "confirmed for the cases, computed for the law",
        ("All of the charge sets hydroxide free: the most there can be.", "Nothing is carried away."),
        _direct,
        cautions=(NOT_A_DIAGNOSIS, "A battery or a second device that was joined at the event is not in the reading."),
        reaches=("direct-current",),
    ),
    Calculation(
        "lead-wavelength",
        "How long a lead is against half a wavelength of a scanner",
        (
            Input("length", "m", "of the lead, as it lay"),
            Input("frequency", "MHz", "of the scanner: about 42.6 for each tesla"),
            Input("permittivity", "", "relative, of the body at that frequency", 80.0),
        ),
        "λ/2 = c / (2 f √εr)",
        "Circuit theory; leads and loops in scanners: J Med Radiat Sci 2024;71:445-460",
        "computed",
        (
            "A straight lead; a loop or a coil takes up the field otherwise.",
            "An insulated lead beside a body lies between the two.",
        ),
        _wavelength,
        reaches=("scanner-loop", "imaging-loop"),
    ),
    Calculation(
        "print-area",
        "Area of a print or a gel from outlines traced on a scaled picture",
        (
            Input("known", "cm", "length of the scale in the picture"),
            Input("read", "", "the same length in units of the picture"),
            Input("step", "", "units of the picture to which points were set, such as 1 pixel", 1.0),
            Input("whole", "cm2", "area of the whole pad, for the part of it; 0 for none", 0.0),
        ),
        "A = ½ |Σ (xᵢ yᵢ₊₁ − xᵢ₊₁ yᵢ)| × (known / read)²",
        "The surveyor's formula; doubts after JCGM 100:2008, 4.3.7 and G.4.1",
        "computed",
        (
            "The print was flat and photographed from straight above.",
            "Outlines drawn apart show the doubt of where the edge lies; what all readers see wrongly they do not.",
        ),
        _area,
        (
            Column("outline", "", "number of the outline"),
            Column("x", "", "in units of the picture"),
            Column("y", "", "in units of the picture"),
        ),
        cautions=(NOT_A_DIAGNOSIS, "The print is the contact when the pad came off, not through the procedure."),
        dose=False,
        reaches=("pad-contact", "electrode-contact"),
        plots=_area_plot,
    ),
    Calculation(
        "heating-clusters",
        "Heating factor of each cluster of activations",
        (PAUSE,),
        "Σ I² t over each cluster",
        "Evaluation guidance for return pads, 2016: 30 A²·s as the long-used expectation",
        "secondary",
        (COOLING, "The current of each activation is that measured at its setting into one load."),
        _by_factor,
        (
            Column("start", "s", "when each activation began, from any zero"),
            Column("on", "s", "how long it was on"),
            Column("current", "A", "r.m.s. current through the pad"),
        ),
        cautions=(
            NOT_A_DIAGNOSIS,
            "With part of a pad lifted, less is enough.",
            "A log records what the device believed.",
        ),
        reaches=("heating-factor",),
        plots=_factor_plots,
        row_doubts=True,
    ),
    Calculation(
        "on-time-clusters",
        "How long a generator was on, cluster by cluster",
        (PAUSE,),
        "Σ t over each cluster",
        "Sum of the record; 10 s of one study's figure: Anesthesiology 1973",
        "computed",
        (COOLING,),
        _by_time,
        (Column("start", "s", "when each activation began, from any zero"), Column("on", "s", "how long it was on")),
        cautions=(NOT_A_DIAGNOSIS, "A log records what the device believed, not where the current went."),
        reaches=("heating-factor", *LEADS, "unintended-activation"),
        plots=_time_plots,
    ),
    Calculation(
        "current-squared",
        "Whether a rise of temperature goes with the square of the current",
        (),
        "ΔT = a I²;  log ΔT = n log I + b",
        "Joule's law; pads on a phantom: IEEE EMBS 1988, 10.1109/IEMBS.1988.95033",
        "confirmed for the phantom's figures",
        ("Each rise after one time, on one surface, from one temperature.",),
        _squared,
        (Column("current", "A", "r.m.s."), Column("rise", "K", "rise of temperature")),
        cautions=(NOT_A_DIAGNOSIS, "A rise on a phantom is not a rise on a patient."),
        reaches=("heating-factor", "pad-contact"),
        plots=_squared_plot,
    ),
)
