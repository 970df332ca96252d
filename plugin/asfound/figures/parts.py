"""Small pieces of a drawing: text, paths, markers, and the search for room for a label."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import chain, pairwise

from msgspec import Struct, field

from .lettering import text_width
from .palette import Palette
from .spec import Line, LineRole, Pattern, Point, Shape

SIZE = 13.5
"""Type size of a drawing, in its own unit (one CSS pixel at natural width)."""

DASH = {
    Pattern.SOLID: "",
    Pattern.DASHED: ' stroke-dasharray="6 4"',
    Pattern.DOTTED: ' stroke-dasharray="1.5 3.5" stroke-linecap="round"',
    Pattern.DASH_DOT: ' stroke-dasharray="8 3 1.5 3"',
}

LINE_LOOK = {
    LineRole.LIMIT: ("mark", 1.5, Pattern.DASHED),
    LineRole.NOMINAL: ("soft", 1.0, Pattern.SOLID),
    LineRole.PRACTICE: ("mark", 1.5, Pattern.DASH_DOT),
}

_COLUMN, _HAIR = 24.0, 1e-6
_Piece = tuple[int, float, float, tuple[float, float], tuple[float, float]]
"""A piece of a stroke: its first column, its highest and its lowest pixel, and both its ends."""

PASS_AND_OPEN = "pass, another limit not assessable"
"""Of a reading that meets the limits which decide it, where another cannot be held against it."""

QUIET = frozenset({"", "pass", PASS_AND_OPEN, "no requirement"})
"""Outcome words that need no label beside the point; every other word is written out where it happened."""


def esc(text: str) -> str:
    """Text made safe for element content and for quoted attributes; control characters become a visible box.

    XML 1.0 has no way to write them (section 2.2), so one of them would make the whole drawing unreadable.
    """
    if not text.isprintable():
        text = "".join(c if c.isprintable() or c in "\u00a0\u2009\u202f" else "\ufffd" for c in text)
    # One after the other, the ampersand first: five times as fast as a table of characters.
    text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return text.replace('"', "&quot;").replace("'", "&#39;")


def polyline(places: Sequence[tuple[float, float]], *, close: bool = False) -> str:
    """Path data through pixel places, to a tenth of a pixel."""
    data = "M" + ("%.1f,%.1fL" * len(places))[:-1] % tuple(chain.from_iterable(places))
    return data + "Z" if close else data


def text(x: float, y: float, words: str, *, anchor: str = "", more: str = "") -> str:
    """One line of text with its baseline at (x, y)."""
    end = f' text-anchor="{anchor}"' if anchor else ""
    return f'<text x="{x:.1f}" y="{y:.1f}"{end}{more}>{esc(words)}</text>'


def segment(x1: float, y1: float, x2: float, y2: float, more: str = "") -> str:
    """A straight line."""
    return f'<path d="M{x1:.1f},{y1:.1f}L{x2:.1f},{y2:.1f}"{more}/>'


def shape(kind: Shape, x: float, y: float, r: float = 4.3) -> str:
    """Path data of a marker, each of about the same area."""
    if kind is Shape.SQUARE:
        r *= 0.89
        return f"M{x - r:.1f},{y - r:.1f}h{2 * r:.1f}v{2 * r:.1f}h{-2 * r:.1f}Z"
    if kind is Shape.DIAMOND:
        r *= 1.25
        return f"M{x:.1f},{y - r:.1f}l{r:.1f},{r:.1f}l{-r:.1f},{r:.1f}l{-r:.1f},{-r:.1f}Z"
    if kind is Shape.TRIANGLE:
        r *= 1.2
        return f"M{x:.1f},{y - r:.1f}L{x + r:.1f},{y + 0.75 * r:.1f}H{x - r:.1f}Z"
    return f"M{x - r:.1f},{y:.1f}a{r:.1f},{r:.1f} 0 1 0 {2 * r:.1f},0a{r:.1f},{r:.1f} 0 1 0 {-2 * r:.1f},0Z"


def point_words(point: Point) -> str:
    """All that is known of a reading in one line, for the tip of the pointer."""
    parts = [
        point.x_text,
        point.said,
        point.outcome,
        f"void: {point.excluded}" if point.excluded else "",
        point.ref,
    ]
    return ", ".join(p for p in parts if p)


def flag(point: Point) -> str:
    """The word that must stand beside a point wherever it is drawn, or nothing."""
    if point.excluded:
        return "void"
    return "" if point.outcome in QUIET else point.outcome


def tone(point: Point) -> str:
    """The name of the colour that repeats what the verdict word says."""
    if point.excluded:
        return "soft"
    return "bad" if point.outcome in ("fail", "conditional fail") else "ink"


def marker(point: Point, kind: Shape, x: float, y: float, palette: Palette) -> str:
    """A reading: filled, in the warning colour where it is outside a limit, hollow and crossed where it is
    void."""
    tip = f"<title>{esc(point_words(point))}</title>"
    if point.excluded:
        cross = f"M{x - 6:.1f},{y + 6:.1f}L{x + 6:.1f},{y - 6:.1f}"
        look = f'fill="{palette.paper}" stroke="{palette.soft}" stroke-width="1.5"'
        return f"<g {look}>{tip}<path d='{shape(kind, x, y)}'/><path d='{cross}'/></g>".replace("'", '"')
    look = ""
    if point.outcome in ("fail", "conditional fail"):
        look = f' fill="{palette.bad}"'
    elif point.bound.value != "exact":
        look = f' fill="{palette.paper}" stroke="{palette.ink}" stroke-width="1.6"'
    return f'<path d="{shape(kind, x, y)}"{look}>{tip}</path>'


def line_style(line: Line, palette: Palette) -> str:
    """Stroke attributes of a limit, a nominal line or a common-practice line."""
    colour, width, pattern = LINE_LOOK[line.role]
    return f' stroke="{getattr(palette, colour)}" stroke-width="{width}"{DASH[pattern]}'


class Room(Struct):
    """What is already drawn, so that a label can look for a free place.

    Boxes are (left, top, right, bottom); strokes are pixel polylines. ``edge`` is the box labels must stay
    in.
    """

    edge: tuple[float, float, float, float]
    boxes: list[tuple[float, float, float, float]] = field(default_factory=list)
    strokes: list[Sequence[tuple[float, float]]] = field(default_factory=list)
    _columns: dict[int, list[_Piece]] = field(default_factory=dict)
    _sorted: int = 0

    def dot(self, x: float, y: float, half: float = 6.0) -> None:
        """Keep the room of a marker."""
        self.boxes.append((x - half, y - half, x + half, y + half))

    def cost(self, box: tuple[float, float, float, float]) -> float:
        """How much of what is drawn a label in ``box`` would hide; zero is a free place."""
        left, top, right, bottom = box
        total = 0.0
        for a, b, c, d in self.boxes:
            wide, high = min(right, c) - max(left, a), min(bottom, d) - max(top, b)
            if wide > 0 and high > 0:
                total += 40 + wide * high
        total += 12.0 * self._crossed(box)
        a, b, c, d = self.edge
        out = max(0, a - left) + max(0, right - c) + max(0, b - top) + max(0, bottom - d)
        return total + 60 * out

    def _crossed(self, box: tuple[float, float, float, float]) -> int:
        """How many pieces of strokes pass through a box. Pieces are kept by the columns of pixels they stand in, so
        that only those near the box are asked."""
        self._sort()
        left, top, right, bottom = box
        # A hair of room, so that a piece that is looked at more closely is never left out for its rounding.
        above, below = top - _HAIR, bottom + _HAIR
        count, begin = 0, math.floor((left - _HAIR) / _COLUMN)
        for column in range(begin, math.floor((right + _HAIR) / _COLUMN) + 1):
            for first, high, low, p, q in self._columns.get(column, ()):
                # A piece that stands in several columns counts where it, or the box, begins.
                if (column == begin or first == column) and low >= above and high <= below and _crosses(p, q, box):
                    count += 1
        return count

    def _sort(self) -> None:
        """Put strokes that came since the last look into their columns."""
        for stroke in self.strokes[self._sorted :]:
            for p, q in pairwise(stroke):
                (a, b), (c, d) = p, q
                first, last = math.floor(min(a, c) / _COLUMN), math.floor(max(a, c) / _COLUMN)
                piece = (first, min(b, d), max(b, d), p, q)
                for column in range(first, last + 1):
                    self._columns.setdefault(column, []).append(piece)
        self._sorted = len(self.strokes)

    def label(
        self,
        x: float,
        y: float,
        words: str,
        places: Iterable[tuple[float, float, str]],
        *,
        bold: bool = False,
        stem: bool = False,
    ) -> tuple[float, float, str]:
        """The best of several ``places`` (dx, dy of the baseline, anchor) for ``words`` about (x, y); it
        is then taken."""
        width = text_width(words, SIZE, bold=bold)
        best: tuple[float, tuple[float, float, str], tuple[float, float, float, float]] | None = None
        for dx, dy, anchor in places:
            at, base = x + dx, y + dy
            left = at - (width / 2 if anchor == "middle" else width if anchor == "end" else 0)
            if anchor == "middle":
                left = max(self.edge[0], min(left, self.edge[2] - width))
                at = left + width / 2
            box = (left - 2, base - SIZE * 0.8, left + width + 2, base + SIZE * 0.28)
            cost = self.cost(box)
            if stem and anchor == "middle":
                # The stroke that joins label and point must not run through another reading.
                near, far = (y + 9, box[1]) if base > y else (box[3], y - 9)
                cost += 3 * sum(1 for b in self.boxes if b[0] < x < b[2] and b[1] < far and b[3] > near) * 40
            if best is None or cost < best[0] - 1e-9:
                best = (cost, (at, base, anchor), box)
            if cost == 0:
                break
        if best is None:
            raise ValueError("a label needs at least one place to try")
        self.boxes.append(best[2])
        return best[1]


def _crosses(p: tuple[float, float], q: tuple[float, float], box: tuple[float, float, float, float]) -> bool:
    """Whether a segment passes through a box (Liang and Barsky's clipping)."""
    left, top, right, bottom = box
    enter, leave = 0.0, 1.0
    dx, dy = q[0] - p[0], q[1] - p[1]
    for step, room in ((-dx, p[0] - left), (dx, right - p[0]), (-dy, p[1] - top), (dy, bottom - p[1])):
        if step == 0:
            if room < 0:
                return False
            continue
        t = room / step
        if step < 0:
            enter = max(enter, t)
        else:
            leave = min(leave, t)
        if enter > leave:
            return False
    return True
