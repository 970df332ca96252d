"""Words inside the chart of a calculation: each looks for free room beside the thing it names."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from itertools import pairwise

from msgspec import Struct, field

from .curve_looks import LEVEL_LOOK
from .curve_spec import Level, Places, Region, Shown
from .parts import Room, segment
from .placing import Block, Try, block, box, find, say
from .sheet import Area, Map, Sheet

_MANY = (3, 14)
"""Up to so many dots bear their words, on a narrow and on a wide drawing; of more, the tip and the table tell."""
_STEPS = 24

Spot = tuple[float, float]
Inside = tuple[Block, Try, Spot, float]
"""Words of a region, where they stand, the pixel place they belong to, and its place on the x axis."""
Wish = tuple[float, float, str, float]
"""Pixels of an anchor; which end of the block it is; and which share of the block's height stands above it."""


class Scene(Struct):
    """Where everything stands, and what is drawn already. `keyed` are the regions whose words stand above the plot."""

    area: Area
    x: Map
    y: Map
    room: Room
    keyed: list[tuple[int, Block]] = field(default_factory=list)


def words(sheet: Sheet, scene: Scene, shown: Shown, done: Collection[int]) -> None:
    """Regions and the point as used first, then levels, curves that end inside, and dots that have room.

    `done` are the ids of curves and levels named in the margin. Regions come first, so that those that had room when
    the key above the plot was set have it still.
    """
    most = (scene.area.right - scene.area.left) * 0.62
    for of, at, spot, value in regions_inside(scene, shown.regions).values():
        sheet.group(sheet.halo("soft"), say(sheet, of, at, "soft", spot, value))
    for dot in shown.dots:
        if dot.as_used:
            spot = scene.x(dot.x), scene.y(dot.y)
            _put(sheet, scene, dot.named, _about(spot, 11), "ink", spot, dot.x, most, bold=True, led=True)
    for said, level in _once(shown.levels):
        if id(level) in done:
            continue
        tone = LEVEL_LOOK[level.role][0]
        if level.axis == "x":
            spot = scene.x(level.value), scene.area.top + 8
            _put(sheet, scene, said, _beside(spot[0], scene.area), tone, spot, level.value, most)
        else:
            spot = scene.area.left + 6, scene.y(level.value)
            _put(sheet, scene, said, _along(spot[1], scene.area), tone, spot, sheet.x_ruler.low, most)
    for curve in shown.curves:
        if curve.name and curve.points and id(curve) not in done:
            spot = scene.x(curve.points[-1][0]), scene.y(curve.points[-1][1])
            tone = LEVEL_LOOK[curve.role][0]
            _put(sheet, scene, curve.name, _about(spot, 7), tone, spot, curve.points[-1][0], most, led=True)
    if len(shown.dots) <= _MANY[not sheet.narrow]:
        for dot in shown.dots:
            if not dot.as_used:
                spot = scene.x(dot.x), scene.y(dot.y)
                _put(sheet, scene, dot.named, _about(spot, 9), "ink", spot, dot.x, most * 0.8, led=True, cost=12.0)


def levels_crossed(scene: Scene, levels: Sequence[Level]) -> list[tuple[str, Level]]:
    """Level lines from left to right, with their words, that have no place along them free of traces and dots."""
    most = (scene.area.right - scene.area.left) * 0.62
    return [
        (said, level)
        for said, level in _once(levels)
        if level.axis == "y"
        and min(scene.room.cost(box(of, at)) for of in [block(said, most)]
                for at in _tries(scene, of, _along(scene.y(level.value), scene.area))) > 0
    ]  # fmt: skip


def _put(
    sheet: Sheet, scene: Scene, said: str, wishes: Sequence[Wish], tone: str, spot: Spot, x: float, most: float,
    *, bold: bool = False, led: bool = False, cost: float = 1e9,
) -> None:  # fmt: skip
    """Set words at the best of several places, or nowhere where all would hide more than `cost`."""
    of = block(said, most, bold=bold)
    at = find(scene.room, of, _tries(scene, of, wishes), cost)
    if at is None:
        return
    stem = _stem(box(of, at), spot) if led else None
    if stem is not None:
        sheet.out.append(segment(*spot, *stem, f' stroke="{sheet.palette.soft}" stroke-width="0.8"'))
        scene.room.strokes.append([spot, stem])
    sheet.group(sheet.halo(tone, bold=bold), say(sheet, of, at, tone, spot, x, bold=bold, lead=stem is not None))


def _tries(scene: Scene, of: Block, wishes: Sequence[Wish]) -> list[Try]:
    """Where words would stand for each wish, kept within the plot."""
    half = of.wide / 2 + 3
    low, high = scene.area.left + half, max(scene.area.left + half, scene.area.right - half)
    top, foot = scene.area.top + 2, scene.area.bottom - of.high - 3
    return [
        (min(max(ax, low), high) if end == "middle" else ax, min(max(ay - of.high * share, top), foot), end)
        for ax, ay, end, share in wishes
    ]


