"""A chart as plain data: what is shown, in the units of the matter, without a single pixel.

Numbers come in twice: as a float, which places the mark, and as the text that ``asfound.measure`` made
from the exact decimal, which is what a person reads. Nothing here rounds a reading or invents its text.

A category axis counts its categories 0, 1, 2 … from the first. A line on such an axis may use fractions:
from 0.58 to 1.42 is the height of the second row.
"""

from __future__ import annotations

import math
import re
from enum import StrEnum

from msgspec import Struct

from .curve_spec import Shown

_ID = re.compile(r"[A-Za-z][A-Za-z0-9_-]*\Z")


class ChartKind(StrEnum):
    """What question the chart answers."""

    OUTPUT_AGAINST_SETTING = "output-against-setting"
    DEVIATION = "deviation"
    LEAKAGE_BY_CONDITION = "leakage-by-condition"
    CONTACT_MONITOR_WINDOW = "contact-monitor-window"
    CUSTODY_BANDS = "custody-bands"
    TIMELINE = "timeline"
    TRUMPET = "trumpet"
    WAVEFORM = "waveform"
    DOSE = "dose"
    TRACES = "traces"
    BUILD_UP = "build-up"
    AGREEMENT = "agreement"
    FIT = "fit"


class Scale(StrEnum):
    """How an axis turns numbers into room."""

    LINEAR = "linear"
    LOG = "log"
    CATEGORY = "category"


class Shape(StrEnum):
    """Marker shapes: what tells series apart when colour is not there to do it."""

    CIRCLE = "circle"
    SQUARE = "square"
    DIAMOND = "diamond"
    TRIANGLE = "triangle"
    NONE = "none"


class Pattern(StrEnum):
    """Line patterns, for the same purpose."""

    SOLID = "solid"
    DASHED = "dashed"
    DOTTED = "dotted"
    DASH_DOT = "dash-dot"
    NONE = "none"


class LineRole(StrEnum):
    """What a drawn line stands for; it decides pattern and colour."""

    LIMIT = "limit"
    NOMINAL = "nominal"
    PRACTICE = "practice"


class SpanRole(StrEnum):
    """What a shaded region stands for."""

    NO_REQUIREMENT = "no-requirement"
    WINDOW = "window"


class Look(StrEnum):
    """How a thing was kept; each has a pattern of its own, so that no colour is needed to tell them apart."""

    HELD = "with a person"
    STORED = "in a sealed store"
    CARRIED = "on the way under seal"
    TOLD = "before custody, accounted for"
    UNTOLD = "before the log begins"
    GAP = "not accounted for"


class Bound(StrEnum):
    """A reading that is only known to lie on one side of the number shown."""

    EXACT = "exact"
    BELOW = "below"
    ABOVE = "above"


def _finite(what: str, *numbers: float | None) -> None:
    for number in numbers:
        if number is not None and not math.isfinite(number):
            raise ValueError(f"{what}: {number!r} is not a finite number and cannot be placed on a chart")


class Tick(Struct, frozen=True):
    """One labelled place on an axis: ``value`` in the axis unit, ``text`` as printed."""

    value: float
    text: str


class Axis(Struct, frozen=True):
    """An axis: what it counts, in which unit, on which scale.

    ``ticks`` empty means that round numbers are chosen. ``from_zero`` asks for zero to be on a linear
    axis, which is the honest choice wherever a length or a distance from zero is read. ``low`` and
    ``high`` may only widen the range.
    """

    label: str
    unit: str = ""
    scale: Scale = Scale.LINEAR
    ticks: tuple[Tick, ...] = ()
    categories: tuple[str, ...] = ()
    from_zero: bool = False
    low: float | None = None
    high: float | None = None

    def __post_init__(self) -> None:
        _finite(f"axis {self.label!r}", self.low, self.high, *(t.value for t in self.ticks))
        if (self.scale is Scale.CATEGORY) != bool(self.categories):
            raise ValueError(f"axis {self.label!r}: categories belong to a category axis, and one needs them")

    @property
    def title(self) -> str:
        """Label with unit, and the word *logarithmic* where equal steps mean equal factors."""
        inner = ", ".join(t for t in (self.unit, "logarithmic" if self.scale is Scale.LOG else "") if t)
        return f"{self.label} ({inner})" if inner else self.label


