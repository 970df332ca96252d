"""Invented plots of calculations that the tests share; every number in them is made up."""

from __future__ import annotations

import math
from collections.abc import Iterator

from asfound.figures.spec import Chart
from asfound.model.plots import Bar, Curve, CurveRole, Dot, Level, Plot, PlotAxis, PlotKind, Region
from asfound.pages.plots import chart_of

PEAK, DIP = 1694.0, -903.0


def _noise(seed: int) -> Iterator[float]:
    """Numbers between −0.5 and 0.5, the same every time (a linear congruence, as in ISO C's example of rand)."""
    while True:
        seed = (1103515245 * seed + 12345) % 2**31
        yield seed / 2**31 - 0.5


def trumpet() -> Plot:
    """Largest and smallest error of a pump."""
    windows = (2, 5, 11, 19, 31)
    return Plot(
        "trumpet", PlotKind.TRUMPET, "Largest and smallest deviation over windows of time",
        "Over 2 min the flow strayed between −8.7 % and +8.3 %, over 31 min between −1.6 % and +1.5 %.",
        PlotAxis("length of the window", "min", from_zero=True), PlotAxis("deviation from the set rate", "%"),
        curves=(
            Curve("largest", tuple(zip(map(float, windows), (8.3, 6.1, 4.0, 1.2, 1.5), strict=True))),
            Curve("smallest", tuple(zip(map(float, windows), (-8.7, -6.2, -4.4, -1.7, -1.6), strict=True))),
        ),
        levels=(
            Level("y", 0.33, "mean of the period", CurveRole.MEASURED),
            Level("y", 0.0, "as set", CurveRole.NOMINAL),
            Level("y", 5.0, "maker's limit, +5 %"), Level("y", -5.0, "maker's limit, −5 %"),
        ),
    )  # fmt: skip


def pulse() -> Plot:
    """A truncated exponential pulse of 2000 samples with one spike either way."""
    noise, points = _noise(3), []
    for i in range(2000):
        t = i * 0.01
        level = 1430 * math.exp(-t / 8) if t < 7 else -620 * math.exp(-(t - 7) / 8) if t < 12 else 0.0
        points.append((t, {433: PEAK, 1100: DIP}.get(i, level + 8 * next(noise))))
    return Plot(
        "pulse", PlotKind.WAVEFORM, "The pulse at the load", "The pulse put 151 J ± 4 J into the load of 50 Ω.",
        PlotAxis("time since the trigger", "ms", from_zero=True), PlotAxis("voltage", "V"),
        (Curve("voltage at the load", tuple(points)),),
        levels=(
            Level("y", 1430, "peak by the closed form", CurveRole.NOMINAL),
            Level("x", 7.0, "change of phase", CurveRole.MEASURED),
        ),
        dots=(Dot(4.33, PEAK, "peak 1694 V", 0.05, 25), Dot(11.0, DIP, "lowest −903 V", 0.05, 25)),
    )  # fmt: skip


def dose() -> Plot:
    """Five models that disagree, and one exposure."""
    sets = (
        ("coefficients A", 3.1e98, 6.28e5), ("coefficients B", 1.3e95, 6.04e5), ("coefficients C", 2.2e105, 6.7e5),
        ("coefficients D, corrected for thickness", 4.1e93, 5.94e5), ("coefficients E", 9.4e104, 6.65e5),
    )  # fmt: skip
    times = [10 ** (k / 12) for k in range(61)]
    curves = tuple(
        Curve(name, tuple((t, e / (8.314 * math.log(a * t)) - 273.15) for t in times), CurveRole.MODEL)
        for name, a, e in sets
    )
    edges = [tuple((t, pick(c.points[i][1] for c in curves)) for i, t in enumerate(times)) for pick in (min, max)]
    return Plot(
        "dose", PlotKind.DOSE, "Temperature that harms, against how long it is borne",
        "At 48.9 °C for 130 min every one of five sets of coefficients lies below the exposure.",
        PlotAxis("time the skin bears it", "s", log=True), PlotAxis("temperature at the skin", "degC"),
        curves, (Region("where the published models disagree", *edges),),
        (Dot(7800, 48.9, "48.9 °C for 130 min", 600, 1.2, "R-spot-1", True),),
        (Level("y", 41, "41 °C, highest surface in long contact"),),
    )  # fmt: skip


