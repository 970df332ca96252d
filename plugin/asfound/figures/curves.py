"""Drawing of a calculation: curves named where they end, levels and regions where they stand, dots with doubt."""

from __future__ import annotations

from collections.abc import Sequence

from .curve_looks import LEVEL_LOOK, PATTERNS, curve_looks, stroke
from .curve_spec import Curve, Dot, Level, Shown
from .curve_words import Scene, levels_crossed, regions_inside, words
from .lettering import text_width, wrap
from .palette import Palette
from .parts import DASH, SIZE, Room, esc, polyline, shape, text
from .placing import LEAD, Block, block, outline, stack
from .scale import Ruler, place
from .sheet import Area, Label, Map, Sheet
from .spec import Scale, Shape

_INSIDE = 0.78
"""A curve that ends before this share of the axis bears its name there, not in the margin."""
KEY = 22.0
"""Width of the swatch of a region that has no room for its words."""


def draw_curves(sheet: Sheet) -> float:
    """Draw the chart of a calculation with two numeric axes; the answer is its height."""
    shown = sheet.chart.shown
    assert shown is not None
    most = sheet.width * (0.31 if sheet.narrow else 0.26)
    named = [
        (curve, block(curve.name, most))
        for curve in shown.curves
        if curve.name and curve.points and _share(sheet.x_ruler, curve.points[-1][0]) >= _INSIDE
    ]
    scene = _scene(sheet, shown, named, frozenset())
    crossed = levels_crossed(scene, shown.levels)
    if crossed:
        # What would lie on a trace wherever it stood is named in the margin, where its line ends.
        for said, level in crossed:
            named.append((Curve(said, ((sheet.x_ruler.high, level.value),), level.role), block(said, most)))
        scene = _scene(sheet, shown, named, frozenset())
    inside = regions_inside(scene, shown.regions)
    if len(inside) < len(shown.regions):
        # The key above the plot moves it down as a whole, so that what had room inside has it still.
        scene = _scene(sheet, shown, named, frozenset(range(len(shown.regions))) - inside.keys())
    sheet.area = scene.area
    _ground(sheet, scene, shown)
    _strokes(sheet, scene, shown)
    sheet.x_axis(scene.area, scene.x)
    _dots(sheet, scene, shown.dots)
    _margin(sheet, scene, named)
    words(sheet, scene, shown, {id(curve) for curve, _ in named} | {id(level) for _, level in crossed})
    return scene.area.bottom + sheet.x_axis_height()


def _share(ruler: Ruler, value: float) -> float:
    return place(ruler, 0.0, 1.0)(value)


def _scene(sheet: Sheet, shown: Shown, named: list[tuple[Curve, Block]], keyed: frozenset[int]) -> Scene:
    margin = max((of.wide for _, of in named), default=0.0)
    left = max(text_width(tick.text, SIZE) for tick in sheet.y_ruler.ticks) + 12
    right = sheet.width - (margin + 18 if margin else 14)
    keys = [(i, block(shown.regions[i].words, sheet.width - KEY - 12)) for i in sorted(keyed)]
    top = 20.0 + 17 * (len(_title(sheet)) - 1) + sum(of.high + 8 for _, of in keys) + (13 if keys else 8)
    high = max(215.0, sheet.width * 0.44, sum(of.high + 3 for _, of in named) + 8)
    area = Area(left, top, right, top + high)
    x, y = place(sheet.x_ruler, area.left, area.right), place(sheet.y_ruler, area.bottom, area.top)
    room = Room((area.left + 2, area.top + 1, area.right - 1, area.bottom - 2))
    for curve in shown.curves:
        room.strokes.append(outline([(x(a), y(b)) for a, b in curve.points]))
    for region in shown.regions:
        room.strokes += [outline([(x(a), y(b)) for a, b in edge]) for edge in (region.lower, region.upper)]
    for level in shown.levels:
        room.strokes.append(_across(level, area, x, y))
    for dot in shown.dots:
        room.dot(x(dot.x), y(dot.y))
        room.strokes += _bars(sheet, dot, x, y)
    return Scene(area, x, y, room, keys)


def _title(sheet: Sheet) -> list[str]:
    return wrap(sheet.chart.y.title, SIZE, sheet.width - 8)


def _across(level: Level, area: Area, x: Map, y: Map) -> list[tuple[float, float]]:
    if level.axis == "x":
        return [(x(level.value), area.top), (x(level.value), area.bottom)]
    return [(area.left, y(level.value)), (area.right, y(level.value))]


def _bars(sheet: Sheet, dot: Dot, x: Map, y: Map) -> list[list[tuple[float, float]]]:
    """The bars of doubt of a dot; on a logarithmic axis one that reaches zero is drawn to the edge."""
    px, py, out = x(dot.x), y(dot.y), []
    if dot.dx:
        out.append([(x(_foot(sheet.x_ruler, dot.x - dot.dx)), py), (x(dot.x + dot.dx), py)])
    if dot.dy:
        out.append([(px, y(_foot(sheet.y_ruler, dot.y - dot.dy))), (px, y(dot.y + dot.dy))])
    return out


def _foot(ruler: Ruler, low: float) -> float:
    return max(low, ruler.low) if ruler.scale is Scale.LOG else low


