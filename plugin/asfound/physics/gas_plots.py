"""What the calculations of gas have to show: back-pressure against flow, traces of breaths, a fall of pressure."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from asfound.measure.reduce import reduce_extremes
from asfound.measure.show import doubtful, short
from asfound.model.plots import Curve, CurveRole, Dot, Level, Plot, PlotAxis, PlotKind, Region
from asfound.physics.infusion_plots import STEPS

if TYPE_CHECKING:
    from asfound.measure.fits import Line
    from asfound.physics.breaths import Breaths
    from asfound.physics.ventilation import Decay, TubeFit

BUCKETS = 300


def tube(fit: TubeFit, rows: Mapping[str, Any], flow: float, limit: float, margin: str) -> Plot:
    """Pressure before the open tube against flow, its curve with band, the flow of the breath and the alarm's limit."""
    flows, pressures = list(rows["flow"]), list(rows["pressure"])
    top = 1.05 * max(*flows, flow)
    grid = [top * n / STEPS for n in range(STEPS + 1)]
    wide = [(at, fit.doubt(at)) for at in grid]
    return Plot(
        "back-pressure",
        PlotKind.FIT,
        "Pressure before the open tube against flow",
        margin,
        PlotAxis("steady flow", "L/min", from_zero=True),
        PlotAxis("pressure before the open tube", "cmH2O", from_zero=True),
        curves=(Curve("curve through the readings", tuple((at, fit.at(at)) for at in grid), CurveRole.MODEL),),
        regions=(
            Region(
                "band of the curve, about 95 %",
                tuple((at, max(0.0, fit.at(at) - half)) for at, half in wide),
                tuple((at, fit.at(at) + half) for at, half in wide),
            ),
        ),
        dots=tuple(
            Dot(at, pressure, f"{short(pressure)} cmH₂O at {short(at)} L/min")
            for at, pressure in zip(flows, pressures, strict=True)
        ),
        levels=(
            Level("y", limit, f"limit of the alarm, {short(limit)} cmH₂O"),
            Level("x", flow, f"flow of the breath, {short(flow)} L/min", CurveRole.NOMINAL),
        ),
        note="The band is that of the curve from the scatter of its readings. Where the curve lies above the limit, "
        "the open circuit does not let the pressure fall to it.",
    )


def breath_traces(found: Breaths, rows: Mapping[str, Any], limit: float, longest: float, delay: float) -> list[Plot]:
    """Pressure with the alarm's limit, flow, and the volume summed up from the beginning of each breath."""
    import numpy as np

    t, p, q = (np.asarray(rows[name], dtype=np.float64) for name in ("time", "pressure", "flow"))
    pressure, flow = reduce_extremes(t, p, BUCKETS), reduce_extremes(t, q, BUCKETS)
    whole = (t >= found.starts[0]) & (t < found.until)
    at, into = t[whole], np.maximum(q[whole], 0.0) / 0.06
    summed = np.concatenate(([0.0], np.cumsum(np.diff(at) * (into[1:] + into[:-1]) / 2.0)))
    begin = np.searchsorted(at, found.starts)
    volume = reduce_extremes(
        at, summed - summed[begin][np.searchsorted(begin, np.arange(at.size), "right") - 1], BUCKETS
    )
    time = PlotAxis("time", "s")
    low, high = float(found.peaks.min()), float(found.peaks.max())
    peaks = f"between {short(low)} and {short(high)}" if short(low) != short(high) else short(low)
    said = f"The pressure rose to {peaks} cmH₂O in each of {found.count} breaths"
    if longest >= delay:
        said += f", and stood below {short(limit)} cmH₂O for {short(longest)} s on end."
    else:
        said += (
            f"; it never stood below {short(limit)} cmH₂O for longer than {short(longest)} s, and the alarm waits for "
            f"{short(delay)} s."
        )
    mean = float(found.volumes.mean())
    return [
        Plot(
            "pressure", PlotKind.TRACES, "Pressure in the circuit", said, time, PlotAxis("pressure", "cmH2O"),
            curves=(Curve("pressure", pressure.points),),
            levels=(Level("y", limit, f"limit of the alarm, {short(limit)} cmH₂O"),), note=pressure.sentence,
        ),
        Plot(
            "flow", PlotKind.TRACES, "Flow into the circuit",
            f"Gas went in {short(found.rate)} times a minute, for {short(float(found.inspiration.mean()))} s each.",
            time, PlotAxis("flow", "L/min"), curves=(Curve("flow", flow.points),), note=flow.sentence,
        ),
        Plot(
            "volume", PlotKind.TRACES, "Volume given in each breath",
            f"Each breath gave {short(mean)} mL in the mean, in the gas condition of the flow.",
            time, PlotAxis("volume since the breath began", "mL", from_zero=True),
            curves=(Curve("volume", volume.points),), note=volume.sentence,
        ),
    ]  # fmt: skip


