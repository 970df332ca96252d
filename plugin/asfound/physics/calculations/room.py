"""Rooms, their supply and its monitor: what adds up, what a monitor shows, which pair of faults lets a current flow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from asfound.model.plots import Plot
from asfound.physics import shock, supply, supply_plots
from asfound.physics.calc import NOT_A_DIAGNOSIS, PASS, Answer, Calculation, Column, Input, Rows

QUIET = (
    "A quiet monitor is no proof that no fault was there: while the earth of a device is open nothing flows to show it."
)
FORECAST = "Total hazard current is what a dead fault would carry. It flows through nobody until there is one."
LARGE = "Leakage that differs in phase, or lies on both lines, partly cancels: the sum of sizes is an upper view."
RESISTIVE = "Resistances alone; a source that is a capacitance gives another figure."
LINE = Input("voltage", "V", "voltage between the lines")
ALARM = Input("alarm", "mA", "total hazard current at which the monitor alarms", 5.0)


def _sums(given: Mapping[str, Any], rows: Rows) -> supply.BuildUp:
    return supply.build_up(given["before"], [float(one) for one in rows["hazard"]], given["alarm"])


def _build_up(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = _sums(given, rows)
    if len(rows["socket"]) != len(rows["hazard"]):
        raise ValueError("each step needs its socket")
    if given["monitor"] > given["before"]:
        raise ValueError("the monitor's own part is more than what was there before the devices")
    least, most = (one * 1e3 for one in _second_fault(given["voltage"], found.total * 1e-3))
    start, end = found.steps[found.largest]
    socket = float(rows["socket"][found.largest])
    answers = [
        Answer("total hazard current", found.total, "mA", key="total"),
        Answer("below the alarm by", given["alarm"] - found.total, "mA", key="margin", said="Below 0 in alarm."),
        Answer("largest step", end - start, "mA", key="largest", said=f"Of socket {socket:g}."),
        Answer("all devices together", found.total - given["before"], "mA", key="devices"),
        Answer("supply and its wiring, without its monitor", given["before"] - given["monitor"], "mA", key="wiring"),
        Answer(
            "through 1 kΩ from a line to earth", None, "mA", least, most, key="second-fault",
            said="From leakage balanced on both lines to leakage all on one.",
        ),
    ]  # fmt: skip
    if given["shown"] > 0.0:
        answers.append(Answer("sum less what the monitor shows", found.total - given["shown"], "mA", key="unexplained"))
    return tuple(answers)


def _second_fault(voltage: float, hazard: float) -> tuple[float, float]:
    """A through 1 kΩ on a second fault, (least, most); nought where there is no hazard current."""
    return supply.second_fault(voltage, hazard) if hazard > 0.0 else (0.0, 0.0)


def _draw_build_up(given: Mapping[str, Any], rows: Rows, _: Sequence[Answer]) -> tuple[Plot, ...]:
    sockets = [float(one) for one in rows["socket"]]
    return (supply_plots.build_up(_sums(given, rows), given["before"], sockets, given["alarm"]),)


def _check(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    volts, ohms = given["voltage"], given["resistor"] * 1e3
    drawn = volts / ohms * 1e3
    error = supply.display_error(volts, ohms, given["shown"] * 1e-3, given["before"] * 1e-3) * 1e3
    room = given["alarm"] - given["before"]
    answers = [
        Answer("current that the resistor draws", drawn, "mA", key="drawn"),
        Answer("total with what was there before", drawn + given["before"], "mA", key="total"),
        Answer("display less that total", error, "mA", key="error"),
        Answer(
            "resistor that brings the alarm by itself",
            shock.monitor_check_resistance(volts, given["alarm"] * 1e-3) / 1e3, "kohm", key="by-itself",
        ),
    ]  # fmt: skip
    if room > 0.0:
        answers.append(
            Answer("resistor that brings it with what was there", volts / room, "kohm", key="with-what-was-there")
        )
    else:
        answers.append(
            Answer("resistor that brings it with what was there", None, "kohm", key="with-what-was-there",
                   said="The alarm is there without one.")
        )  # fmt: skip
    return tuple(answers)


def _states(rows: Rows) -> tuple[list[supply.DeviceState], list[float]]:
    """The states of the device and of the socket, each once, in the order of the rows."""
    devices = dict.fromkeys(
        supply.DeviceState(float(insulation) * 1e3, float(cord))
        for insulation, cord in zip(rows["insulation"], rows["cord"], strict=True)
    )
    return list(devices), list(dict.fromkeys(float(one) for one in rows["socket"]))


def _found(given: Mapping[str, Any], rows: Rows) -> tuple[supply.Pair, ...]:
    return supply.pairs(given["voltage"], given["hazard"] * 1e-3, *_states(rows))


def _pairs(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = _found(given, rows)
    first = found[0]
    isolated = supply.ranked(found, lambda one: one.isolated)[0]
    grounded = supply.ranked(found, lambda one: one.grounded)[0]
    answers = [
        Answer("most on the isolated supply", isolated.isolated * 1e3, "mA", key="isolated",
               said=_sentence(isolated, isolated.shown, given["alarm"])),
        Answer("most on a grounded supply", grounded.grounded * 1e3, "mA", key="grounded",
               said=f"With {supply_plots.name(grounded)}."),
        Answer("with everything sound, isolated", first.isolated * 1e3, "mA", key="sound-isolated"),
        Answer("with everything sound, grounded", first.grounded * 1e3, "mA", key="sound-grounded"),
    ]  # fmt: skip
    loud = [one for one in found if one.shown * 1e3 >= given["alarm"]]
    answers.append(
        Answer("most on the isolated supply while the monitor alarms",
               max(one.isolated for one in loud) * 1e3 if loud else None, "mA", key="in-alarm",
               said="" if loud else "In none of these pairs does it alarm.")
    )  # fmt: skip
    for one in found:
        place = f"{one.device + 1}-{one.socket + 1}"
        words = supply_plots.name(one)
        answers += [
            Answer(f"{words}: isolated", one.isolated * 1e3, "mA", key=f"isolated-{place}"),
            Answer(f"{words}: grounded", one.grounded * 1e3, "mA", key=f"grounded-{place}"),
            Answer(f"{words}: monitor forecasts", one.shown * 1e3, "mA", key=f"shown-{place}"),
        ]
    return tuple(answers)


def _sentence(pair: supply.Pair, shown: float, alarm: float) -> str:
    state = "quiet" if shown * 1e3 < alarm else "in alarm"
    return f"With {supply_plots.name(pair)}; the monitor is {state}."


def _draw_pairs(given: Mapping[str, Any], rows: Rows, _: Sequence[Answer]) -> tuple[Plot, ...]:
    return (supply_plots.pairs(_found(given, rows), given["alarm"]),)


def _editions(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    tables = (("2005", shock.BODY_IMPEDANCE), ("1994", shock.BODY_IMPEDANCE_1994))
    found: dict[str, shock.Percentiles] = {}
    said: dict[str, str] = {}
    for edition, rows in tables:
        try:
            found[edition] = shock.body_by_table(given["voltage"], given["source"], rows)
        except ValueError as outside:
            said[edition] = f"Edition of {edition} not computed: {outside}."
    answers = []
    for key, words in (
        ("p5", "5 % of people carry at least"),
        ("p50", "half carry at least"),
        ("p95", "95 % carry at least"),
    ):
        values = [getattr(one, key) * 1e3 for one in found.values()]
        answers.append(
            Answer(
                words, None, "mA", min(values) if values else None, max(values) if values else None,
                said=" ".join(said.values()), key=key,
            )
        )  # fmt: skip
    model = shock.touch_current(given["voltage"], given["source"]) * 1e3
    answers.append(Answer("body of the standard, 1 kΩ", model, "mA", key="body"))
    dead = given["voltage"] / given["source"] * 1e3 if given["source"] > 0.0 else None
    answers.append(
        Answer("into a dead connection, which no body exceeds", dead, "mA", key="dead",
               said="" if dead is not None else "Nothing stands behind the voltage that would bound it.")
    )  # fmt: skip
    return tuple(answers)


def _levels(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    value = given["current"]
    if value < 0.0:
        raise ValueError("a current is not below 0")
    return tuple(
        Answer(
            words, None, "mA", low, high, key=f"level-{n + 1}",
            said=f"{supply_plots.current(value)} lies "
            f"{'below' if value < low else 'above' if value > high else 'within'} that. {source}.",
        )
        for n, (words, low, high, source) in enumerate(supply_plots.levels_of(given["time"]))
    )  # fmt: skip


CALCULATIONS = (
    Calculation(
        "hazard-build-up",
        "Hazard current of an isolated supply, device by device",
        (
            LINE,
            Input("before", "mA", "total with every device unplugged: the supply, its wiring and its monitor"),
            Input("monitor", "mA", "the monitor's own part of it, where known", 0.0),
            Input("shown", "mA", "what the monitor shows with all devices, where it is to be compared", 0.0),
            ALARM,
        ),
        "I0 + Σ Ij; through a body on a second fault V' / (V'/I + 1 kΩ), V' from V/2 to V",
        "Circuit theory; the alarm at 5 mA: NFPA 99",
        "secondary",
        (LARGE, "Each device is in its own socket, and was added in the order of the rows."),
        _build_up,
        (
            Column("socket", "", "number of the socket"),
            Column("hazard", "mA", "what the monitor shows more after the device in it was added"),
        ),
        (NOT_A_DIAGNOSIS, FORECAST, QUIET),
        ("hazard-sum", "first-fault", "line-monitor"),
        _draw_build_up,
    ),
    Calculation(
        "monitor-check",
        "A line-isolation monitor with a known resistor from a line to earth",
        (
            LINE,
            Input("resistor", "kohm", "the resistor"),
            Input("shown", "mA", "what the monitor shows with it"),
            Input("before", "mA", "what it shows without it", 0.0),
            ALARM,
        ),
        "V / R",
        "NFPA 99, 200 Ω for each volt",
        "secondary",
        ("The current of the resistor and what was there before add as sizes.",),
        _check,
        cautions=(PASS, "An error that all readings of the monitor share stays hidden.", FORECAST),
        reaches=("line-monitor",),
    ),
    Calculation(
        "fault-pairs",
        "Every state of a device with every state of a socket: which pair lets most flow",
        (
            Input("voltage", "V", "voltage between the lines, and of the grounded supply"),
            Input("hazard", "mA", "total hazard current of the room without the device"),
            ALARM,
        ),
        "V' / (Rins + Zs + Re‖Rb) × (Re‖Rb) / Rb, Rb = 1 kΩ; isolated V' = V/2, Zs = V' / Ih; grounded V' = V, Zs = 0",
        "Circuit theory; the body of 1 kΩ: IEC 60601-1, figure 12 (from memory)",
        "computed",
        (
            "The leakage of the room is balanced on both lines.",
            RESISTIVE,
            "With the other line earthed by another fault an isolated supply does what a grounded one does.",
        ),
        _pairs,
        (
            Column("insulation", "kohm", "a state of the device: from its live conductor to its case; sound in row 1"),
            Column("cord", "ohm", "in the same state: earth conductor of its cord; open as 1e9"),
            Column("socket", "ohm", "a state of the socket: its earth; sound in row 1, open as 1e9"),
        ),
        (NOT_A_DIAGNOSIS, QUIET, "Two faults are shown as two: the usual criterion for a design is one."),
        ("case-current", "socket-earth", "mains-insulation", "protective-earth"),
        _draw_pairs,
    ),
    Calculation(
        "body-current-range",
        "Current through a person, over percentiles and editions of the table of body impedances",
        (
            Input("voltage", "V", "voltage with nothing connected"),
            Input("source", "ohm", "impedance behind it", 0.0),
        ),
        "Vt / Zb(Vt), with Vt = V Zb(Vt) / (Zs + Zb(Vt))",
        "IEC TS 60479-1:2005 and the edition of 1994, table 1, hand to hand, large dry contact",
        "from memory",
        (
            "Where two editions reach the voltage the range is over both; wet or small contacts differ.",
            "Of the edition of 1994 three rows are at hand, with straight lines between them.",
        ),
        _editions,
        cautions=(
            NOT_A_DIAGNOSIS,
            "The table begins at 25 V across the body; below that skin decides and nothing is computed.",
        ),
        reaches=("case-current",),
    ),
    Calculation(
        "current-levels",
        "A mains current through a person against published levels of feeling and letting go",
        (
            Input("current", "mA", "current through the person, r.m.s., with a load in place of the person"),
            Input("time", "s", "how long it flowed, 0.03 s to 3 s, where the heart is in question", 0.0),
        ),
        "side of each published range; with a time, fibrillation in 1 of 200 at 116/√t mA (50 kg) to 157/√t mA (70 kg)",
        "IEC 60479-1 and, with a time, IEEE Std 80 (from memory); a public table of a safety agency and the abstract "
        "of a let-go study (confirmed)",
        "confirmed in part",
        ("15 Hz to 100 Hz, hand to hand or hand to feet; a current to the heart by a lead is another matter.",),
        _levels,
        cautions=(NOT_A_DIAGNOSIS, "Women, children and single persons differ; no level says what this person felt."),
        reaches=("case-current",),
        plots=lambda given, rows, answers: (supply_plots.levels(given["current"], given["time"]),),
    ),
)
