"""For any device: its own history, its sisters, and what a number of trials can say of a fault that comes and goes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import structs

from asfound.measure.agreement import interval, lower_bound, upper_bound
from asfound.measure.show import doubtful, short, with_unit
from asfound.measure.units import UNITS, unit
from asfound.model.plots import Curve, CurveRole, Dot, Level, Plot, PlotAxis, PlotKind, Region
from asfound.physics import chance
from asfound.physics import trend as trends
from asfound.physics.calc import PASS, Answer, Calculation, Column, Input, Rows

DRIFT = "A drift is no fault, and its cause is not in the numbers: another instrument or another person drifts too."
BENCH = "Trials at the bench are no rate of use, and a share that could not be shown is not nought."
OF_VALUES = Input(
    "unit", "", "unit the values are printed with; nothing is converted", "1",
    ("1", *sorted({one.symbol for one in UNITS} - {"1"})),
)  # fmt: skip
GRID = 60
"""Points along a drawn curve."""


def _axis(given: Mapping[str, Any]) -> str:
    return "" if given["unit"] == "1" else str(given["unit"])


def _printed(given: Mapping[str, Any]) -> str:
    found = unit(_axis(given))
    return with_unit("", found) if found else ""


def _trend(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    days, values = [float(one) for one in rows["time"]], [float(one) for one in rows["value"]]
    found = trends.trend(days, values)
    beyond = abs(found.slope) > found.slope_doubt
    answers = [
        Answer(
            "change in a year", found.slope, given["unit"], doubt=found.slope_doubt, key="slope",
            dof=float(found.fit.dof),
            said="It stands out from the scatter." if beyond else "The scatter alone can do as much.",
        ),
        Answer("chance of a slope as steep by scatter alone", 100.0 * found.chance, "%", key="chance"),
        Answer("scatter about the line", found.fit.s, given["unit"], key="scatter"),
        Answer("last value", values[-1], given["unit"], key="last"),
    ]  # fmt: skip
    if found.expected is None or found.room is None:
        answers.append(
            Answer(
                "expected last, from those before it",
                None,
                given["unit"],
                key="expected",
                said="Too few values before it.",
            )
        )
    else:
        low, high = found.expected - found.room, found.expected + found.room
        where = "within" if low <= values[-1] <= high else "above" if values[-1] > high else "below"
        answers.append(
            Answer(
                "expected last, from those before it", found.expected, given["unit"], low, high, key="expected",
                said=f"A further value falls in that range with 95 %; the last one lies {where} it.",
            )
        )  # fmt: skip
        answers.append(
            Answer("last value less the expected", values[-1] - found.expected, given["unit"], key="departure")
        )
    return tuple(answers)


def _draw_trend(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    days, values = [float(one) for one in rows["time"]], [float(one) for one in rows["value"]]
    found = trends.trend(days, values)
    ends = (days[0], days[-1])
    factor = found.slope_doubt / trends.YEAR / found.fit.u_slope if found.fit.u_slope > 0.0 else 0.0
    grid = [ends[0] + (ends[1] - ends[0]) * n / GRID for n in range(GRID + 1)]
    band = [(day, *found.fit.at(day)) for day in grid]
    slope = next(one for one in answers if one.key == "slope")
    last = next(one for one in answers if one.key == "expected")
    said = f"It changes by {doubtful(slope.value or 0.0, slope.doubt)}{_printed(given)} in a year."
    if last.low is not None and last.high is not None:
        inside = last.low <= values[-1] <= last.high
        where = "within" if inside else "outside"
        said += f" The last value, {short(values[-1])}, lies {where} what those before it lead to."
    regions: tuple[Region, ...] = ()
    if factor:
        regions = (
            Region(
                "line, 95 %",
                tuple((day, y - factor * u) for day, y, u in band),
                tuple((day, y + factor * u) for day, y, u in band),
            ),
        )
    return (
        Plot(
            "trend",
            PlotKind.FIT,
            "The device's own history",
            said,
            PlotAxis("time since the first day", "d"),
            PlotAxis("value", _axis(given)),
            (Curve("line through all", tuple((day, found.fit.at(day)[0]) for day in ends), CurveRole.MODEL),),
            regions,
            tuple(
                Dot(day, value, short(value, 4), as_used=n == len(days) - 1)
                for n, (day, value) in enumerate(zip(days, values, strict=True))
            ),
            note="The band is that of the line, from the scatter of the values about it.",
        ),
    )


def _sisters(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    others = [float(one) for one in rows["sister"]]
    found = trends.sisters(given["value"], others)
    n = len(others)
    if found.z is None:
        said = "Half of the sisters or more read alike, so there is no spread to count in."
    elif abs(found.z) > trends.FAR:
        said = f"Beyond {trends.FAR:g}, which is called far."
    else:
        said = f"Not beyond {trends.FAR:g}, which would be called far."
    return (
        Answer("robust z", found.z, "1", said=said, key="z"),
        Answer("median of the sisters", found.middle, given["unit"], min(others), max(others), key="median"),
        Answer("spread of the sisters, as a standard deviation", found.spread, given["unit"], key="spread"),
        Answer("value less the median", given["value"] - found.middle, given["unit"], key="difference"),
        Answer(
            "sisters at least as far from the median", float(found.beyond), "1", key="beyond",
            said=f"Of {n}. With so few, even the farthest of a sound kind is the farthest in one of {n + 1}.",
        ),
    )  # fmt: skip


def _whole(_: Mapping[str, Any], answers: Sequence[Answer]) -> tuple[Answer, ...]:
    """A count has no doubt of its own kind: half a sister is none."""
    return tuple(structs.replace(one, doubt=None) if one.key == "beyond" else one for one in answers)


def _draw_sisters(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    others = [float(one) for one in rows["sister"]]
    z = answers[0].value
    said = (
        f"The value is {short(given['value'])}{_printed(given)}; the median of {len(others)} sisters is "
        f"{short(trends.median(others))}{_printed(given)}."
    )
    if z is not None:
        said += f" Robust z is {doubtful(z, answers[0].doubt)}."
    return (
        Plot(
            "sisters",
            PlotKind.AGREEMENT,
            "One of a kind against its sisters",
            said,
            PlotAxis("unit, in the order of the rows; the one in question last"),
            PlotAxis("value", _axis(given)),
            dots=(
                *(Dot(float(n + 1), one, f"{short(one, 4)}, sister {n + 1}") for n, one in enumerate(others)),
                Dot(float(len(others) + 1), given["value"], f"{short(given['value'])}, in question", as_used=True),
            ),
            levels=(Level("y", trends.median(others), "median of the sisters", CurveRole.NOMINAL),),
        ),
    )


def _intermittent(given: Mapping[str, Any], _: Rows) -> tuple[Answer, ...]:
    seen, trials, share, level = given["seen"], given["trials"], given["share"] / 100.0, given["level"] / 100.0
    # A doubt is never carried through a count: half a trial is none.
    n, k = round(trials), round(seen)
    if abs(n - trials) > 1e-9 or abs(k - seen) > 1e-9:
        raise ValueError("trials and what was seen are whole numbers")
    upper = 100.0 * upper_bound(k, n, level)
    lower = 100.0 * lower_bound(k, n, level)
    two = [100.0 * one for one in interval(k, n, level)]
    return (
        Answer("seen in", 100.0 * k / n, "%", two[0], two[1], key="share",
               said=f"{k} of {n}; the range is exact and two-sided, at {short(given['level'], 5)} %."),
        Answer("at most, one-sided", upper, "%", key="upper",
               said=f"A fault of a larger share would have shown more often with {short(given['level'], 5)} %."),
        Answer("at least, one-sided", lower, "%", key="lower"),
        Answer(f"chance that a fault of {short(given['share'])} % shows in none of as many",
               100.0 * chance.missed(share, n), "%", key="missed"),
        Answer(f"trials after which it is missed with at most {short(100.0 - given['level'], 5)} %",
               float(chance.trials_needed(share, 1.0 - level)), "1", key="needed"),
    )  # fmt: skip


def _draw_intermittent(given: Mapping[str, Any], _: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    n = round(given["trials"])
    upper = next(one.value for one in answers if one.key == "upper")
    missed = next(one.value for one in answers if one.key == "missed")
    assert upper is not None and missed is not None
    most = min(100.0, 3.0 * max(upper, given["share"]))
    grid = [most * step / GRID for step in range(GRID + 1)]
    return (
        Plot(
            "missed",
            PlotKind.FIT,
            "How likely a fault is to stay hidden",
            f"A fault that shows in {short(given['share'])} of 100 trials stays hidden in all {n} "
            f"with a chance of {short(missed)} %.",
            PlotAxis("share of trials in which the fault shows", "%", from_zero=True),
            PlotAxis("chance that none of the trials shows it", "%", from_zero=True),
            (Curve(f"{n} trials", tuple((p, 100.0 * chance.missed(p / 100.0, n)) for p in grid), CurveRole.MODEL),),
            dots=(Dot(given["share"], missed, f"{short(missed)} %", as_used=True),),
            levels=(Level("y", 100.0 - given["level"], f"{short(100.0 - given['level'], 5)} %", CurveRole.PRACTICE),),
            note="(1 − p)ⁿ, each trial by itself.",
        ),
    )


CALCULATIONS = (
    Calculation(
        "trend",
        "A device against its own history: change in a year, and the last value against those before it",
        (OF_VALUES,),
        "least squares; slope ± t(n − 2) u; y(last) against the interval of a further value from the others",
        "JCGM 100:2008, H.3, for the line and its doubts; Student's t",
        "from memory",
        (
            "The values were taken in the same way, and stand in the order of their times.",
            "Scatter about the line is normal and equal throughout.",
        ),
        _trend,
        (
            Column("time", "d", "days since any day"),
            Column("value", "", "what was read, all in one unit"),
        ),
        (PASS, DRIFT),
        plots=_draw_trend,
    ),
    Calculation(
        "sister-units",
        "One device against others of its kind",
        (Input("value", "", "what was read on the device in question, in the unit of the file"), OF_VALUES),
        "(x − median) / (1.4826 × median |xi − median|)",
        "Iglewicz and Hoaglin, How to detect and handle outliers, 1993: far beyond 3.5",
        "from memory",
        (
            "The sisters were read in the same way and are of the same age and make.",
            "The device itself is not among them, so that it does not widen its own yardstick.",
        ),
        _sisters,
        (Column("sister", "", "what was read on a sister, a row each, all in one unit; three at least"),),
        (PASS, "To differ from sisters is no fault, and to be like them none the less: they may share one."),
        plots=_draw_sisters,
        finish=_whole,
    ),
    Calculation(
        "missed-intermittent",
        "What a number of trials can say of a fault that comes and goes",
        (
            Input("trials", "", "how many trials"),
            Input("seen", "", "in how many of them it showed", 0.0),
            Input("share", "%", "share of trials in which a fault is supposed to show", 5.0),
            Input("level", "%", "level of confidence", 95.0),
        ),
        "(1 − p)ⁿ; exact binomial bounds, 1 − (1 − level)^(1/n) where none was seen",
        "Clopper and Pearson, Biometrika 1934, 26, 404-413",
        "from memory",
        ("Each trial stands by itself, and each is like the others.",),
        _intermittent,
        (),
        (BENCH, "Trials in a dry room say nothing of a wet one."),
        plots=_draw_intermittent,
    ),
)