class Point(Struct, frozen=True):
    """One reading.

    ``x`` and ``y`` in the axis units; ``doubt`` is the half-length of the bar (expanded uncertainty) along
    the measured axis. ``text`` and ``doubt_text`` are what is printed; ``x_text`` the setting in words.
    ``ref`` is the record id, ``outcome`` the verdict word, ``excluded`` the reason why a void reading does
    not count (empty: it counts), ``bound`` says that the true value lies below or above the number.
    """

    x: float
    y: float
    text: str = ""
    doubt: float | None = None
    doubt_text: str = ""
    x_text: str = ""
    ref: str = ""
    outcome: str = ""
    excluded: str = ""
    bound: Bound = Bound.EXACT

    @property
    def said(self) -> str:
        """Value with its doubt, as one text."""
        return f"{self.text} ± {self.doubt_text}" if self.doubt_text else self.text


class Series(Struct, frozen=True):
    """Readings that belong together: one port, one accessory, one direction."""

    name: str
    points: tuple[Point, ...]
    shape: Shape = Shape.CIRCLE
    pattern: Pattern = Pattern.NONE


class Line(Struct, frozen=True):
    """A limit, a nominal line or a curve: (x, y) pairs in axis units, with the words that stand at its
    end."""

    label: str
    points: tuple[tuple[float, float], ...]
    role: LineRole = LineRole.LIMIT


class Band(Struct, frozen=True):
    """The region between two edges, both given from left to right as (x, y) pairs."""

    lower: tuple[tuple[float, float], ...]
    upper: tuple[tuple[float, float], ...]
    label: str = ""


class Span(Struct, frozen=True):
    """A region of the x axis, with its words. ``None`` reaches to the end of the axis."""

    low: float | None
    high: float | None
    words: str
    role: SpanRole = SpanRole.NO_REQUIREMENT


class Mark(Struct, frozen=True):
    """A named place, such as the point as used."""

    x: float
    y: float
    text: str


class Stretch(Struct, frozen=True):
    """A stretch of time in a row: ``start`` and ``end`` on the x axis, ``words`` to stand in the band.

    The texts are for the table and the tip of the pointer; ``open`` says that the stretch goes on.
    """

    row: int
    start: float
    end: float
    look: Look
    words: str
    start_text: str
    end_text: str
    length: str = ""
    place: str = ""
    seal: str = ""
    why: str = ""
    ref: str = ""
    open: bool = False

    @property
    def said(self) -> str:
        """All that is known of it, in one line."""
        until = "still so" if self.open else f"until {self.end_text}"
        parts = [f"{self.look}: {self.words}" if self.words else str(self.look), self.place]
        parts += [f"seal {self.seal}" if self.seal else "", f"from {self.start_text}", until, self.why, self.ref]
        return ", ".join(part for part in parts if part)


class Event(Struct, frozen=True):
    """A moment in a row, drawn as a tick under its band."""

    row: int
    x: float
    words: str
    text: str
    ref: str = ""


class Sight(Struct, frozen=True):
    """An event in a lane: ``x`` its best time, ``low`` and ``high`` between which it lies, all on the x axis.

    ``words`` say what happened, the texts when; ``told`` that a person's account alone stands behind the time.
    """

    row: int
    x: float
    low: float
    high: float
    words: str
    text: str
    low_text: str
    high_text: str
    ref: str
    told: bool = False

    @property
    def said(self) -> str:
        """All that is known of it, in one line."""
        told = "as a person told it" if self.told else ""
        parts = (self.ref, self.words, self.text, f"between {self.low_text} and {self.high_text}", told)
        return "; ".join(part for part in parts if part)


class Words(Struct, frozen=True):
    """What stands in a category row that has no reading: *not measured*, *not obtainable*, and why."""

    row: int
    text: str
    why: str = ""
    ref: str = ""

    @property
    def said(self) -> str:
        """The words with their reason."""
        return f"{self.text}: {self.why}" if self.why else self.text


