"""Drawing of readings over a numeric axis: output against setting, deviation, any curve."""

from __future__ import annotations

from .lettering import spread, text_width, wrap
from .parts import DASH, SIZE, Room, flag, line_style, marker, polyline, segment, text, tone
from .scale import place
from .sheet import Area, Label, Map, Sheet
from .spec import Pattern, Point, Shape

MANY = 150
"""Above this number of readings, a series with a line is drawn as its line, without a marker for each
reading."""


def draw_plane(sheet: Sheet) -> float:
    """Draw a chart with two numeric axes; the answer is its height."""
    chart, palette = sheet.chart, sheet.palette
    ends = [(line.label, line.points[-1]) for line in chart.lines if line.label and line.points]
    named = len(chart.series) > 1
    ends += [(s.name, (s.points[-1].x, s.points[-1].y)) for s in chart.series if named and s.name and s.points]
    limit = sheet.width * (0.30 if sheet.narrow else 0.26)
    blocks = [wrap(label, SIZE, limit) for label, _ in ends]
    margin = max((text_width(line, SIZE) for block in blocks for line in block), default=0.0)
    strips = sum(17 * len(lines) + 5 for lines, _ in sheet.span_lines())
    left = max(text_width(t.text, SIZE) for t in sheet.y_ruler.ticks) + 12
    right = sheet.width - (margin + 16 if margin else 12)
    top = 14.0 + 14 + strips
    area = Area(left, top, right, top + max(200.0, sheet.width * 0.42))
    sheet.area = area
    x = place(sheet.x_ruler, area.left, area.right)
    y = place(sheet.y_ruler, area.bottom, area.top)
    grid, labels = [], [sheet.say(Label(chart.y.title, "soft", 0.0, 12.0, "start"))]
    for tick in sheet.y_ruler.ticks:
        at = y(tick.value)
        grid.append(f"M{area.left:.1f},{at:.1f}H{area.right:.1f}")
        labels.append(text(area.left - 8, at + 4.5, tick.text, anchor="end"))
    sheet.group(f'fill="{palette.soft}"', labels)
    sheet.spans(area, x, 34.0)
    for band in chart.bands:
        edge = [(x(a), y(b)) for a, b in band.lower] + [(x(a), y(b)) for a, b in reversed(band.upper)]
        fill = polyline(edge, close=True)
        sheet.out.append(f'<path d="{fill}" fill="{palette.mark}" fill-opacity="0.1"/>')
    sheet.out.append(f'<path d="{"".join(grid)}" fill="none" stroke="{palette.rule}"/>')
    room = Room((area.left, area.top + 2, sheet.width, area.bottom - 2))
    _lines(sheet, x, y, room)
    sheet.x_axis(area, x)
    spots = _series(sheet, x, y, room)
    _end_labels(sheet, area, x, y, room, ends, blocks)
    _labels(sheet, x, y, room, spots)
    return area.bottom + sheet.x_axis_height()


def _lines(sheet: Sheet, x: Map, y: Map, room: Room) -> None:
    """Limits, nominal lines and curves."""
    for line in sheet.chart.lines:
        if line.points:
            places = [(x(a), y(b)) for a, b in line.points]
            room.strokes.append(places)
            sheet.out.append(f'<path d="{polyline(places)}" fill="none"{line_style(line, sheet.palette)}/>')


def _series(sheet: Sheet, x: Map, y: Map, room: Room) -> list[tuple[Point, float, float]]:
    """Lines, bars of doubt and markers of every series; the answer lists readings that must be labelled."""
    spots: list[tuple[Point, float, float]] = []
    for series in sheet.chart.series:
        long = series.pattern is not Pattern.NONE and len(series.points) > MANY
        line_only = series.shape is Shape.NONE or long
        places = [(x(p.x), y(p.y)) for p in series.points]
        if series.pattern is not Pattern.NONE and len(places) > 1:
            look = f'stroke="{sheet.palette.ink}" stroke-width="1.4"{DASH[series.pattern]}'
            sheet.out.append(f'<path d="{polyline(places)}" fill="none" {look}/>')
            room.strokes.append(places)
        bars: list[str] = []
        dots: list[str] = []
        for point, (px, py) in zip(series.points, places, strict=True):
            if line_only and not flag(point):
                continue
            kind = Shape.CIRCLE if series.shape is Shape.NONE else series.shape
            bars.append(sheet.doubt(point, px, py, sheet.y_ruler, y, along_x=False))
            bars.append(sheet.arrow(point, px, py, along_x=False))
            dots.append(marker(point, kind, px, py, sheet.palette))
            room.dot(px, py)
            if point.doubt:
                top = y(point.y + point.doubt)
                room.strokes.append([(px, top), (px, 2 * py - top)])
            if flag(point):
                spots.append((point, px, py))
        sheet.draw_marks(bars, dots)
    return spots