def _stem(words: tuple[float, float, float, float], spot: Spot) -> Spot | None:
    """Where a stroke from a spot meets words that stand so far away that they might speak for another."""
    left, top, right, bottom = words
    near = min(max(spot[0], left + 4), right - 4), min(max(spot[1], top + 1), bottom - 1)
    return near if math.hypot(near[0] - spot[0], near[1] - spot[1]) > 17 else None


def _about(spot: Spot, away: float) -> list[Wish]:
    """Places round a spot, the nearest first."""
    x, y = spot
    out: list[Wish] = []
    for far in (away, away + 9, away + 20, away + 34, away + 54):
        out += [(x + far, y, "start", 0.5), (x - far, y, "end", 0.5), (x, y - far, "middle", 1.0)]
        out += [(x, y + far, "middle", 0.0), (x + far * 0.8, y - far * 0.7, "start", 1.0)]
        out += [(x + far * 0.8, y + far * 0.7, "start", 0.0), (x - far * 0.8, y - far * 0.7, "end", 1.0)]
        out += [(x - far * 0.8, y + far * 0.7, "end", 0.0)]
    return out


def _along(y: float, area: Area) -> list[Wish]:
    """Places along a level line, above and under it, from its ends to its middle."""
    wide = area.right - area.left
    places: list[tuple[float, str]] = [(area.left + 6, "start"), (area.right - 6, "end")]
    places += [(area.left + wide * n / 10, "middle") for n in (5, 3, 7, 4, 6, 2, 8)]
    return [(x, y + gap, end, share) for share, gap in ((1.0, -3.0), (0.0, 3.0)) for x, end in places]


def _beside(x: float, area: Area) -> list[Wish]:
    """Places beside an upright line, from the top down."""
    high = area.bottom - area.top
    return [
        (x + side * 6, area.top + 5 + high * n / 12, end, 0.0)
        for n in range(11)
        for side, end in ((1, "start"), (-1, "end"))
    ]


def _once(levels: Sequence[Level]) -> list[tuple[str, Level]]:
    """Words of levels, each once; where several bear the same, the first says how many they are."""
    groups: dict[tuple[str, str], list[Level]] = {}
    for level in levels:
        groups.setdefault((level.axis, level.words), []).append(level)
    said = {key: f"{key[1]} ({len(found)} times)" if len(found) > 1 else key[1] for key, found in groups.items()}
    return [(said[key], found[0]) for key, found in groups.items() if key[1]]


def regions_inside(scene: Scene, regions: Sequence[Region]) -> dict[int, Inside]:
    """The regions that have room for their words, by number; the room is then taken."""
    keyed = {index for index, _ in scene.keyed}
    found: dict[int, Inside] = {}
    for index, region in enumerate(regions):
        one = None if index in keyed else _inside(scene, region)
        if one is not None:
            scene.room.boxes.append(box(one[0], one[1]))
            found[index] = one
    return found


def _inside(scene: Scene, region: Region) -> Inside | None:
    """Where in a region its words have room, with what they belong to; None where they have none.

    A block of one line is tried before one that is broken. Of the places where it stands wholly within both edges and
    hides nothing, the one with most room above and under it is taken.
    """
    wide = scene.area.right - scene.area.left
    upper, lower = (_pixels(scene, edge) for edge in (region.upper, region.lower))
    samples = [(value, scene.x(value)) for value in _samples(region)]
    for most in (wide * 0.62, wide * 0.34):
        of = block(region.words, most)
        best: tuple[float, Try, Spot, float] | None = None
        for value, px in samples:
            ends = [_between(upper, lower, px + side * (of.wide / 2 + 2)) for side in (-1.0, -0.5, 0.0, 0.5, 1.0)]
            if None in ends:
                continue
            top = max(end[0] for end in ends if end)
            bottom = min(end[1] for end in ends if end)
            at: Try = (px, (top + bottom - of.high) / 2, "middle")
            spare = bottom - top - of.high
            if spare >= 4 and scene.room.cost(box(of, at)) == 0 and (best is None or spare > best[0] + 1e-9):
                best = spare, at, (px, (top + bottom) / 2), value
        if best is not None:
            return of, best[1], best[2], best[3]
    return None


def _samples(region: Region) -> list[float]:
    if not region.lower or not region.upper:
        return []
    low = max(region.lower[0][0], region.upper[0][0])
    high = min(region.lower[-1][0], region.upper[-1][0])
    if low > 0 and high > 20 * low:  # evenly on a logarithmic axis, where such ranges stand
        return [low * (high / low) ** (n / _STEPS) for n in range(_STEPS + 1)]
    return [low + (high - low) * n / _STEPS for n in range(_STEPS + 1)]


def _pixels(scene: Scene, edge: Places) -> list[Spot]:
    return [(scene.x(a), scene.y(b)) for a, b in edge]


def _between(upper: Sequence[Spot], lower: Sequence[Spot], px: float) -> tuple[float, float] | None:
    """Top and bottom of a region in pixels at a place across."""
    one, other = _at(upper, px), _at(lower, px)
    return None if one is None or other is None else (min(one, other), max(one, other))


def _at(edge: Sequence[Spot], px: float) -> float | None:
    for (a, b), (c, d) in pairwise(edge):
        if a <= px <= c:
            return b if c == a else b + (d - b) * (px - a) / (c - a)
    return None
