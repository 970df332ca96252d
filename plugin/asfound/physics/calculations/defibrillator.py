"""Shocks: energy of a sampled pulse, two paths side by side, closed forms, time to ready, delay of the synchroniser."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from asfound.measure.show import short
from asfound.model.plots import Plot
from asfound.physics import energy, shock_plots, shocks
from asfound.physics.calc import PASS, Answer, Calculation, Column, Input, Rows
from asfound.physics.sampled import Moved, Sampled, sampled

RATED_LOAD = "Stored energy: two people, a rated load, nobody in contact."
NO_LIMIT = "Whether it is enough is for the maker's stated value and the standard in force to say."
LEFT_OUT = "A shock through an adapter says nothing of the cable, the connector and the pads it stands in for."
AT_REST = "Two paths that agree while the cable lies still do not show that it stays whole when it is moved."
LOAD = Input("load", "ohm", "resistance of the load", 50.0)
SCALE = Input("scale", "%", "what the recorder reads too little, so that its doubt is carried", 0.0)
STEP = 2.0 / 6.0**0.5
"""Both ends of a time are known to a step of the record: two rectangles, k = 2."""


def _scaled(given: Mapping[str, Any], record: Sampled) -> Sampled:
    return Moved(record, 1.0 + given["scale"] / 100.0) if given["scale"] else record


def _volts(given: Mapping[str, Any], volts: Any) -> Any:
    return volts if not given["scale"] else volts * (1.0 + given["scale"] / 100.0)


def _recorded(given: Mapping[str, Any], rows: Rows) -> tuple[Sampled, energy.Pulse, tuple[str, ...]]:
    """The record as it is reckoned with, what it delivered, and what is wrong with it."""
    record = _scaled(given, sampled(rows, "time", "voltage"))
    found = energy.pulse_of(record, given["load"])
    said = shocks.faults(record, found)
    if given["rest"] == "taken off":
        level = shocks.rest_before(record, found).level
        if level:
            record = Moved(record, level=level)
            found = energy.pulse_of(record, given["load"])
    return record, found, said


def _pulse(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    _, found, said = _recorded(given, rows)
    answers = [
        Answer("energy into the load", found.energy, "J", said=" ".join(said), key="energy"),
        Answer("part of it that hangs on the sampling", found.sampling, "J", key="sampling"),
        Answer("peak voltage", found.peak_voltage, "V"),
        Answer("peak current", found.peak_current, "A"),
    ]
    for number, phase in enumerate(found.phases, start=1):
        answers.append(Answer(f"duration of phase {number}", phase.duration * 1e3, "ms", key=f"duration-{number}"))
        answers.append(Answer(f"tilt of phase {number}", phase.tilt * 100.0, "%", key=f"tilt-{number}"))
    if len(found.phases) > 1:
        last = found.phases[-1]
        whole = last.start + last.duration - found.phases[0].start
        answers.append(Answer("length of the whole pulse", whole * 1e3, "ms", key="length"))
    return tuple(answers)


def _draw_pulse(given: Mapping[str, Any], rows: Rows, _: Sequence[Answer]) -> tuple[Plot, ...]:
    record, found, _said = _recorded(given, rows)
    return shock_plots.waveform(record, given["load"], found)


def _paired(given: Mapping[str, Any], rows: Rows) -> shocks.Pair:
    import numpy as np

    one, two = (_volts(given, np.asarray(rows[name], dtype=np.float64)) for name in ("voltage", "other"))
    return shocks.pair(rows["time"], one, two, given["load"], given["inside"])


def _pair(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = _paired(given, rows)
    first = shocks.faults(sampled(rows, "time", "voltage"), found.first)
    second = shocks.faults(sampled(rows, "time", "other"), found.second)
    less = 100.0 * (1.0 - found.share)
    return (
        Answer("energy by the first path", found.first.energy, "J", said=" ".join(first), key="first"),
        Answer("energy by the other path", found.second.energy, "J", said=" ".join(second), key="other"),
        Answer("energy the first path gives less", less, "%", key="less"),
        Answer("peak voltage by the first path over the other", found.peaks, "1", key="peaks"),
        Answer(
            "resistance that would stand in the first path beyond the other", found.series, "ohm",
            said="The charges of the two shocks are taken to be equal; what they differ by goes into it whole.",
            key="series",
        ),
        Answer("largest difference of voltage within the phases", found.apart, "V", key="apart"),
    )  # fmt: skip


def _draw_pair(given: Mapping[str, Any], rows: Rows, _: Sequence[Answer]) -> tuple[Plot, ...]:
    return shock_plots.paths(rows, _paired(given, rows))


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


def _over_loads(given: Mapping[str, Any]) -> list[tuple[float, float, tuple[float, ...]]]:
    phases = [given[name] * 1e-3 for name in ("first", "second") if given[name] > 0.0]
    made = []
    for load in sorted({*shocks.LOADS, given["load"]}):
        joules, tilts = shocks.truncated_at(
            given["capacitance"] * 1e-6, given["voltage"], given["inside"], load, phases
        )
        made.append((load, joules, tilts))
    return made


def _loads(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    stored = 0.5 * given["capacitance"] * 1e-6 * given["voltage"] ** 2
    answers = [Answer("stored energy", stored, "J", key="stored")]
    for load, joules, tilts in _over_loads(given):
        said = f"Tilt {' and '.join(f'{short(one * 100.0, 2)} %' for one in tilts)}."
        name = f"{load:g}"
        answers.append(
            Answer(f"energy into {name} Ω", joules, "J", said=said, key=f"into-{name.replace('.', '-')}")
        )  # fmt: skip
    return tuple(answers)


def _draw_loads(given: Mapping[str, Any], _: Rows, __: Sequence[Answer]) -> tuple[Plot, ...]:
    return shock_plots.loads(given, [(load, joules) for load, joules, _tilts in _over_loads(given)])


def _charge(_: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = shocks.charge(rows["time"], rows["key"], rows["ready"])
    return (
        Answer("time from the key to ready", found.took, "s", doubt=found.step * STEP, key="charge"),
        Answer("key pressed at", found.key, "s", key="key"),
        Answer("ready at", found.ready, "s", key="ready"),
        Answer("longest step between samples", found.step * 1e3, "ms", key="step"),
    )


def _draw_charge(_: Mapping[str, Any], rows: Rows, __: Sequence[Answer]) -> tuple[Plot, ...]:
    return shock_plots.charging(rows, shocks.charge(rows["time"], rows["key"], rows["ready"]))


def _synchronised(given: Mapping[str, Any], rows: Rows) -> shocks.Synchronised:
    return shocks.synchronised(rows["time"], rows["ecg"], rows["voltage"], given["look"], given["share"] / 100.0)


def _sync(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = _synchronised(given, rows)
    return (
        Answer(
            "from the peak of the R wave to the peak of the pulse", found.delay * 1e3, "ms",
            doubt=found.step * 1e3 * STEP, key="delay",
        ),
        Answer("height of that R wave", found.height, "mV", key="height"),
        Answer("beats before it that were let pass", float(found.others), "1", key="before"),
        Answer("longest step between samples", found.step * 1e3, "ms", key="step"),
    )  # fmt: skip


def _draw_sync(given: Mapping[str, Any], rows: Rows, _: Sequence[Answer]) -> tuple[Plot, ...]:
    return shock_plots.beat(rows, _synchronised(given, rows))


_TIME = Column("time", "s", "time of each sample")
_PULSE = Column("voltage", "V", "voltage across the load")

CALCULATIONS = (
    Calculation(
        "pulse-energy",
        "Energy of a sampled defibrillation pulse",
        (
            LOAD,
            SCALE,
            Input("rest", "", "the level at which the record rests before the pulse", "left", ("left", "taken off")),
        ),
        "∫ v² / R dt, trapezium rule over every sample; tilt (first − last) / first of each phase",
        "IEC 60601-2-4, energy into loads from 25 to 175 Ω",
        "from memory",
        (
            "The load is a resistance, and the voltage was taken across it.",
            "A phase reaches from the first to the last sample above a twentieth of the peak; a dip that does not "
            "reach half of that ends none.",
        ),
        _pulse,
        columns=(_TIME, _PULSE),
        cautions=(RATED_LOAD, NO_LIMIT, LEFT_OUT, PASS),
        reaches=("delivered-energy",),
        plots=_draw_pulse,
        in_stretches=True,
    ),
    Calculation(
        "pulse-pair",
        "One shock by each of two paths",
        (LOAD, SCALE, Input("inside", "ohm", "resistance within the unit, where it is known", 0.0)),
        "∫ v² / R dt for each; r = (R + Ri) (V₂ / V₁ − 1)",
        "Circuit theory",
        "computed",
        (
            "Both were recorded into one load on one time base, and each is counted from its rise.",
            "The capacitor was charged alike for both.",
        ),
        _pair,
        columns=(
            _TIME,
            Column("voltage", "V", "voltage across the load by the first path, that of the event"),
            Column("other", "V", "voltage across the load by the other path"),
        ),
        cautions=(RATED_LOAD, AT_REST, LEFT_OUT, PASS),
        reaches=("delivered-energy",),
        plots=_draw_pair,
    ),
    Calculation(
        "energy-over-loads",
        "Energy of one charge into loads from 25 to 175 Ω",
        (
            Input("capacitance", "uF", "capacitor"),
            Input("voltage", "V", "voltage before"),
            Input("inside", "ohm", "resistance within the unit", 0.0),
            Input("first", "ms", "length of the first phase"),
            Input("second", "ms", "length of the second phase; 0 where there is none", 0.0),
            Input("load", "ohm", "a further load", 50.0),
        ),
        "C V² / 2 × R / (R + Ri) × (1 − exp(−2T / ((R + Ri) C))), phase after phase",
        "Circuit theory; the loads are those of IEC 60601-2-4 (from memory)",
        "computed",
        ("One capacitor, turned round between phases whose length does not depend on the load.",),
        _loads,
        cautions=(RATED_LOAD, NO_LIMIT),
        plots=_draw_loads,
    ),
    Calculation(
        "charge-time",
        "Time from the key until the unit is ready",
        (),
        "first sample at which ready is on − first sample at which the key is down",
        "IEC 60601-2-4, 201.101, for what is counted",
        "from memory",
        ("A channel is on above the middle between its lowest and its highest sample.",),
        _charge,
        columns=(
            _TIME,
            Column("key", "V", "channel of the key to charge"),
            Column("ready", "V", "channel of the lamp or tone that says ready"),
        ),
        cautions=(RATED_LOAD, NO_LIMIT, PASS),
        dose=False,
        reaches=("battery", "charging"),
        plots=_draw_charge,
    ),
    Calculation(
        "synchroniser-delay",
        "From the peak of the R wave to the peak of the pulse",
        (
            Input("look", "s", "how far before the pulse beats are looked for", 2.0),
            Input("share", "%", "share of the highest wave above which a wave counts as a beat", 50.0),
        ),
        "time of the pulse's peak − time of the peak of the last R wave before it",
        "IEC 60601-2-4, 201.104, for what is counted",
        "from memory",
        ("The R wave stands upright and is the highest wave of the trace.", "Both channels have one time base."),
        _sync,
        columns=(_TIME, Column("ecg", "mV", "trace of the heart"), _PULSE),
        cautions=(RATED_LOAD, NO_LIMIT, PASS),
        dose=False,
        reaches=("synchroniser",),
        plots=_draw_sync,
    ),
    Calculation(
        "damped-sine",
        "Pulse of a capacitor through a coil",
        (
            Input("capacitance", "uF", "capacitor"),
            Input("inductance", "mH", "coil"),
            Input("series", "ohm", "resistance in series", 0.0),
            LOAD,
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
            LOAD,
            Input("duration", "ms", "length of the pulse"),
        ),
        "C V² / 2 × (1 − exp(−2T/RC))",
        "Circuit theory, exact",
        "computed",
        ("Ideal parts.",),
        _truncated,
        cautions=(RATED_LOAD, NO_LIMIT),
    ),
)
