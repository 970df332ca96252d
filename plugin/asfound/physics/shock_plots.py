"""What the calculations of shocks have to show: the pulse, the energy gathered, two paths, charge, beat and shock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from asfound.measure.reduce import Reduced, reduce_extremes, reduce_stretches
from asfound.measure.show import short
from asfound.model.plots import Curve, CurveRole, Dot, Level, Plot, PlotAxis, PlotKind
from asfound.physics import energy, shocks
from asfound.physics.sampled import Sampled, held, place

if TYPE_CHECKING:
    from asfound.physics.calc import Rows

BUCKETS = 300
MARGIN = 0.2
"""Part of the pulse's length that is drawn before and after it."""


def _window(record: Sampled, found: energy.Pulse) -> tuple[int, int]:
    """Where the pulse stands in a record, with some rest on either side."""
    first, last = found.phases[0].start, found.phases[-1].start + found.phases[-1].duration
    wide = max((last - first) * MARGIN, 1e-9)
    return place(record, first - wide), place(record, last + wide, after=True)


def _ms(reduced: Reduced) -> tuple[tuple[float, float], ...]:
    return tuple((x * 1e3, y) for x, y in reduced.points)


def waveform(record: Sampled, load: float, found: energy.Pulse) -> tuple[Plot, ...]:
    """Voltage over time, and the energy that has gone in. None where there is no pulse to be seen."""
    if not found.phases:
        return ()
    start, stop = _window(record, found)
    reduced = reduce_stretches(lambda first, last: record.part(start + first, start + last), stop - start, BUCKETS)
    parts = " and ".join(
        f"{short(one.duration * 1e3)} ms with a tilt of {short(one.tilt * 100.0, 2)} %" for one in found.phases
    )
    axis = PlotAxis("time", "ms")
    shape = Plot(
        "waveform",
        PlotKind.WAVEFORM,
        "The pulse as it was sampled",
        f"The peak is {short(found.peak_voltage)} V, {short(abs(found.peak_current))} A into {short(load)} Ω; "
        f"{'its phase lasts' if len(found.phases) == 1 else f'its {len(found.phases)} phases last'} {parts}.",
        axis,
        PlotAxis("voltage across the load", "V"),
        curves=(Curve("voltage", _ms(reduced)),),
        dots=(Dot(found.peak_time * 1e3, found.peak_voltage, f"peak, {short(found.peak_voltage)} V"),),
        levels=(Level("y", 0.0, "0 V", CurveRole.NOMINAL),),
        note=reduced.sentence,
    )
    grown = shocks.gathered(record, load, start=start, stop=stop)
    total = Plot(
        "energy",
        PlotKind.WAVEFORM,
        "The energy that has gone into the load",
        f"At the end {short(found.energy, 4)} J have gone into {short(load)} Ω; "
        f"half of them within {short((_half(grown) - found.phases[0].start) * 1e3)} ms of the rise.",
        axis,
        PlotAxis("energy gone in", "J", from_zero=True),
        curves=(Curve("energy", tuple((at * 1e3, joules) for at, joules in grown)),),
        levels=(Level("y", found.energy, f"{short(found.energy, 4)} J", CurveRole.MEASURED),),
        note="Summed by the trapezium rule over every sample; drawn at some hundreds of places.",
    )
    return (shape, total)


def _half(grown: Sequence[tuple[float, float]]) -> float:
    half = grown[-1][1] / 2.0
    return next(at for at, joules in grown if joules >= half)


