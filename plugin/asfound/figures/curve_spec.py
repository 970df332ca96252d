"""What a chart of a calculation shows, in the units of the matter: curves, regions, dots, levels, bars.

Numbers come in twice, as in `spec`: as floats, which place the marks, and as texts, which people read.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from enum import StrEnum

from msgspec import Struct

Places = tuple[tuple[float, float], ...]
"""(x, y) pairs in axis units, from left to right."""


class Role(StrEnum):
    """What a curve or a level stands for; weight, pattern and colour follow from it."""

    MEASURED = "measured"
    MODEL = "model"
    LIMIT = "limit"
    NOMINAL = "nominal"
    PRACTICE = "practice"


class Entry(Struct, frozen=True):
    """A line of the table: which place of a curve or region it is (empty: one of all), and its texts."""

    which: str
    x_text: str
    y_text: str


class Curve(Struct, frozen=True):
    """A named curve. `told` is what the table says of it: every place of a short one, of a long one the first, the
    smallest, the largest and the last. `of` is how many places it had before it was made short enough to draw, and
    `ref` the record of the whole series (empty: none)."""

    name: str
    points: Places
    role: Role = Role.MEASURED
    told: tuple[Entry, ...] = ()
    of: int = 0
    ref: str = ""


class Region(Struct, frozen=True):
    """The room between two edges, with the words that say what it is."""

    words: str
    lower: Places
    upper: Places
    told: tuple[Entry, ...] = ()


class Dot(Struct, frozen=True):
    """A reading or an exposure; `dx` and `dy` are half-lengths of its bars of doubt. `text` stands beside it."""

    x: float
    y: float
    text: str
    x_text: str
    y_text: str
    dx: float | None = None
    dy: float | None = None
    ref: str = ""
    as_used: bool = False

    @property
    def named(self) -> str:
        """Its words, with *as used* before them where it is that point."""
        return f"as used: {self.text}" if self.as_used and "as used" not in self.text.casefold() else self.text

    @property
    def said(self) -> str:
        """All that is known of it, in one line."""
        return ", ".join(part for part in (self.named, self.x_text, self.y_text, self.ref) if part)


class Level(Struct, frozen=True):
    """A straight line across the plot at `value` of the axis (`x` or `y`), with the words that stand at it."""

    axis: str
    value: float
    words: str
    text: str
    role: Role = Role.LIMIT


class Bar(Struct, frozen=True):
    """A part of a sum in a row: from where to where it reaches, as numbers and as texts; `text` stands beside it.

    `sum_text` is the running sum where the bars add up, else empty.
    """

    row: int
    start: float
    end: float
    text: str
    start_text: str
    end_text: str
    sum_text: str = ""
    ref: str = ""

    @property
    def named(self) -> str:
        """Its words, with the running sum."""
        return f"{self.text}, together {self.sum_text}" if self.sum_text else self.text


class Shown(Struct, frozen=True):
    """All that a chart of a calculation shows.

    Raises ``ValueError`` for what cannot be placed: a number that is not finite, a doubt below zero, a level of no
    axis, and beside bars anything that needs a second axis of numbers.
    """

    curves: tuple[Curve, ...] = ()
    regions: tuple[Region, ...] = ()
    dots: tuple[Dot, ...] = ()
    levels: tuple[Level, ...] = ()
    bars: tuple[Bar, ...] = ()

    def __post_init__(self) -> None:
        for level in self.levels:
            if level.axis not in {"x", "y"}:
                raise ValueError(f"level {level.words!r}: no axis {level.axis!r}; x or y was needed")
        if self.bars and (self.curves or self.regions or self.dots or any(one.axis == "y" for one in self.levels)):
            raise ValueError("beside bars stand levels of the x axis and nothing else")
        for dot in self.dots:
            if min(dot.dx or 0.0, dot.dy or 0.0) < 0:
                raise ValueError(f"reading {dot.ref or dot.text}: doubt below zero")
        for number in (*self.numbers("x"), *self.numbers("y")):
            if not math.isfinite(number):
                raise ValueError(f"{number!r} is not a finite number and cannot be placed on a chart")

    def numbers(self, axis: str, *, log: bool = False) -> Iterator[float]:
        """Every number an axis must be able to show, with bars of doubt; on a logarithmic axis a bar that reaches zero
        has no end and is drawn to the edge."""
        at = 0 if axis == "x" else 1
        for curve in self.curves:
            yield from (place[at] for place in curve.points)
        for region in self.regions:
            yield from (place[at] for edge in (region.lower, region.upper) for place in edge)
        for dot in self.dots:
            centre, half = (dot.x, dot.dx) if axis == "x" else (dot.y, dot.dy)
            yield centre
            if half:
                yield centre + half
                if not log or centre > half:
                    yield centre - half
        yield from (level.value for level in self.levels if level.axis == axis)
        if axis == "x":
            yield from (end for bar in self.bars for end in (bar.start, bar.end))