class Chart(Struct, frozen=True):
    """A whole chart. ``result`` is one sentence and comes first in the caption; ``note`` says what the
    bars are, where the limit comes from and with which status.

    Raises ``ValueError`` where the data cannot be drawn truthfully (a number that is not finite, a
    logarithmic axis with zero on it, a row that does not exist).
    """

    id: str
    kind: ChartKind
    title: str
    result: str
    x: Axis
    y: Axis
    series: tuple[Series, ...] = ()
    lines: tuple[Line, ...] = ()
    bands: tuple[Band, ...] = ()
    spans: tuple[Span, ...] = ()
    marks: tuple[Mark, ...] = ()
    words: tuple[Words, ...] = ()
    note: str = ""
    stretches: tuple[Stretch, ...] = ()
    events: tuple[Event, ...] = ()
    sights: tuple[Sight, ...] = ()
    shown: Shown | None = None

    def __post_init__(self) -> None:
        if not _ID.match(self.id):
            raise ValueError(f"chart id {self.id!r}: a letter, then letters, digits, hyphens or underscores")
        if self.x.scale is Scale.CATEGORY:
            raise ValueError(f"chart {self.id}: categories stand on the y axis, where there is room for their words")
        for series in self.series:
            for point in series.points:
                _finite(f"chart {self.id}, reading {point.ref or point.text}", point.x, point.y, point.doubt)
                if point.doubt is not None and point.doubt < 0:
                    raise ValueError(f"chart {self.id}, reading {point.ref or point.text}: doubt below zero")
        for x, y in self.line_places():
            _finite(f"chart {self.id}", x, y)
        for span in self.spans:
            _finite(f"chart {self.id}, region {span.words!r}", span.low, span.high)
        for stretch in self.stretches:
            _finite(f"chart {self.id}, stretch {stretch.words!r}", stretch.start, stretch.end)
            if stretch.end < stretch.start:
                raise ValueError(f"chart {self.id}, stretch {stretch.words!r}: it ends before it begins")
        _finite(f"chart {self.id}", *(event.x for event in self.events))
        for sight in self.sights:
            _finite(f"chart {self.id}, event {sight.ref}", sight.x, sight.low, sight.high)
            if not sight.low <= sight.x <= sight.high:
                raise ValueError(f"chart {self.id}, event {sight.ref}: its time lies outside its own interval")
        if self.rows:
            asked = [w.row for w in self.words] + [p.y for s in self.series for p in s.points]
            asked += [one.row for one in self.stretches] + [one.row for one in self.events]
            asked += [one.row for one in self.sights] + [bar.row for bar in (self.shown.bars if self.shown else ())]
            bad = [row for row in asked if not 0 <= row < len(self.y.categories) or row != int(row)]
            if bad:
                raise ValueError(f"chart {self.id}: row {bad[0]!r} is not one of {len(self.y.categories)} categories")
        elif self.words or self.stretches or self.events or self.sights or (self.shown and self.shown.bars):
            raise ValueError(f"chart {self.id}: words for a row need a category axis")
        for axis, numbers in ((self.x, self.x_numbers()), (self.y, self.y_numbers())):
            if axis.scale is Scale.LOG and min(numbers, default=1.0) <= 0:
                raise ValueError(f"chart {self.id}: a logarithmic axis cannot show {min(numbers)!r}")

    @property
    def rows(self) -> bool:
        """Whether readings stand in named rows, measured along x."""
        return self.y.scale is Scale.CATEGORY

    def line_places(self) -> list[tuple[float, float]]:
        """Every (x, y) of lines, bands and marks."""
        places = [p for line in self.lines for p in line.points]
        places += [p for band in self.bands for edge in (band.lower, band.upper) for p in edge]
        places += [(m.x, m.y) for m in self.marks]
        return places

    def x_numbers(self) -> list[float]:
        """Every number the x axis must be able to show, without doubt bars."""
        times = [v for one in self.stretches for v in (one.start, one.end)] + [one.x for one in self.events]
        times += [v for one in self.sights for v in (one.low, one.high)]
        times += self.shown.numbers("x", log=self.x.scale is Scale.LOG) if self.shown else ()
        return [p.x for s in self.series for p in s.points] + [x for x, _ in self.line_places()] + times

    def y_numbers(self) -> list[float]:
        """The same for the y axis."""
        more = self.shown.numbers("y", log=self.y.scale is Scale.LOG) if self.shown and not self.rows else ()
        return [p.y for s in self.series for p in s.points] + [y for _, y in self.line_places()] + [*more]
