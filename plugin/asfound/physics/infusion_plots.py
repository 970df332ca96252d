"""What the calculations of infusion have to show: flow over time, trumpet, lines through readings, suppositions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from asfound.measure.reduce import reduce_extremes
from asfound.measure.show import doubtful, short
from asfound.model.plots import Bar, Curve, CurveRole, Dot, Level, Plot, PlotAxis, PlotKind, Region
from asfound.physics import infusion, infusion_run

if TYPE_CHECKING:
    from asfound.physics.calc import Answer

BUCKETS = 300
"""Runs of neighbours a long curve is cut into, with the extremes of each kept."""
FAR = 4.0
"""How many times the volume given a supposition may come to and still be drawn beside it."""
STEPS = 40
"""Points along a fitted line and its band."""


def trumpet(found: infusion.Trumpet, rate: float) -> Plot:
    """Largest and smallest deviation over the length of the window, with the mean of the whole as a level."""
    windows = found.windows
    ends = [(float(one.minutes), one.highest) for one in windows], [(float(one.minutes), one.lowest) for one in windows]
    said = f"Over the whole period the flow was {signed(found.mean)} % from the {short(rate)} mL/h set."
    if windows:
        first, last = windows[0], windows[-1]
        said += (
            f" Over {first.minutes} min it strayed between {signed(first.lowest)} % and {signed(first.highest)} %, "
            f"over {last.minutes} min between {signed(last.lowest)} % and {signed(last.highest)} %."
        )
    return Plot(
        "trumpet",
        PlotKind.TRUMPET,
        "Largest and smallest deviation over windows of time",
        said,
        PlotAxis("length of the window", "min", from_zero=True),
        PlotAxis("deviation from the set rate", "%"),
        curves=(Curve("largest", tuple(ends[0])), Curve("smallest", tuple(ends[1]))),
        levels=(
            Level("y", found.mean, "mean of the period", CurveRole.MEASURED),
            Level("y", 0.0, "as set", CurveRole.NOMINAL),
        ),
        note="Windows of each length were slid by one sample over the period, as IEC 60601-2-24 does (from memory).",
    )


def signed(value: float) -> str:
    """A deviation in a sentence, with its sign."""
    return ("+" if value > 0 else "") + short(value, 2)


def trace(run: infusion_run.Run, rate: float, smooth: float, share: float, settled: float | None) -> Plot:
    """Flow over time as a mean over `smooth` min, with the set rate, the share and the time it had settled."""
    length = round(smooth / run.sample)
    means = (run.volumes[length:] - run.volumes[:-length]) * (60.0 / (length * run.sample))
    drawn = reduce_extremes(run.times[length:], means, BUCKETS)
    if settled is None:
        said = f"The flow never settled within {short(share)} % of the {short(rate)} mL/h set."
    else:
        said = f"From {short(settled)} min on the flow stayed within {short(share)} % of the {short(rate)} mL/h set."
    levels = [
        Level("y", rate, "rate set", CurveRole.NOMINAL),
        Level("y", rate * (1.0 + share / 100.0), f"+{short(share)} %", CurveRole.PRACTICE),
        Level("y", rate * (1.0 - share / 100.0), f"−{short(share)} %", CurveRole.PRACTICE),
    ]
    if settled is not None:
        levels.append(Level("x", settled, "settled", CurveRole.MEASURED))
    return Plot(
        "flow",
        PlotKind.TRACES,
        "Flow over time by the balance",
        said,
        PlotAxis("time since the start", "min", from_zero=True),
        PlotAxis("flow", "mL/h", from_zero=True),
        curves=(Curve(f"flow, mean over {short(smooth)} min", drawn.points),),
        levels=tuple(levels),
        note=f"Means over {short(smooth)} min, slid by one sample of {short(run.sample)} min. {drawn.sentence}",
    )


def blank(times: Sequence[float], masses: Sequence[float]) -> Plot:
    """Mass over time with no flow, and the line through it."""
    found = infusion_run.blank_of(times, masses)
    first = masses[0]
    dots = tuple(
        Dot(at, (mass - first) * 1e3, f"{short((mass - first) * 1e3)} mg")
        for at, mass in zip(times, masses, strict=True)
    )
    ends = (times[0], times[-1])
    line = tuple((at, (found.fit.at(at / 60.0)[0] - first) * 1e3) for at in ends)
    return Plot(
        "blank",
        PlotKind.FIT,
        "Mass with no flow",
        f"With the pump stopped the vessel lost {doubtful(found.rate * 1e3, found.doubt * 1e3)} mg in an hour.",
        PlotAxis("time", "min", from_zero=True),
        PlotAxis("change of mass", "mg"),
        curves=(Curve("line through the readings", line, CurveRole.MODEL),),
        dots=dots,
    )


def siphon(heights: Sequence[float], flows: Sequence[float], height: float) -> Plot:
    """Flow against height, the line through it with its band, and the height asked for."""
    found = infusion.siphon(heights, flows)
    low, high = min(0.0, found.start), max(*heights, height) * 1.08
    grid = [low + (high - low) * n / STEPS for n in range(STEPS + 1)]
    drawn = [at for at in grid if at >= max(found.start, 0.0)]
    line = tuple((at, found.at(at)) for at in drawn)
    regions: tuple[Region, ...] = ()
    half = found.doubt(height)
    if half is not None:
        spread = [(at, found.doubt(at) or 0.0) for at in drawn]
        regions = (
            Region(
                "band of the line, about 95 %",
                tuple((at, max(0.0, found.at(at) - wide)) for at, wide in spread),
                tuple((at, found.at(at) + wide) for at, wide in spread),
            ),
        )
    said = (
        f"At {short(height)} cm the line gives {short(found.at(height))} mL/h; each centimetre adds "
        f"{short(found.per_cm)} mL/h, and flow begins at {short(found.start)} cm. {short(height)} cm of water are "
        f"{short(infusion.head(height), 2)} mmHg."
    )
    return Plot(
        "siphon",
        PlotKind.FIT,
        "Flow by gravity against height",
        said,
        PlotAxis("height above the end of the line", "cm", from_zero=True),
        PlotAxis("flow", "mL/h", from_zero=True),
        curves=(Curve("line through the readings", line, CurveRole.MODEL),),
        regions=regions,
        dots=tuple(
            Dot(at, flow, f"{short(flow)} mL/h", as_used=at == height) for at, flow in zip(heights, flows, strict=True)
        ),
        levels=(Level("x", height, "height asked for", CurveRole.NOMINAL),),
        note="The band is that of the line from the scatter of its readings.",
    )


def suppositions(given: Answer, supposed: Sequence[tuple[Answer, Answer]]) -> Plot:
    """Volume under each supposition as a bar, and the volume given as a level across them.

    supposed  for each the volume it would give, and what was given beyond it, with its doubt
    """
    bars, fits_, far = [], [], []
    value = given.value or 0.0
    for volume, beyond in supposed:
        name = volume.name.removeprefix("volume if ")
        if (volume.value or 0.0) > FAR * value:
            far.append(f"{name}, {short(volume.value or 0.0)} mL")
            continue
        if beyond.value is not None and beyond.doubt and abs(beyond.value) <= beyond.doubt:
            fits_.append(name)
        bars.append(Bar(name, 0.0, volume.value or 0.0, f"{short(volume.value or 0.0)} mL"))
    shown = doubtful(value, given.doubt)
    if fits_:
        said = f"{shown} mL were given. What fits within the doubt: {'; '.join(fits_)}."
    elif any(beyond.doubt for _, beyond in supposed):
        said = f"{shown} mL were given. None of these suppositions fits within the doubt."
    else:
        said = f"{shown} mL were given."
    return Plot(
        "suppositions",
        PlotKind.BUILD_UP,
        "What each supposition would have given",
        said,
        PlotAxis("volume", "mL", from_zero=True),
        PlotAxis("supposed"),
        levels=(Level("x", value, f"given: {shown} mL", CurveRole.MEASURED),),
        bars=tuple(bars),
        note="A volume that fits would do; that it happened so is for the evidence to say."
        + (f" Not drawn, since more than {short(FAR)} times as much: {'; '.join(far)}." if far else ""),
    )


def record(windows: Sequence[infusion_run.LogWindow], rate: float, given: float) -> Plot:
    """The rate of each window of a record as steps, with the set rate and the rate the balance implies."""
    points = [point for one in windows for point in ((one.start, one.rate), (one.end, one.rate))]
    kept = reduce_extremes([at for at, _ in points], [flow for _, flow in points], BUCKETS)
    minutes = windows[-1].end - windows[0].start
    rates = [one.rate for one in windows]
    said = f"By the record the rate lay between {short(min(rates))} and {short(max(rates))} mL/h."
    levels = [Level("y", rate, "rate set", CurveRole.NOMINAL)]
    if given > 0:
        implied = given * 60.0 / minutes
        levels.append(Level("y", implied, "mean that the volume given implies", CurveRole.MEASURED))
        said += f" The {short(given)} mL given imply {short(implied)} mL/h over the same {short(minutes)} min."
    return Plot(
        "record",
        PlotKind.TRACES,
        "Rate by the pump's record",
        said,
        PlotAxis("time since the first entry", "min", from_zero=True),
        PlotAxis("rate", "mL/h", from_zero=True),
        curves=(Curve("by the record", kept.points),),
        levels=tuple(levels),
        note=kept.sentence if kept.buckets else "",
    )
