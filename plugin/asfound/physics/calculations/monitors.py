"""What a study on people asks of a monitor, and where an alarm loses its time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from asfound.measure.show import short
from asfound.model.plots import Bar, Curve, CurveRole, Dot, Level, Plot, PlotAxis, PlotKind
from asfound.physics import monitors
from asfound.physics.calc import NOT_A_DIAGNOSIS, PASS, Answer, Calculation, Input, Rows

STUDY_ONLY = "A criterion of a study on many people; no reading on a bench can meet or miss it."


def _pressure(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    mean, all_s, means_s = given["mean"], given["deviation"], given["person-deviation"]
    if all_s < 0.0 or means_s < 0.0 or given["persons"] < 1.0:
        raise ValueError("standard deviations are not below 0, and at least one person took part")
    kept = monitors.pressure_criterion_1(mean, all_s)
    few = "" if given["persons"] >= 85.0 else f" {short(given['persons'])} people took part, and 85 are asked for."
    said = f"Criterion 1 is {'kept' if kept else 'not kept'}: 5 mmHg of mean error and 8 mmHg of deviation are allowed."
    answers = [
        Answer("mean error left to criterion 1", 5.0 - abs(mean), "mmHg", key="mean-margin", said=said + few),
        Answer("deviation left to criterion 1", 8.0 - all_s, "mmHg", key="deviation-margin"),
    ]
    try:
        allowed = monitors.pressure_criterion_2(mean)
    except ValueError as outside:
        answers.append(
            Answer("deviation allowed by criterion 2", None, "mmHg", key="allowed", said=f"None: {outside}.")
        )
        return tuple(answers)
    printed = monitors.pressure_table_2(mean)
    by_table = "the table ends at 5 mmHg" if printed is None else f"the printed table allows {short(printed)} mmHg"
    answers.append(
        Answer(
            "deviation allowed by criterion 2", allowed, "mmHg", key="allowed",
            said=f"By its definition; {by_table}. Here the deviation of the means of each person counts.",
        )
    )  # fmt: skip
    if means_s > 0.0:
        answers.append(
            Answer(
                "deviation left to criterion 2", allowed - means_s, "mmHg", key="margin",
                said="Kept by the definition." if means_s <= allowed else "Not kept by the definition.",
            )
        )  # fmt: skip
    return tuple(answers)


def _pressure_plot(given: Mapping[str, Any], _: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    line = tuple((i / 10.0, monitors.pressure_criterion_2(i / 10.0)) for i in range(81))
    shown = given["person-deviation"] > 0.0
    dots = ((Dot(abs(given["mean"]), given["person-deviation"], "as stated", as_used=True),) if shown else ()) + tuple(
        Dot(mean, deviation, f"{deviation} mmHg in the table") for mean, deviation in monitors.TABLE_2
    )
    said = next((one for one in answers if one.key == "allowed"), None)
    return (
        Plot(
            "criterion-2",
            PlotKind.FIT,
            "Deviation allowed against mean error, criterion 2",
            f"At a mean error of {short(given['mean'])} mmHg the deviation may be {short(said.value)} mmHg."
            if said and said.value
            else "At this mean error no deviation is allowed.",
            PlotAxis("mean error, either way", "mmHg", from_zero=True),
            PlotAxis("standard deviation of the means of each person", "mmHg", from_zero=True),
            (Curve("85 % of errors within 10 mmHg", line, CurveRole.MODEL),),
            dots=dots,
            note="Points: the printed table, from memory. Its last row was rounded otherwise than by the definition.",
        ),
    )


STAGES = (
    ("signal", "from the signal to the limit crossed"),
    ("delay", "from the limit crossed to the alarm on the display"),
    ("sound", "from the display to the sound at the bed"),
    ("remote", "from the sound to the remote station or pager"),
)


def _chain(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    if any(given[name] < 0.0 for name, _ in STAGES):
        raise ValueError("no stage takes less than no time")
    bedside = given["signal"] + given["delay"] + given["sound"]
    answers = [
        Answer("from the signal to the sound at the bed", bedside, "s", key="bed"),
        Answer("from the signal to the remote station", bedside + given["remote"], "s", key="remote"),
    ]
    if given["level"] > 0.0 and given["background"] > 0.0:
        over = given["level"] - given["background"]
        heard = "above" if over > 0.0 else "not above"
        answers.append(
            Answer(
                "level of the alarm less that of the room", over, "dB(A)", key="over",
                said=f"The alarm stood {heard} the room where it was read. Hearing is not attention.",
            )
        )  # fmt: skip
    return tuple(answers)


def _chain_plot(given: Mapping[str, Any], _: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    bars, at = [], 0.0
    for name, what in STAGES:
        bars.append(Bar(what, at, at + given[name], f"{short(given[name])} s"))
        at += given[name]
    slowest = max(STAGES, key=lambda one: given[one[0]])
    return (
        Plot(
            "chain",
            PlotKind.BUILD_UP,
            "Where an alarm's time goes",
            f"{short(answers[0].value or 0.0)} s pass to the sound at the bed; the longest stage is that {slowest[1]}.",
            PlotAxis("time since the signal", "s", from_zero=True),
            PlotAxis("stage"),
            levels=(Level("x", given["allowed"], "allowed to the sound", CurveRole.LIMIT),)
            if given["allowed"] > 0.0
            else (),
            bars=tuple(bars),
        ),
    )


CALCULATIONS = (
    Calculation(
        "pressure-criteria",
        "Criteria for the error of blood pressure in a study on people",
        (
            Input("mean", "mmHg", "mean error, device less reference"),
            Input("deviation", "mmHg", "standard deviation of all errors, for criterion 1"),
            Input(
                "person-deviation",
                "mmHg",
                "standard deviation of the means of each person, for criterion 2; 0 for none",
                0.0,
            ),
            Input("persons", "", "how many took part", 85.0),
        ),
        "1: |mean| ≤ 5 mmHg, s ≤ 8 mmHg;  2: Φ((10 − m)/s) − Φ((−10 − m)/s) = 0.85",
        "ISO 81060-2:2018; criterion 1 read in an open review's table, criterion 2 from memory",
        "confirmed for criterion 1, from memory for criterion 2",
        ("Errors of people are spread as a normal distribution.",),
        _pressure,
        cautions=(STUDY_ONLY,),
        reaches=("channel-error",),
        plots=_pressure_plot,
    ),
    Calculation(
        "alarm-chain",
        "Where an alarm loses its time, and whether its sound stood above the room",
        (
            *(Input(name, "s", what, 0.0) for name, what in STAGES),
            Input("level", "dB(A)", "of the alarm where people were; 0 where not read", 0.0),
            Input("background", "dB(A)", "of the room without it; 0 where not read", 0.0),
            Input("allowed", "s", "to the sound at the bed, for the drawing; 0 for none", 0.0),
        ),
        "Σ of the stages;  L_alarm − L_room",
        "Alarm chain as in IEC 60601-1-8",
        "from memory",
        ("Each stage was timed on its own, and none waits for another.",),
        _chain,
        cautions=(
            NOT_A_DIAGNOSIS,
            PASS,
            "The hospital's network and the room's noise at the event are not on the bench.",
        ),
        dose=False,
        reaches=("alarm-fault", "alarm-limit", "alarm-remote"),
        plots=_chain_plot,
    ),
)
