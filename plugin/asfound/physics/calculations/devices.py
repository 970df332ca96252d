"""Energy of a pulse, agreement of a monitor."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from asfound.physics import energy, monitors
from asfound.physics.calc import PASS, Answer, Calculation, Column, Input, Rows

RATED_LOAD = "Stored energy: two people, a rated load, nobody in contact."
NO_LIMIT = "Whether it is enough is for the maker's stated value and the standard in force to say."


def _pulse(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = energy.pulse(rows["time"], rows["voltage"], given["load"])
    answers = [
        Answer("energy into the load", found.energy, "J", said=" ".join(found.faults)),
        Answer("part of it that hangs on the sampling", found.sampling, "J"),
        Answer("peak voltage", found.peak_voltage, "V"),
        Answer("peak current", found.peak_current, "A"),
    ]
    for number, phase in enumerate(found.phases, start=1):
        answers.append(Answer(f"duration of phase {number}", phase.duration * 1e3, "ms"))
        answers.append(Answer(f"tilt of phase {number}", phase.tilt * 100.0, "%"))
    return tuple(answers)


def _rlc(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    found = energy.rlc_discharge(
        given["capacitance"] * 1e-6, given["inductance"] * 1e-3, given["series"], given["load"], given["voltage"]
    )
    return (
        Answer("stored energy", found.stored, "J"),
        Answer("energy into the load", found.delivered, "J"),
        Answer("peak current", found.peak_current, "A"),
        Answer("time of the peak", found.peak_time * 1e3, "ms"),
    )


def _truncated(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    joules = energy.truncated_exponential(
        given["capacitance"] * 1e-6, given["voltage"], given["load"], given["duration"] * 1e-3
    )
    return (Answer("energy into the load", joules, "J"),)


def _agreement(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = monitors.agreement(list(rows["error"]))
    return (
        Answer("bias", found.bias, "1"),
        Answer("standard deviation", found.s, "1"),
        Answer("root mean square", found.rms, "1"),
    )


CALCULATIONS = (
    Calculation(
        "pulse-energy",
        "Energy of a sampled defibrillation pulse",
        (Input("load", "ohm", "resistance of the load", 50.0),),
        "∫ v² / R dt, trapezium rule",
        "IEC 60601-2-4, energy into loads from 25 to 175 Ω",
        "from memory",
        ("The load is a resistance, and the voltage was taken across it.",),
        _pulse,
        columns=(Column("time", "s", "time of each sample"), Column("voltage", "V", "voltage across the load")),
        cautions=(RATED_LOAD, NO_LIMIT, PASS),
    ),
    Calculation(
        "damped-sine",
        "Pulse of a capacitor through a coil",
        (
            Input("capacitance", "uF", "capacitor"),
            Input("inductance", "mH", "coil"),
            Input("series", "ohm", "resistance in series", 0.0),
            Input("load", "ohm", "load", 50.0),
            Input("voltage", "V", "voltage before the discharge"),
        ),
        "C V² / 2 × R / (R + Rs)",
        "Circuit theory, exact for a pulse that runs out",
        "computed",
        ("Ideal parts; the pulse is not cut off.",),
        _rlc,
        cautions=(RATED_LOAD, NO_LIMIT),
    ),
    Calculation(
        "truncated-exponential",
        "Energy of a pulse that is cut off",
        (
            Input("capacitance", "uF", "capacitor"),
            Input("voltage", "V", "voltage before"),
            Input("load", "ohm", "load", 50.0),
            Input("duration", "ms", "length of the pulse"),
        ),
        "C V² / 2 × (1 − exp(−2T/RC))",
        "Circuit theory, exact",
        "computed",
        ("Ideal parts.",),
        _truncated,
        cautions=(RATED_LOAD, NO_LIMIT),
    ),
    Calculation(
        "agreement",
        "Bias, spread and root mean square of errors",
        (),
        "√(Σe²/n)",
        "ISO 80601-2-61 for the root mean square",
        "from memory",
        ("Each error is that of the device less the reference, all in one unit.",),
        _agreement,
        columns=(Column("error", "1", "device less reference"),),
        cautions=("These figures belong to studies on people: a reading at the bench cannot test them.",),
    ),
)
