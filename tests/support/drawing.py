"""A small drawing board: shapes in ink on paper, the same bytes every time.

Everything is drawn at twice its size and brought down, so that lines come out smooth. Lettering uses the face
that Pillow itself carries, so no font of the machine has a say.
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence

from PIL import Image, ImageDraw, ImageFont

WIDE, HIGH, FINE = 1200, 800, 2

PAPER, SHADE, INK, MID, FAINT = "#f3eee3", "#e4dccb", "#2b2a27", "#6f6a60", "#c9c1b0"
CASE, CASE_DARK, STEEL, STEEL_DARK = "#d9dcd8", "#aeb4b1", "#c3c9cb", "#8e979b"
GLASS, LIT, UNLIT = "#22302f", "#f0a63c", "#5c6663"
CLOTH, CLOTH_DARK, GEL, GEL_WET, FOAM, MARK = "#9bb5b0", "#7c9994", "#d8d4bd", "#b3ad86", "#efe9da", "#a3552f"
BLACK, GREY, WHITE, BAG = "#3a3a39", "#7d7f7e", "#fbf9f4", "#e9ecec"

Point = tuple[float, float]


class Board:
    """One picture of 1200 by 800 points, origin at the top left."""

    def __init__(self, ground: str = PAPER) -> None:
        self.image = Image.new("RGB", (WIDE * FINE, HIGH * FINE), ground)
        self.pen = ImageDraw.Draw(self.image)

    def _at(self, points: Sequence[Point]) -> list[tuple[float, float]]:
        return [(x * FINE, y * FINE) for x, y in points]

    def box(
        self, x: float, y: float, w: float, h: float, fill: str | None = None, ink: str | None = INK,
        round_: float = 0, width: float = 2,
    ) -> None:  # fmt: skip
        """A rectangle, rounded where asked."""
        self.pen.rounded_rectangle(
            [x * FINE, y * FINE, (x + w) * FINE, (y + h) * FINE],
            radius=round_ * FINE, fill=fill, outline=ink, width=round(width * FINE) if ink else 0,
        )  # fmt: skip

    def disc(
        self, x: float, y: float, rx: float, ry: float | None = None, fill: str | None = None, ink: str | None = INK,
        width: float = 2,
    ) -> None:  # fmt: skip
        """A circle or an ellipse about its centre."""
        ry = rx if ry is None else ry
        self.pen.ellipse(
            [(x - rx) * FINE, (y - ry) * FINE, (x + rx) * FINE, (y + ry) * FINE],
            fill=fill, outline=ink, width=round(width * FINE) if ink else 0,
        )  # fmt: skip

    def line(self, points: Sequence[Point], ink: str = INK, width: float = 2) -> None:
        """A line through points, with round joints."""
        self.pen.line(self._at(points), fill=ink, width=round(width * FINE), joint="curve")

    def shape(self, points: Sequence[Point], fill: str | None = None, ink: str | None = INK, width: float = 2) -> None:
        """A closed outline."""
        self.pen.polygon(self._at(points), fill=fill)
        if ink:
            self.line([*points, points[0], points[1]], ink, width)

    def curve(self, points: Sequence[Point], ink: str = INK, width: float = 2, edge: str | None = None) -> None:
        """A cable or a soft line: a smooth curve through its points, with an edge in another ink where asked."""
        way = smooth(points)
        for thick, body in ((width + 3, edge), (width, ink)):
            if body:
                self.line(way, body, thick)
                for x, y in way:  # round joints: a wide line alone shows its corners
                    self.disc(x, y, thick / 2, fill=body, ink=None)

    def text(self, x: float, y: float, words: str, size: float = 22, ink: str = INK, anchor: str = "lm") -> None:
        """Lettering; the anchor is Pillow's."""
        self.pen.text((x * FINE, y * FINE), words, fill=ink, font=ImageFont.load_default(size * FINE), anchor=anchor)

    def hatch(self, x: float, y: float, w: float, h: float, step: float = 10, ink: str = FAINT) -> None:
        """Slanting lines: a cut, a shadow, a cloth."""
        at = -h
        while at < w:
            x0, y0 = max(at, 0), h + min(at, 0)
            x1, y1 = min(at + h, w), h - (min(at + h, w) - at)
            self.line([(x + x0, y + y0), (x + x1, y + y1)], ink, 1)
            at += step

    def ground(self, y: float, fill: str = SHADE) -> None:
        """A bench or a floor, from a height down."""
        self.box(-4, y, WIDE + 8, HIGH - y + 8, fill, None)
        self.line([(0, y), (WIDE, y)], FAINT, 2)

    def shadow(self, x: float, y: float, rx: float, ry: float = 10, fill: str = "#d6cdb9") -> None:
        """What a thing casts on the bench."""
        self.disc(x, y, rx, ry, fill, None)

    def scale(self, x: float, y: float, per_cm: float, cm: int = 5) -> None:
        """A bar of whole centimetres, lettered."""
        self.box(x - 14, y - 34, per_cm * cm + 28, 62, WHITE, MID, 4, 1)
        for i in range(cm):
            self.box(x + i * per_cm, y - 8, per_cm, 12, INK if i % 2 == 0 else WHITE, INK, width=1)
        for i in range(cm + 1):
            self.text(x + i * per_cm, y - 20, str(i), 14, INK, "mm")
        self.text(x + per_cm * cm / 2, y + 17, "centimetres", 14, MID, "mm")

    def tag(self, x: float, y: float, lines: Sequence[str], w: float = 300, size: float = 20) -> None:
        """A paper tag with a hole and a few lines."""
        h = 26 + len(lines) * size * 1.45
        self.box(x, y, w, h, WHITE, MID, 8, 1.5)
        self.disc(x + 18, y + h / 2, 7, fill=SHADE, ink=MID, width=1.5)
        for i, words in enumerate(lines):
            self.text(x + 38, y + 13 + size * 0.75 + i * size * 1.45, words, size)

    def screw(self, x: float, y: float, turn: float = 0.6) -> None:
        """A slotted screw head."""
        self.disc(x, y, 9, fill=STEEL, ink=STEEL_DARK, width=1.5)
        dx, dy = 7 * math.cos(turn), 7 * math.sin(turn)
        self.line([(x - dx, y - dy), (x + dx, y + dy)], STEEL_DARK, 2)

    def jpeg(self) -> bytes:
        """The picture, with the note that it is drawn; no metadata."""
        self.text(WIDE - 18, HIGH - 16, "drawn for an invented case", 13, MID, "rm")
        out = io.BytesIO()
        small = self.image.resize((WIDE, HIGH), Image.Resampling.LANCZOS)
        small.save(out, "JPEG", quality=84, optimize=True, subsampling=0)
        return out.getvalue()


def smooth(points: Sequence[Point], steps: int = 18) -> list[Point]:
    """A Catmull-Rom curve through the points."""
    if len(points) < 3:
        return list(points)
    padded = [points[0], *points, points[-1]]
    way: list[Point] = []
    for a, b, c, d in zip(padded, padded[1:], padded[2:], padded[3:], strict=False):
        for i in range(steps):
            t = i / steps
            way.append(
                (
                    0.5 * (2 * b[0] + (c[0] - a[0]) * t + (2 * a[0] - 5 * b[0] + 4 * c[0] - d[0]) * t**2
                           + (3 * b[0] - a[0] - 3 * c[0] + d[0]) * t**3),
                    0.5 * (2 * b[1] + (c[1] - a[1]) * t + (2 * a[1] - 5 * b[1] + 4 * c[1] - d[1]) * t**2
                           + (3 * b[1] - a[1] - 3 * c[1] + d[1]) * t**3),
                )
            )  # fmt: skip
    way.append(points[-1])
    return way


def area(points: Sequence[Point]) -> float:
    """Area of a closed outline (shoelace), in square points."""
    pairs = zip(points, [*points[1:], points[0]], strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2