def decay(found: Decay, rows: Mapping[str, Any], pressure: float) -> Plot:
    """The fall of pressure, the pressure at which the leak is told, and the two models."""
    times, pressures = list(rows["time"]), list(rows["pressure"])
    kept = reduce_extremes(times, pressures, BUCKETS)
    lines = []
    from asfound.measure import fits

    far: Line = fits.line(times, [math.log(p) for p in pressures])
    near: Line = fits.line(times, [math.sqrt(p) for p in pressures])
    first, last = times[0], times[-1]
    grid = [first + (last - first) * n / STEPS for n in range(STEPS + 1)]
    lines.append(Curve("leak in proportion", tuple((t, math.exp(far.at(t)[0])) for t in grid), CurveRole.MODEL))
    lines.append(Curve("leak by the root", tuple((t, near.at(t)[0] ** 2) for t in grid), CurveRole.MODEL))
    return Plot(
        "decay",
        PlotKind.TRACES,
        "Pressure in the closed circuit",
        f"At {short(pressure)} cmH₂O the circuit loses between {short(found.low)} and {short(found.high)} mL/min.",
        PlotAxis("time", "s"),
        PlotAxis("pressure", "cmH2O", from_zero=True),
        curves=(Curve("pressure", kept.points), *lines),
        levels=(Level("y", pressure, f"{short(pressure)} cmH₂O", CurveRole.NOMINAL),),
        note=kept.sentence,
    )


def compliance(line: Line, rows: Mapping[str, Any], slope: float, doubt: float | None) -> Plot:
    """Volume put in against pressure, and the line whose slope is the compliance."""
    pressures, volumes = list(rows["pressure"]), list(rows["volume"])
    ends = (min(pressures), max(pressures))
    return Plot(
        "compliance",
        PlotKind.FIT,
        "Volume put in against pressure",
        f"Each cmH₂O takes {doubtful(slope, doubt)} mL.",
        PlotAxis("pressure", "cmH2O", from_zero=True),
        PlotAxis("volume put in", "mL", from_zero=True),
        curves=(Curve("line through the readings", tuple((p, line.at(p)[0]) for p in ends), CurveRole.MODEL),),
        dots=tuple(Dot(p, v, f"{short(v)} mL at {short(p)} cmH₂O") for p, v in zip(pressures, volumes, strict=True)),
    )


def entries(
    rows: Mapping[str, Sequence[float]], event: float | None, said: str, marks: Sequence[tuple[float, float, str]]
) -> Plot:
    """Number of the entry over the time of a log, with what is missing or goes backwards marked."""
    import numpy as np

    n, t = np.asarray(rows["number"], dtype=np.float64), np.asarray(rows["time"], dtype=np.float64)
    order = np.argsort(t, kind="stable")
    kept = reduce_extremes(t[order], n[order], BUCKETS)
    levels = () if event is None else (Level("x", event, "the event, by the log's clock", CurveRole.NOMINAL),)
    return Plot(
        "entries",
        PlotKind.TRACES,
        "Numbers of the entries over the log's own time",
        said,
        PlotAxis("time on the log's clock", "s"),
        PlotAxis("number of the entry"),
        curves=(Curve("entries", kept.points),),
        dots=tuple(Dot(x, y, text) for x, y, text in marks),
        levels=levels,
        note=kept.sentence,
    )
