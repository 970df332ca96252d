"""What every drawing shares: shaded regions, the x axis, bars of doubt, colours by meaning."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from .lettering import text_width, wrap
from .palette import Palette
from .parts import SIZE, segment, text
from .scale import Ruler, rulers
from .spec import Bound, Chart, Point, Scale, SpanRole

Map = Callable[[float], float]
"""From axis units to pixels."""


class Area(Struct):
    """The plotting area in pixels."""

    left: float
    top: float
    right: float
    bottom: float


class Label(Struct, frozen=True):
    """Words of the drawing with their place, kept so that the live copy can set them exactly as the drawing does.

    ``at`` and ``base`` are the pixels of the anchor and of the baseline, ``tone`` the name of the colour. ``spot`` is
    the pixel place of the thing the words belong to, with ``x`` its place on the x axis; without it the words belong to
    the sheet: to the left edge of the plot, or to its middle. ``lead`` asks for a stroke from the words to the spot.
    """

    words: str
    tone: str
    at: float
    base: float
    anchor: str
    spot: tuple[float, float] | None = None
    x: float = 0.0
    bold: bool = False
    lead: bool = False


class Sheet:
    """One drawing in the making: ``out`` collects its elements in order, ``labels`` its words.

    ``swatches`` are the key of regions whose words stand above the plot: number of the region, left and top of each.
    ``area`` is the plotting area and ``row_place`` the pixel height of a reading in a row, given its series' number;
    both are known once the chart is drawn.
    """

    def __init__(self, chart: Chart, palette: Palette, width: float) -> None:
        self.chart, self.palette, self.width = chart, palette, width
        self.narrow = width < 520
        self.out: list[str] = []
        self.labels: list[Label] = []
        self.swatches: list[tuple[int, float, float]] = []
        self.area = Area(0.0, 0.0, width, 0.0)
        self.row_place: Callable[[float, int], float] = lambda at, series: at
        self.x_ruler, self.y_ruler = rulers(chart)

    def say(self, label: Label) -> str:
        """Keep a label and answer its text element."""
        self.labels.append(label)
        return text(label.at, label.base, label.words, anchor="" if label.anchor == "start" else label.anchor)

    def group(self, look: str, parts: list[str]) -> None:
        """Add parts that share a look."""
        if parts:
            self.out.append(f"<g {look}>{''.join(parts)}</g>")

    def span_lines(self) -> list[tuple[list[str], int]]:
        """The words of each region, broken to the width, with the index of the region."""
        return [(wrap(s.words, SIZE, self.width - 8), i) for i, s in enumerate(self.chart.spans) if s.words]

    def spans(self, area: Area, x: Map, head: float) -> None:
        """Shade the regions; their words stand in the strip above the plot, joined to their region."""
        base = head
        words: list[str] = []
        for lines, index in self.span_lines():
            span = self.chart.spans[index]
            a = x(span.low) if span.low is not None else area.left
            b = x(span.high) if span.high is not None else area.right
            a, b = max(area.left, min(a, b)), min(area.right, max(a, b))
            window = span.role is SpanRole.WINDOW
            fill, depth = (self.palette.mark, 0.12) if window else (self.palette.soft, 0.14)
            edge = segment(a, base + 5, b, base + 5) if b - a > 1 else ""
            self.out.append(
                f'<g stroke="{fill}"><rect x="{a:.1f}" y="{area.top:.1f}" width="{b - a:.1f}" stroke="none" '
                f'height="{area.bottom - area.top:.1f}" fill="{fill}" fill-opacity="{depth}"/>'
                f"{edge}{segment(a, base + 5, a, area.top)}{segment(b, base + 5, b, area.top)}</g>"
            )
            for line in lines:
                wide = text_width(line, SIZE)
                left = max(0.0, min(a, self.width - wide - 2))
                words.append(self.say(Label(line, "soft", left, base, "start", (a, area.top), self._edge(span.low))))
                base += 17
            base += 5
        # A rim of paper: the stroke that joins a region to its words may run down through those of another.
        self.group(self.halo("soft"), words)

    def _edge(self, low: float | None) -> float:
        return self.x_ruler.low if low is None else max(low, self.x_ruler.low)

    def x_axis(self, area: Area, x: Map) -> None:
        """Axis line, ticks that have room, and the title."""
        base, labels = area.bottom, []
        marks = [f"M{area.left:.1f},{base:.1f}H{area.right:.1f}"]
        taken = -1e9
        for tick in self.x_ruler.ticks:
            at = x(tick.value)
            if not area.left - 0.5 <= at <= area.right + 0.5:
                continue
            marks.append(f"M{at:.1f},{base:.1f}v5")
            half = text_width(tick.text, SIZE) / 2
            if at - half > taken + 7:
                labels.append(text(at, base + 19, tick.text, anchor="middle"))
                taken = at + half
        self.out.append(f'<path d="{"".join(marks)}" fill="none" stroke="{self.palette.ink}" stroke-width="1.2"/>')
        for i, line in enumerate(wrap(self.chart.x.title, SIZE, self.width - 8)):
            middle = (area.left + area.right) / 2
            half = text_width(line, SIZE) / 2
            middle = max(half, min(middle, self.width - half))
            labels.append(self.say(Label(line, "soft", middle, base + 40 + 17 * i, "middle")))
        self.group(f'fill="{self.palette.soft}"', labels)

    def x_axis_height(self) -> float:
        """Room under the axis."""
        return 46.0 + 17 * (len(wrap(self.chart.x.title, SIZE, self.width - 8)) - 1)

    def halo(self, tone: str, *, bold: bool = False) -> str:
        """A look for words inside the plot: a rim of paper keeps them readable on lines."""
        weight = ' font-weight="600"' if bold else ""
        return (
            f'fill="{getattr(self.palette, tone)}" stroke="{self.palette.paper}" stroke-width="3.5" '
            f'stroke-linejoin="round" paint-order="stroke"{weight}'
        )

    def arrow(self, point: Point, x: float, y: float, *, along_x: bool) -> str:
        """An arrow towards where the true value lies, for a reading known only on one side."""
        if point.bound is Bound.EXACT:
            return ""
        way = 1 if point.bound is Bound.ABOVE else -1
        if along_x:
            return f"M{x:.1f},{y:.1f}h{way * 24}m{-way * 6},-4l{way * 6},4l{-way * 6},4"
        return f"M{x:.1f},{y:.1f}v{-way * 24}m-4,{way * 6}l4,{-way * 6}l4,{way * 6}"

    def doubt(self, point: Point, x: float, y: float, ruler: Ruler, to_room: Map, *, along_x: bool) -> str:
        """The bar of doubt, ended by short strokes."""
        if not point.doubt:
            return ""
        value = point.x if along_x else point.y
        low = value - point.doubt
        if ruler.scale is Scale.LOG and low <= ruler.low:
            low = ruler.low
        a, b = to_room(low), to_room(value + point.doubt)
        if along_x:
            return f"M{a:.1f},{y - 3:.1f}v6M{a:.1f},{y:.1f}H{b:.1f}M{b:.1f},{y - 3:.1f}v6"
        return f"M{x - 3:.1f},{a:.1f}h6M{x:.1f},{a:.1f}V{b:.1f}M{x - 3:.1f},{b:.1f}h6"

    def draw_marks(self, bars: list[str], dots: list[str]) -> None:
        """Bars first, markers above them."""
        stroke = "".join(bars)
        if stroke:
            self.out.append(f'<path d="{stroke}" fill="none" stroke="{self.palette.ink}" stroke-width="1.6"/>')
        self.out.extend(dots)