def paths(rows: Rows, found: shocks.Pair) -> tuple[Plot, ...]:
    """Both pulses over each other, as they were recorded."""
    if not found.first.phases:
        return ()
    seen = slice(*_window(held(rows["time"], rows["voltage"]), found.first))
    drawn = [reduce_extremes(rows["time"][seen], rows[name][seen], BUCKETS) for name in ("voltage", "other")]
    return (
        Plot(
            "paths",
            PlotKind.WAVEFORM,
            "One shock by each path",
            f"By the first path {short(found.first.energy, 4)} J, by the other {short(found.second.energy, 4)} J; "
            f"the two are nowhere more than {short(found.apart, 2)} V apart within the phases.",
            PlotAxis("time", "ms"),
            PlotAxis("voltage across the load", "V"),
            curves=(
                Curve("first path", _ms(drawn[0])),
                Curve("other path", _ms(drawn[1]), CurveRole.NOMINAL),
            ),
            note=drawn[0].sentence,
        ),
    )


def loads(given: Mapping[str, float], made: Sequence[tuple[float, float]]) -> tuple[Plot, ...]:
    """Energy over the load by the model, with the loads of the standard as dots."""
    low, high = made[0][0] * 0.8, made[-1][0] * 1.05
    grid = [low + (high - low) * step / 60.0 for step in range(61)]
    phases = [given[name] * 1e-3 for name in ("first", "second") if given[name] > 0]

    def at(load: float) -> float:
        return shocks.truncated_at(
            given["capacitance"] * 1e-6, given["voltage"], given["inside"], load, phases
        )[0]  # fmt: skip

    first, last = made[0], made[-1]
    return (
        Plot(
            "loads",
            PlotKind.FIT,
            "Energy over the load, by the model",
            f"The same charge gives {short(first[1])} J into {short(first[0])} Ω and {short(last[1])} J into "
            f"{short(last[0])} Ω: what is right at one load is not right at another.",
            PlotAxis("load", "Ω", from_zero=True),
            PlotAxis("energy", "J", from_zero=True),
            curves=(Curve("by the model", tuple((load, at(load)) for load in grid), CurveRole.MODEL),),
            dots=tuple(Dot(load, joules, f"{short(joules)} J into {short(load)} Ω") for load, joules in made),
            note="One capacitor, turned round between phases of fixed length; a unit that lengthens its pulse gives "
            "more into a high load.",
        ),
    )


def charging(rows: Rows, found: shocks.Charge) -> tuple[Plot, ...]:
    """Both channels over time with the two moments."""
    drawn = [(name, reduce_extremes(rows["time"], rows[name], BUCKETS)) for name in ("key", "ready")]
    return (
        Plot(
            "charge",
            PlotKind.TRACES,
            "From the key to ready",
            f"Ready came {short(found.took)} s after the key.",
            PlotAxis("time", "s"),
            PlotAxis("channel", "V"),
            curves=tuple(
                Curve(name, one.points, CurveRole.MEASURED if name == "ready" else CurveRole.NOMINAL)
                for name, one in drawn
            ),
            levels=(
                Level("x", found.key, "key pressed", CurveRole.MEASURED),
                Level("x", found.ready, "ready", CurveRole.MEASURED),
            ),
            note=drawn[0][1].sentence,
        ),
    )


def beat(rows: Rows, found: shocks.Synchronised) -> tuple[Plot, ...]:
    """The trace until the shock, with the peak of the R wave and that of the pulse."""
    import numpy as np

    t = rows["time"]
    stop = int(np.searchsorted(t, found.shock, "right"))
    start = int(np.searchsorted(t, found.beat - 0.6))
    reduced = reduce_extremes(t[start:stop] * 1e3, rows["ecg"][start:stop], BUCKETS)
    return (
        Plot(
            "beat",
            PlotKind.TRACES,
            "The beat and the shock that waited for it",
            f"The pulse has its peak {short(found.delay * 1e3)} ms after the peak of the R wave.",
            PlotAxis("time", "ms"),
            PlotAxis("trace", "mV"),
            curves=(Curve("trace", reduced.points),),
            levels=(
                Level("x", found.beat * 1e3, "peak of the R wave", CurveRole.MEASURED),
                Level("x", found.shock * 1e3, "peak of the pulse", CurveRole.MEASURED),
            ),
            note=reduced.sentence,
        ),
    )