def _labels(sheet: Sheet, x: Map, y: Map, room: Room, spots: list[tuple[Point, float, float]]) -> None:
    """Names of marked points, then verdict words beside the readings that need them."""
    for mark in sheet.chart.marks:
        px, py = x(mark.x), y(mark.y)
        places: list[tuple[float, float, str]] = [(0, d, "middle") for d in (46, -34, 64, -52, 84, -72)]
        places += [(20, 30, "start"), (-20, -22, "end"), (26, 4, "start"), (-26, 4, "end")]
        at, base, anchor = room.label(px, py, mark.text, places, bold=True, stem=True)
        if anchor == "middle":
            far = base - SIZE * 0.9 if base > py else base + SIZE * 0.45
            near = py + 9 if base > py else py - 9
            room.strokes.append([(px, near), (px, far)])
            sheet.out.append(segment(px, near, px, far, f' stroke="{sheet.palette.ink}"'))
        sheet.group(
            sheet.halo("ink", bold=True),
            [
                sheet.say(
                    Label(mark.text, "ink", at, base, anchor, (px, py), mark.x, bold=True, lead=anchor == "middle")
                )
            ],
        )
    for point, px, py in spots:
        words = f"{point.text}, {flag(point)}" if point.text else flag(point)
        places = [(11, 4.5, "start"), (-11, 4.5, "end"), (0, -13, "middle"), (0, 22, "middle")]
        places += [(12, -10, "start"), (12, 18, "start"), (-12, -10, "end"), (-12, 18, "end")]
        places += [(0, -30, "middle"), (0, 38, "middle"), (-14, -30, "end"), (-14, 38, "end")]
        at, base, anchor = room.label(px, py, words, places)
        # A label that had to go further away is joined to its reading, so that it speaks for no other.
        lead = abs(base - py) > 24
        if lead:
            near, far = (py + 7, base - SIZE * 0.8) if base > py else (py - 7, base + SIZE * 0.35)
            sheet.out.append(segment(px, near, at, far, f' stroke="{sheet.palette.soft}" stroke-width="0.8"'))
        label = Label(words, tone(point), at, base, anchor, (px, py), point.x, lead=lead)
        sheet.group(sheet.halo(tone(point)), [sheet.say(label)])


def _end_labels(
    sheet: Sheet,
    area: Area,
    x: Map,
    y: Map,
    room: Room,
    ends: list[tuple[str, tuple[float, float]]],
    blocks: list[list[str]],
) -> None:
    """Names of lines and series at their right ends, moved apart where they would meet."""
    if not ends:
        return
    tallest = max(len(block) for block in blocks)
    wanted = [y(at[1]) for _, at in ends]
    gap = 16.0 * tallest
    places = spread(wanted, gap, area.top + 4, area.bottom - 16.0 * (tallest - 1) - 4)
    words, leads = [], []
    for (_, (ex, _)), block, target, at in zip(ends, blocks, wanted, places, strict=True):
        start = x(ex)
        lead = abs(at - target) > 4 or start < area.right - 14
        if lead:
            room.strokes.append([(start + 3, target), (area.right + 6, at)])
            leads.append(f"M{start + 3:.1f},{target:.1f}L{area.right + 6:.1f},{at:.1f}")
        for i, line in enumerate(block):
            label = Label(
                line, "soft", area.right + 9, at + 4.5 + 16 * i, "start", (start, target), ex, lead=lead and not i
            )
            words.append(sheet.say(label))
            wide = text_width(line, SIZE)
            room.boxes.append((area.right + 4, at - 8 + 16 * i, area.right + 11 + wide, at + 9 + 16 * i))
    if leads:
        sheet.out.append(f'<path d="{"".join(leads)}" fill="none" stroke="{sheet.palette.soft}" stroke-width="0.8"/>')
    sheet.group(f'fill="{sheet.palette.soft}"', words)
