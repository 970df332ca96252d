"""Drawing of readings in named rows: leakage by condition, trip values of a monitor."""

from __future__ import annotations

from msgspec import Struct

from .lettering import text_width, wrap
from .parts import SIZE, Room, flag, line_style, marker, polyline, shape, tone
from .scale import place
from .sheet import Area, Label, Map, Sheet
from .spec import Bound, Point, Series, Shape

_LABEL_GAP = 20.0
_MANY = 16
_LEAD = 17.0
_DODGE = 19.0


class _Table(Struct):
    """Where the rows are: centre and height of each, and the left column with the names."""

    names: list[list[str]]
    centres: list[float]
    heights: list[float]
    column: float
    end: float

    def y(self, at: float) -> float:
        """Pixels of a place counted in rows; fractions stay with the row they are nearest to."""
        row = min(max(round(at), 0), len(self.centres) - 1)
        return self.centres[row] + (at - row) * self.heights[row]


def draw_rows(sheet: Sheet) -> float:
    """Draw a chart with named rows; the answer is its height."""
    chart, palette = sheet.chart, sheet.palette
    many = len(chart.series) > 1
    strips = sum(17 * len(lines) + 5 for lines, _ in sheet.span_lines())
    keys = _key_lines(sheet) if many else []
    top = 8.0 + 22 * len(keys) + strips
    table = _table(sheet, top)
    area = Area(table.column + 14, top, sheet.width - 14, table.end)
    sheet.area = Area(area.left + 8, area.top, area.right, area.bottom)
    sheet.row_place = lambda at, series: table.y(at) + (series - (len(chart.series) - 1) / 2) * _DODGE
    x = place(sheet.x_ruler, area.left + 8, area.right)
    for i, line in enumerate(keys):
        _key(sheet, line, 14.0 + 22 * i)
    if strips:
        sheet.spans(area, x, 8.0 + 22 * len(keys) + 10)
    grid = [f"M{x(t.value):.1f},{area.top:.1f}V{area.bottom:.1f}" for t in sheet.x_ruler.ticks]
    sheet.out.append(f'<path d="{"".join(grid)}" fill="none" stroke="{palette.rule}"/>')
    guides = "".join(f"M{area.left:.1f},{c:.1f}H{area.right:.1f}" for c in table.centres)
    sheet.out.append(f'<path d="{guides}" fill="none" stroke="{palette.rule}" stroke-dasharray="1 3"/>')
    names = [
        sheet.say(Label(line, "ink", table.column, c + 4.5 + _LEAD * (i - (len(lines) - 1) / 2), "end"))
        for c, lines in zip(table.centres, table.names, strict=True)
        for i, line in enumerate(lines)
    ]
    sheet.group(f'fill="{palette.ink}"', names)
    room = Room((area.left, area.top - 18, sheet.width - 2, area.bottom))
    _limits(sheet, area, x, table, room)
    sheet.x_axis(area, x)
    _readings(sheet, x, table, room)
    gaps = [
        sheet.say(Label(_fit(sheet, w.said), "warn", area.left + 12, table.y(w.row) + 4.5, "start"))
        for w in chart.words
    ]
    sheet.group(sheet.halo("warn"), gaps)
    return area.bottom + sheet.x_axis_height()


def _fit(sheet: Sheet, words: str) -> str:
    """On a narrow drawing the reason stays in the table behind the chart; the words themselves always
    stand."""
    return words if text_width(words, SIZE) < sheet.width * 0.56 else words.partition(":")[0]


def _table(sheet: Sheet, top: float) -> _Table:
    chart = sheet.chart
    most = sheet.width * (0.34 if sheet.narrow else 0.32)
    names = [wrap(name, SIZE, most) for name in chart.y.categories]
    column = max(text_width(line, SIZE) for lines in names for line in lines) + 2
    dodge = len(chart.series)
    # Many rows stand closer, so that their words are not set too small for a page of paper.
    least, room = (30.0, 12.0) if len(names) <= _MANY else (20.0, 5.0)
    heights = [max(least, 19.0 * dodge + room - 2, _LEAD * len(lines) + room) for lines in names]
    labelled = {round(line.points[0][1] + 0.01) for line in chart.lines if line.label and line.points}
    centres: list[float] = []
    at = top
    for row, height in enumerate(heights):
        at += _LABEL_GAP if row in labelled else 0.0
        centres.append(at + height / 2)
        at += height
    return _Table(names, centres, heights, column, at + 4)


def _key_lines(sheet: Sheet) -> list[list[Series]]:
    """Series named once above the rows, since several stand in every row; broken to the width."""
    lines: list[list[Series]] = [[]]
    used = 0.0
    for series in sheet.chart.series:
        wide = text_width(series.name, SIZE) + 40
        if lines[-1] and used + wide > sheet.width:
            lines.append([])
            used = 0.0
        lines[-1].append(series)
        used += wide
    return lines