def _ground(sheet: Sheet, scene: Scene, shown: Shown) -> None:
    """Titles, key, regions and grid."""
    area, palette = scene.area, sheet.palette
    labels = [sheet.say(Label(line, "soft", 0.0, 12.0 + 17 * i, "start")) for i, line in enumerate(_title(sheet))]
    grid = []
    for tick in sheet.y_ruler.ticks:
        at = scene.y(tick.value)
        grid.append(f"M{area.left:.1f},{at:.1f}H{area.right:.1f}")
        labels.append(text(area.left - 8, at + 4.5, tick.text, anchor="end"))
    if sheet.x_ruler.scale is Scale.LOG:
        grid += [f"M{scene.x(tick.value):.1f},{area.top:.1f}V{area.bottom:.1f}" for tick in sheet.x_ruler.ticks]
    sheet.group(f'fill="{palette.soft}"', labels)
    for number, region in enumerate(shown.regions):
        edge = [(scene.x(a), scene.y(b)) for a, b in (*region.lower, *reversed(region.upper))]
        sheet.out.append(
            f"<g><title>{esc(region.words)}</title>{_shade(polyline(edge, close=True), number, palette)}</g>"
        )
    top = 20.0 + 17 * len(_title(sheet)) - 9
    for index, of in scene.keyed:
        sheet.swatches.append((index, 1.0, top))
        sheet.out.append(_shade(f"M1,{top:.1f}h{KEY:.0f}v13h-{KEY:.0f}Z", index, palette))
        lines = [Label(line, "soft", KEY + 8, top + 11 + LEAD * i, "start") for i, line in enumerate(of.lines)]
        sheet.group(f'fill="{palette.soft}"', [sheet.say(label) for label in lines])
        top += of.high + 8
    sheet.out.append(f'<path d="{"".join(grid)}" fill="none" stroke="{palette.rule}"/>')


def _shade(path: str, number: int, palette: Palette) -> str:
    """A region: a wash of colour with a thin edge, whose pattern tells one region from the next."""
    colour = palette.mark if number % 2 == 0 else palette.warn
    dash = DASH[PATTERNS[number % 4]]
    return (
        f'<path d="{path}" fill="{colour}" fill-opacity="0.12" stroke="{colour}" stroke-width="0.7" '
        f'stroke-opacity="0.6"{dash}/>'
    )


def _strokes(sheet: Sheet, scene: Scene, shown: Shown) -> None:
    for level in shown.levels:
        path = polyline(_across(level, scene.area, scene.x, scene.y))
        drawn = stroke(LEVEL_LOOK[level.role], sheet.palette)
        sheet.out.append(f'<path d="{path}" {drawn}><title>{esc(f"{level.words}, {level.text}")}</title></path>')
    for curve, look in zip(shown.curves, curve_looks(shown.curves), strict=True):
        if curve.points:
            path = polyline([(scene.x(a), scene.y(b)) for a, b in curve.points])
            drawn = f'{stroke(look, sheet.palette)} stroke-linejoin="round"'
            sheet.out.append(f'<path d="{path}" {drawn}><title>{esc(curve.name)}</title></path>')


def _dots(sheet: Sheet, scene: Scene, dots: Sequence[Dot]) -> None:
    bars, marks = [], []
    for dot in dots:
        for (a, b), (c, d) in _bars(sheet, dot, scene.x, scene.y):
            ends = (
                f"M{a:.1f},{b - 3:.1f}v6M{c:.1f},{d - 3:.1f}v6"
                if b == d
                else f"M{a - 3:.1f},{b:.1f}h6M{c - 3:.1f},{d:.1f}h6"
            )
            bars.append(f"M{a:.1f},{b:.1f}L{c:.1f},{d:.1f}{ends}")
        kind, size = (Shape.DIAMOND, 5.4) if dot.as_used else (Shape.CIRCLE, 4.3)
        path = shape(kind, scene.x(dot.x), scene.y(dot.y), size)
        rim = f'stroke="{sheet.palette.paper}" stroke-width="1.2"'
        marks.append(f'<path d="{path}" {rim}><title>{esc(dot.said)}</title></path>')
    sheet.draw_marks(bars, marks)


def _margin(sheet: Sheet, scene: Scene, named: list[tuple[Curve, Block]]) -> None:
    """Names of curves at their right ends, moved apart where they would meet."""
    area = scene.area
    ends = [(scene.x(curve.points[-1][0]), scene.y(curve.points[-1][1])) for curve, _ in named]
    tops = stack([ey - 7 for _, ey in ends], [of.high + 3 for _, of in named], area.top - 4, area.bottom + 6)
    leads = []
    for (curve, of), (ex, ey), top in zip(named, ends, tops, strict=True):
        level = top + 7
        lead = abs(level - ey) > 3 or ex < area.right - 8
        if lead:
            leads.append(f"M{ex + 2:.1f},{ey:.1f}L{area.right + 7:.1f},{level:.1f}")
        tone = LEVEL_LOOK[curve.role][0]
        words = [
            sheet.say(
                Label(line, tone, area.right + 10, top + 11.5 + LEAD * i, "start", (ex, ey), curve.points[-1][0],
                      lead=lead and not i)
            )
            for i, line in enumerate(of.lines)
        ]  # fmt: skip
        sheet.group(f'fill="{getattr(sheet.palette, tone)}"', words)
    if leads:
        sheet.out.append(f'<path d="{"".join(leads)}" fill="none" stroke="{sheet.palette.soft}" stroke-width="0.8"/>')
