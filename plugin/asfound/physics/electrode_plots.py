"""What the calculations of electrodes and pads have to show."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from asfound.measure.show import short
from asfound.model.plots import Bar, Curve, CurveRole, Dot, Level, Plot, PlotAxis, PlotKind
from asfound.physics import electrode
from asfound.physics.clusters import Cluster

if TYPE_CHECKING:
    from asfound.physics.calc import Answer, Rows

STEPS = 40
"""Points along a curve."""


def density_plots(given: Mapping[str, Any], _: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    """Density over time with the line of equal heat through the study's figure, and the exposure on it."""
    found = next(one for one in answers if one.key == "density")
    time = float(given["time"])
    if time <= 0.0 or not found.value:
        return ()
    times = sorted({1.0, 10.0, time, 100.0, time / 4.0, time * 4.0})
    low, high = times[0], times[-1]
    line = tuple(
        (t, electrode.REFERENCE_DENSITY * math.sqrt(electrode.REFERENCE_TIME / t))
        for t in (low * (high / low) ** (i / STEPS) for i in range(STEPS + 1))
    )
    many = electrode.heating_multiple(found.value, time)
    return (
        Plot(
            "exposure",
            PlotKind.DOSE,
            "Density at the contact, against one study's figure",
            f"{short(found.value)} mA/cm² for {short(time)} s is {short(many, 2)} times the heat of 100 mA/cm² for "
            "10 s, nothing flowing away.",
            PlotAxis("time on", "s", log=True),
            PlotAxis("mean current density", "mA/cm2", log=True),
            (Curve("heat of 100 mA/cm² for 10 s", line, CurveRole.MODEL),),
            dots=(
                Dot(
                    time, found.value, f"{short(found.value)} mA/cm² for {short(time)} s", dy=found.doubt, as_used=True
                ),
                Dot(electrode.REFERENCE_TIME, electrode.REFERENCE_DENSITY, "figure of the study"),
            ),
            note="The line: equal J²·t. The longer the time, the more heat flows away. One study's figure, no limit.",
        ),
    )  # fmt: skip


def factors(found: Sequence[Cluster], pause: float) -> Plot:
    """The heating factor of each cluster as a bar, against 30 A2s."""
    above = sum(one.factor > electrode.REFERENCE_FACTOR for one in found)
    most = max(one.factor for one in found)
    return Plot(
        "clusters",
        PlotKind.BUILD_UP,
        "Heating factor of each cluster of activations",
        f"The largest of {len(found)} clusters is {short(most)} A²·s; {above or 'none'} "
        f"{'is' if above < 2 else 'are'} above 30 A²·s.",
        PlotAxis("heating factor", "A2s", from_zero=True),
        PlotAxis("cluster"),
        levels=(Level("x", electrode.REFERENCE_FACTOR, "30 A²·s, usual pads", CurveRole.PRACTICE),),
        bars=tuple(
            Bar(_row(number, one), 0.0, one.factor, f"{short(one.factor)} A²·s")
            for number, one in enumerate(found, start=1)
        ),
        note=f"A cluster ends where the output was off for longer than {short(pause)} s.",
    )  # fmt: skip


def times(found: Sequence[Cluster], pause: float) -> Plot:
    """The time on of each cluster as a bar."""
    most = max(one.on for one in found)
    return Plot(
        "clusters",
        PlotKind.BUILD_UP,
        "Time on, cluster by cluster",
        f"The longest of {len(found)} clusters was on for {short(most)} s.",
        PlotAxis("time on", "s", from_zero=True),
        PlotAxis("cluster"),
        levels=(Level("x", electrode.REFERENCE_TIME, "10 s, of one study's figure", CurveRole.PRACTICE),),
        bars=tuple(
            Bar(_row(number, one), 0.0, one.on, f"{short(one.on)} s") for number, one in enumerate(found, start=1)
        ),
        note=f"A cluster ends where the output was off for longer than {short(pause)} s.",
    )


def _row(number: int, one: Cluster) -> str:
    return f"{number}: {one.count} × from {_clock(one.start)}"


def _clock(seconds: float) -> str:
    """Minutes and seconds from the zero of the record."""
    return f"{int(seconds // 60)} min {int(seconds % 60):02d} s"


def outlines(traced: Sequence[Sequence[tuple[float, float]]], per: float, area: Answer) -> Plot:
    """The outlines as they were drawn, in centimetres."""
    curves = tuple(
        Curve(f"outline {number}", tuple((x * per, -y * per) for x, y in (*one, one[0])))
        for number, one in enumerate(traced, start=1)
    )
    assert area.value is not None
    doubt = f" ± {short(area.doubt, 2)}" if area.doubt else ""
    return Plot(
        "outlines",
        PlotKind.TRACES,
        "Outlines as traced",
        f"{len(curves)} {'outline encloses' if len(curves) == 1 else 'outlines enclose'} "
        f"{short(area.value)}{doubt} cm² in the mean.",
        PlotAxis("across", "cm"),
        PlotAxis("along, down the picture", "cm"),
        curves,
        note="Points as they were set, joined by straight lines.",
    )


def square_law(points: Sequence[tuple[float, float]], answers: Sequence[Answer]) -> Plot:
    """Rises over current, with the square laid through zero."""
    figures = {one.key: one for one in answers}
    per, power = figures["per-square"].value, figures["power"].value
    assert per is not None and power is not None
    top = max(x for x, _ in points)
    line = tuple((top * i / STEPS, per * (top * i / STEPS) ** 2) for i in range(STEPS + 1))
    return Plot(
        "square",
        PlotKind.FIT,
        "Rise of temperature against current",
        f"The rise goes with the current to the power {short(power)}; by the square it is {short(per)} K for 1 A.",
        PlotAxis("current", "A", from_zero=True),
        PlotAxis("rise", "K", from_zero=True),
        (Curve("square of the current", line, CurveRole.MODEL),),
        dots=tuple(Dot(x, y, f"{short(y)} K at {short(x)} A") for x, y in points),
    )
