"""A chart drawn as SVG, against a polyline of the same points written by hand."""

from __future__ import annotations

import math

from asfound.figures import SITE, Chart, draw
from asfound.figures.kinds import Tolerance, output_against_setting
from asfound.figures.spec import Axis, Pattern, Point, Series, Shape, Tick

from .method import Line, inside, spoken

POINTS, DRAWINGS, TIMES, BOUND = 600, 40, 9, 3.0
TICKS = (0.0, 30.0, 60.0, 90.0, 120.0)
WIDTH, HEIGHT, LEFT, TOP = 760.0, 400.0, 60.0, 20.0


def places(points: int) -> list[tuple[float, float]]:
    """An output that follows its setting, with a ripple."""
    step = 120.0 / points
    return [(n * step, n * step * (1 + 0.08 * math.sin(n / 9))) for n in range(1, points + 1)]


def chart(points: int) -> Chart:
    """Those points as a chart of the program: a line, the setting, the allowed band and its two edges."""
    read = tuple(Point(x, y, ref=f"R-output-{n}") for n, (x, y) in enumerate(places(points), 1))
    ticks = tuple(Tick(at, f"{at:g}") for at in TICKS)
    return output_against_setting(
        "bench",
        "Output power against setting",
        "The output follows the setting.",
        (Series("port 1", read, Shape.NONE, Pattern.SOLID),),
        x=Axis("setting", "W", ticks=ticks),
        y=Axis("measured", "W"),
        curve=((0, 0), (120, 120)),
        curve_label="setting",
        tolerance=Tolerance(0.20, "−20 %", "+20 %"),
    )


def by_hand(points: list[tuple[float, float]]) -> str:
    """The drawing any script would make: two axes with five labels each, a title, and one polyline."""
    right, high = TICKS[-1], max(y for _, y in points)
    wide, tall = WIDTH - LEFT - 20, HEIGHT - TOP - 40
    line = " ".join(f"{LEFT + x / right * wide:.1f},{TOP + tall - y / high * tall:.1f}" for x, y in points)
    out = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {HEIGHT:.0f}"><title>Output</title>']
    out.append(f'<path d="M{LEFT},{TOP}V{TOP + tall}H{LEFT + wide}" fill="none" stroke="currentColor"/>')
    for part, tick in enumerate(TICKS):
        out.append(f'<text x="{LEFT + wide * part / 4:.1f}" y="{TOP + tall + 18:.1f}">{tick:g}</text>')
        out.append(f'<text x="{LEFT - 30:.1f}" y="{TOP + tall - tall * part / 4:.1f}">{high * part / 4:.0f}</text>')
    out.append(f'<polyline points="{line}" fill="none" stroke="currentColor"/></svg>')
    return "".join(out)


def measure() -> list[Line]:
    """The chart stands ready; only the drawing is measured, as it is of the hand-written one."""
    ready, points = chart(POINTS), places(POINTS)
    mine, hand = inside(
        [lambda: [draw(ready, SITE) for _ in range(DRAWINGS)], lambda: [by_hand(points) for _ in range(DRAWINGS)]],
        TIMES,
    )
    what = f"a chart of {POINTS} points as SVG"
    return [Line(what, "a hand-written polyline", mine / hand, BOUND, spoken(mine / DRAWINGS), spoken(hand / DRAWINGS))]
