"""Logs with a time in minutes: their step, their doors, and how they are drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from asfound.measure.reduce import reduce_extremes
from asfound.measure.show import short
from asfound.model.plots import Curve, Level, Plot, PlotAxis, PlotKind
from asfound.physics.ascending import must_ascend
from asfound.physics.calc import Rows

BUCKETS = 300


def evenly(times: Sequence[float]) -> float:
    """The step of a log. Raises ValueError where samples are not evenly spaced to a hundredth of it."""
    if len(times) < 2:
        raise ValueError("a log needs at least two samples")
    step = (float(times[-1]) - float(times[0])) / (len(times) - 1)
    must_ascend(times, "min")
    gaps = [float(b) - float(a) for a, b in pairwise(times)]
    worst = max(range(len(gaps)), key=lambda at: abs(gaps[at] - step))
    if abs(gaps[worst] - step) > 0.01 * step:
        raise ValueError(
            f"the samples are not evenly spaced in time: they stand {short(step, 4)} min apart in the mean, and sample "
            f"{worst + 2} comes {short(gaps[worst], 4)} min after the one before it"
        )
    return step


def doors_of(door: Sequence[float]) -> list[int]:
    """Places at which a door opens: the last sample before it was logged open. ValueError for what is not 0 or 1."""
    if any(float(one) not in (0.0, 1.0) for one in door):
        raise ValueError("a door is 1 while it is open and 0 while it is closed")
    return [i - 1 for i in range(1, len(door)) if float(door[i]) == 1.0 and float(door[i - 1]) == 0.0]


def traces(
    name: str, title: str, result: str, rows: Rows, of: Mapping[str, str], y: PlotAxis, door: str = "door"
) -> Plot:
    """Logged columns over time, reduced to their extremes where they are long; doors as levels where there are some."""
    times = [float(one) for one in rows["time"]]
    levels = tuple(
        Level("x", times[at + 1], "door opened") for at in (doors_of(rows[door]) if door in rows else ())
    )  # fmt: skip
    reduced = {words: reduce_extremes(rows["time"], rows[column], BUCKETS) for column, words in of.items()}
    curves = [Curve(words, one.points) for words, one in reduced.items()]
    note = next(iter(reduced.values())).sentence
    return Plot(name, PlotKind.TRACES, title, result, PlotAxis("time of the log", "min"), y, tuple(curves),
                levels=levels, note=note)  # fmt: skip
