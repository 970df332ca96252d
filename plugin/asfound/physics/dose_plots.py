"""What there is to see of a dose of heat: the times that published measures allow, and what was found among them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from asfound.measure.reduce import reduce_extremes
from asfound.model.plots import Curve, CurveRole, Dot, Level, Plot, PlotAxis, PlotKind, Region
from asfound.physics import dose, exposure
from asfound.physics.exposure import Measure

SHORTEST, LONGEST = 0.1, 1000.0
"""Minutes between which the measures are drawn."""
POINTS = 61
BUCKETS = 300

Pairs = tuple[tuple[float, float], ...]

_NOTE = (
    "One region spans measures for the surface, the other those for the basal layer; each says when harm begins in "
    "healthy adult skin. Points without bars are rows of public tables. With poor blood flow, pressure, age or wet "
    "skin harm begins sooner. It is no diagnosis."
)


def _grid() -> list[float]:
    step = math.log(LONGEST / SHORTEST) / (POINTS - 1)
    return [SHORTEST * math.exp(step * n) for n in range(POINTS)]


def line(of: Measure, longest: bool = False) -> Pairs:
    """(min, degC) along which a measure puts harm."""
    found = zip(_grid(), of.temperatures([60.0 * minutes for minutes in _grid()], longest), strict=True)
    return tuple((minutes, round(degrees, 4)) for minutes, degrees in found if degrees is not None)


def region(words: str, measures: Sequence[Measure]) -> Region:
    """The room between the lowest and the highest temperature that measures give for a time."""
    lower, upper = [], []
    seconds = [60.0 * minutes for minutes in _grid()]
    each = [one.temperatures(seconds, longest) for one in measures for longest in (False, True)]
    for minutes, given in zip(_grid(), zip(*each, strict=True), strict=True):
        known = [one for one in given if one is not None]
        if known:
            lower.append((minutes, round(min(known), 4)))
            upper.append((minutes, round(max(known), 4)))
    return Region(words, tuple(lower), tuple(upper))


def dose_plot(name: str, result: str, exposures: Sequence[Dot]) -> Plot:
    """Temperature over the time held: measures as regions and curves, rows of tables, exposures (min, degC)."""
    tables = [
        Dot(math.sqrt(short * long) / 60.0, degrees, f"public tables, {degrees:g} °C")
        for degrees, short, long in dose.TABLE
        if SHORTEST <= math.sqrt(short * long) / 60.0 <= LONGEST
    ]
    return Plot(
        name,
        PlotKind.DOSE,
        "Temperature, and the time until it harms",
        result,
        PlotAxis("time held", "min", log=True),
        PlotAxis("temperature", "degC"),
        (
            Curve("fit of 1947, surface", line(exposure.FIT), CurveRole.MODEL),
            Curve("the same with its margin of safety", line(exposure.MARGIN), CurveRole.PRACTICE),
        ),
        (
            region("four measures, surface", exposure.SURFACE),
            region("five measures, basal layer", exposure.BASAL),
        ),
        (*tables, *exposures),
        note=_NOTE,
    )


def trace_plot(
    name: str, result: str, minutes: Sequence[float], degrees: Sequence[float], below: Sequence[Curve] = ()
) -> Plot:
    """A logged temperature over time in min, reduced with its extremes kept, with the level below which none is run."""
    reduced = reduce_extremes(minutes, degrees, BUCKETS)
    return Plot(
        name,
        PlotKind.TRACES,
        "Temperature over time",
        result,
        PlotAxis("time", "min"),
        PlotAxis("temperature", "degC"),
        (Curve("as logged", reduced.points), *below),
        levels=(Level("y", dose.ONSET, "44 °C, where damage integrals begin", CurveRole.NOMINAL),),
        note=reduced.sentence,
    )
