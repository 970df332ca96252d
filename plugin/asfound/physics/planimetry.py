"""The area of a print or a gel from a traced outline, and what is not known of it.

An outline is a closed run of points in the units of a picture (pixels, squares of a film); a length of known size in
the same picture turns it into square centimetres. The shoelace formula is exact for the polygon, so what is left is
the doubt of the scale, of where each point was set, and of where a person sees the edge, which only outlines drawn
apart can show.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from msgspec import Struct

from asfound.measure.budget import LEVEL_95_45, coverage_factor, truncate_dof, welch_satterthwaite
from asfound.measure.fits import spread

Point = tuple[float, float]


def shoelace(points: Sequence[Point]) -> float:
    """Area of a closed polygon in square units of its coordinates, whichever way it was drawn round.

    Half the sum of x_i y_{i+1} - x_{i+1} y_i (the surveyor's formula), taken about the first point so that far-off
    coordinates lose no digits. Raises ValueError for fewer than three points or an outline that crosses itself.
    """
    if len(points) < 3:
        raise ValueError("an outline needs at least three points")
    crossing = crossed(points)
    if crossing:
        first, second = crossing
        raise ValueError(f"the outline crosses itself: side {first} and side {second}")
    return abs(_signed(points))


def _signed(points: Sequence[Point]) -> float:
    x0, y0 = points[0]
    moved = [(x - x0, y - y0) for x, y in points]
    return 0.5 * math.fsum(ax * by - bx * ay for (ax, ay), (bx, by) in zip(moved, [*moved[1:], moved[0]], strict=True))


def crossed(points: Sequence[Point]) -> tuple[int, int] | None:
    """The first two sides of a closed outline that cross, counted from 1; None where none do.

    Sides that only touch in a corner they share do not cross. A side is held against those alone that begin, from left
    to right, before it ends: of a closed line a hand draws, few, where each against each is quadratic in its points.
    """
    n = len(points)
    ends = [(points[i], points[(i + 1) % n]) for i in range(n)]
    left = [min(a[0], b[0]) for a, b in ends]
    rightwards = sorted(range(n), key=left.__getitem__)
    found: list[tuple[int, int]] = []
    for place, one in enumerate(rightwards):
        a, b = ends[one]
        right = max(a[0], b[0])
        for other in itertools.islice(rightwards, place + 1, None):
            if left[other] > right:
                break
            i, j = min(one, other), max(one, other)
            if j - i == 1 or (i == 0 and j == n - 1):
                continue
            c, d = ends[other]
            if _side(a, b, c) * _side(a, b, d) < 0.0 and _side(c, d, a) * _side(c, d, b) < 0.0:
                found.append((i + 1, j + 1))
    return min(found, default=None)


def _side(a: Point, b: Point, p: Point) -> float:
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def setting_doubt(points: Sequence[Point], step: float) -> float:
    """Standard doubt of the area where each point was set to the nearest `step`, in square units.

    Each coordinate is off by up to half a step, evenly and apart from all others (JCGM 100:2008, 4.3.7), and moves
    the area by half the distance of its two neighbours across it; the parts are added as squares.
    """
    n = len(points)
    across = math.fsum(
        (points[(i + 1) % n][0] - points[i - 1][0]) ** 2 + (points[(i + 1) % n][1] - points[i - 1][1]) ** 2
        for i in range(n)
    )
    return 0.5 * step / math.sqrt(12.0) * math.sqrt(across)


class Traced(Struct, frozen=True):
    """An area by one or more outlines, in square centimetres.

    areas    of each outline, in the order drawn
    mean     their mean
    repeats  standard doubt of the mean from how the outlines differ; None for a single one
    setting  standard doubt of the mean from the step in which points were set
    scale    standard doubt of the mean from the length of known size
    doubt    all three combined and expanded to 95.45 % with the factor of `dof`; None for a single outline
    """

    areas: tuple[float, ...]
    mean: float
    repeats: float | None
    setting: float
    scale: float
    dof: float
    doubt: float | None


def traced(
    outlines: Sequence[Sequence[Point]], known: float, read: float, step: float, known_u: float = 0.0,
    read_u: float = 0.0,
) -> Traced:  # fmt: skip
    """The area of what several outlines of one print enclose, with its doubt.

    known, known_u  length of the scale in cm, and its standard doubt
    read, read_u    the same length in units of the picture, and its standard doubt
    step            units of the picture to which points were set: one pixel, or a part of a square

    The area goes with the square of the scale, so that a scale off by 1 % moves it by 2 %. One outline gives no
    doubt: where the edge lies is then one person's sight. Raises ValueError for a scale that is not above 0, and as
    `shoelace`.
    """
    if not outlines:
        raise ValueError("there is no outline")
    if not (known > 0.0 and read > 0.0):
        raise ValueError("the scale must be above 0, both known and read")
    if not (step >= 0.0 and known_u >= 0.0 and read_u >= 0.0):
        raise ValueError("a step and a doubt are not below 0")
    per = known / read
    areas = tuple(shoelace(one) * per * per for one in outlines)
    found = spread(areas)
    n = len(areas)
    setting = math.sqrt(math.fsum((setting_doubt(one, step) * per * per) ** 2 for one in outlines)) / n
    scale = 2.0 * found.mean * math.hypot(known_u / known, read_u / read)
    if found.s is None:
        return Traced(areas, found.mean, None, setting, scale, math.inf, None)
    repeats = found.s / math.sqrt(n)
    combined = math.sqrt(repeats**2 + setting**2 + scale**2)
    dof = truncate_dof(welch_satterthwaite((repeats, setting, scale), (n - 1, math.inf, math.inf)))
    return Traced(areas, found.mean, repeats, setting, scale, dof, coverage_factor(dof, LEVEL_95_45) * combined)