def pressure() -> Plot:
    """Breaths with one that passes the alarm limit, and a door that is logged three times."""
    noise, points = _noise(5), []
    for i in range(1100):
        t = i * 0.03
        phase = t % 3
        rise = 22 * (1 - math.exp(-phase / 0.2)) if phase < 1 else 22 * math.exp(-(phase - 1) / 0.25)
        high = 19 * math.sin((t - 21) / 1.1 * math.pi) if 21 < t < 22.1 else 0.0
        points.append((t, 5 + rise + high + 0.6 * next(noise)))
    top = max(points, key=lambda one: one[1])
    return Plot(
        "pressure", PlotKind.TRACES, "Pressure in the circuit", "The pressure passed 40 cmH₂O once, at 21.5 s.",
        PlotAxis("time since the record began", "s", from_zero=True), PlotAxis("pressure", "cmH2O", from_zero=True),
        (Curve("pressure at the wye", tuple(points)),),
        levels=(
            Level("y", 40, "alarm set at 40 cmH₂O"), Level("y", 5, "set end pressure", CurveRole.NOMINAL),
            *(Level("x", at, "touched", CurveRole.PRACTICE) for at in (6.0, 15.0, 24.0)),
        ),
        dots=(Dot(*top, "highest 45 cmH₂O", None, 1.0, "R-wye-1"),),
    )  # fmt: skip


def hazard() -> Plot:
    """Nine devices add up to more than the monitor's alarm."""
    parts = (
        ("infusion pump, left", 0.31), ("infusion pump, right", 0.29), ("warming unit", 0.62), ("monitor", 0.48),
        ("electrosurgical generator", 0.85), ("table", 0.37), ("light, main", 0.22), ("suction", 0.41),
    )  # fmt: skip
    total, bars = 0.9, [Bar("the system, nothing plugged in", 0, 0.9, "0.9 mA", "R-sum-0")]
    for number, (name, part) in enumerate(parts, 1):
        bars.append(Bar(name, total, total + part, f"{part} mA", f"R-sum-{number}"))
        total += part
    bars.append(Bar("ventilator", total, total + 0.66, "0.66 mA", "R-sum-9"))
    return Plot(
        "sum", PlotKind.BUILD_UP, "Hazard current, device by device", "Ten parts add up to 5.11 mA.",
        PlotAxis("hazard current", "mA"), PlotAxis("plugged in"), bars=tuple(bars),
        levels=(Level("x", 5, "alarm at 5 mA"), Level("x", 3.7, "no alarm below 3.7 mA", CurveRole.PRACTICE)),
    )  # fmt: skip


def bath() -> Plot:
    """A probe against a bath, with doubt both ways."""
    at, shown = (34.0, 35.0, 36.0, 37.0, 38.0, 39.0), (33.1, 34.1, 35.0, 35.9, 36.9, 37.8)
    return Plot(
        "bath", PlotKind.AGREEMENT, "Error of the display, against the bath", "The display reads 1 K low in the mean.",
        PlotAxis("bath by the reference", "degC"), PlotAxis("shown less bath", "K", from_zero=True),
        (
            Curve("312 Ω in series", tuple((a, -0.85 - 0.06 * (a - 34)) for a in at), CurveRole.MODEL),
            Curve("one offset", ((33.5, -1.0), (39.5, -1.0)), CurveRole.PRACTICE),
        ),
        dots=tuple(
            Dot(a, b - a, f"{b:.1f} °C shown at {a:.2f} °C", 0.1, 0.05, f"R-bath-{i}", a == 37.0)
            for i, (a, b) in enumerate(zip(at, shown, strict=True), 1)
        ),
        levels=(Level("y", 0.3, "+0.3 K"), Level("y", -0.3, "−0.3 K"), Level("y", 0, "as the bath", CurveRole.NOMINAL)),
    )  # fmt: skip


def siphon() -> Plot:
    """Three heights, the line through them with its band, and the height asked for."""
    line = tuple((float(h), 1.085 * h - 13.9) for h in range(13, 98, 3))
    wide = [8 + 0.006 * (h - 60) ** 2 for h, _ in line]
    return Plot(
        "siphon", PlotKind.FIT, "Flow by gravity against height", "At 75 cm the line gives 67 ± 9 mL/h.",
        PlotAxis("height above the end of the line", "cm", from_zero=True), PlotAxis("flow", "mL/h", from_zero=True),
        (Curve("line through the readings", line, CurveRole.MODEL),),
        (
            Region(
                "band of the line, about 95 %",
                tuple((h, max(0.0, f - w)) for (h, f), w in zip(line, wide, strict=True)),
                tuple((h, f + w) for (h, f), w in zip(line, wide, strict=True)),
            ),
        ),
        tuple(
            Dot(h, f, f"{f} mL/h at {h:g} cm", 0.5, 1.5, f"R-siphon-{i}")
            for i, (h, f) in enumerate(((30.0, 18.0), (60.0, 52.5), (90.0, 83.1)), 1)
        ),
        (Level("x", 75, "height asked for", CurveRole.NOMINAL),),
    )  # fmt: skip


PLOTS = (trumpet, pulse, dose, pressure, hazard, bath, siphon)


def chart(make) -> Chart:
    """The chart of one of them."""
    return chart_of(make(), f"Z-{make.__name__}", series="E-7")