def _key(sheet: Sheet, line: list[Series], base: float) -> None:
    at = 6.0
    for series in line:
        kind = Shape.CIRCLE if series.shape is Shape.NONE else series.shape
        sheet.out.append(f'<path d="{shape(kind, at, base - 4.5)}"/>')
        sheet.out.append(sheet.say(Label(series.name, "ink", at + 11, base, "start")))
        at += text_width(series.name, SIZE) + 40


def _limits(sheet: Sheet, area: Area, x: Map, table: _Table, room: Room) -> None:
    """Each limit stands in the rows it applies to, with its words above the first of them."""
    words: list[str] = []
    for line in sheet.chart.lines:
        if not line.points:
            continue
        places = [(x(a), table.y(b)) for a, b in line.points]
        sheet.out.append(f'<path d="{polyline(places)}" fill="none"{line_style(line, sheet.palette)}/>')
        room.strokes.append(places)
        if line.label:
            px, py = min(places, key=lambda p: p[1])
            tries = [(0.0, -5.0, "middle"), (-2.0, -5.0, "end"), (2.0, -5.0, "start"), (0.0, -20.0, "middle")]
            at, base, anchor = room.label(px, py, line.label, tries)
            words.append(sheet.say(Label(line.label, "mark", at, base, anchor, (px, py), line.points[0][0])))
    sheet.group(sheet.halo("mark"), words)


def _readings(sheet: Sheet, x: Map, table: _Table, room: Room) -> None:
    spots: list[tuple[Point, float, float]] = []
    bars: list[str] = []
    dots: list[str] = []
    for k, series in enumerate(sheet.chart.series):
        worst = {row: _worst(series, row) for row in range(len(table.centres))}
        for point in series.points:
            px, py = x(point.x), sheet.row_place(point.y, k)
            bars.append(sheet.doubt(point, px, py, sheet.x_ruler, x, along_x=True))
            bars.append(sheet.arrow(point, px, py, along_x=True))
            kind = Shape.CIRCLE if series.shape is Shape.NONE else series.shape
            dots.append(marker(point, kind, px, py, sheet.palette))
            reach = x(point.x + point.doubt) - px if point.doubt else 0.0
            back = (
                px - x(point.x - point.doubt) if point.doubt and point.x - point.doubt >= sheet.x_ruler.low else reach
            )
            room.boxes.append((px - max(6.0, back), py - 6, px + max(6.0, reach), py + 6))
            if point is worst[int(point.y)] or flag(point):
                spots.append((point, px, py))
    sheet.draw_marks(bars, dots)
    for mark in sheet.chart.marks:
        words, px, py = mark.text, x(mark.x), table.y(mark.y)
        at, base, anchor = room.label(
            px, py, words, [(0.0, -12.0, "middle"), (0.0, 22.0, "middle"), (14.0, -10.0, "start")], bold=True
        )
        sheet.group(
            sheet.halo("ink", bold=True),
            [sheet.say(Label(words, "ink", at, base, anchor, (px, py), mark.x, bold=True))],
        )
    for point, px, py in sorted(spots, key=lambda spot: (spot[2], spot[1])):
        words = _words(sheet, point)
        reach = 12 + (x(point.x + point.doubt) - px if point.doubt else 0.0)
        back = 12 + (px - x(max(point.x - point.doubt, sheet.x_ruler.low)) if point.doubt else 0.0)
        reach += 20.0 if point.bound is Bound.ABOVE else 0.0
        back += 20.0 if point.bound is Bound.BELOW else 0.0
        # Where a row holds several readings, the smaller speak to the left and leave the right to the larger.
        first = any(other[2] == py and other[1] > px for other in spots)
        tries: list[tuple[float, float, str]] = []
        for further in (0, 20, 45, 80):
            sides = [(reach + further, 4.5, "start"), (-back - further, 4.5, "end")]
            tries += reversed(sides) if first else sides
        tries += [(0.0, -9.0, "middle"), (0.0, 19.0, "middle")]
        at, base, anchor = room.label(px, py, words, tries)
        sheet.group(
            sheet.halo(tone(point)), [sheet.say(Label(words, tone(point), at, base, anchor, (px, py), point.x))]
        )


def _words(sheet: Sheet, point: Point) -> str:
    full = [point.said, "void" if point.excluded else point.outcome]
    parts = [point.text, flag(point)] if sheet.narrow else full
    return ", ".join(p for p in parts if p)


def _worst(series: Series, row: int) -> Point | None:
    """The reading of a row that carries its label: the furthest along the axis among those that count."""
    here = [p for p in series.points if p.y == row]
    counted = [p for p in here if not p.excluded] or here
    return max(counted, key=lambda p: p.x, default=None)
