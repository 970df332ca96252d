"""What a calculation has to show, as plain data in the units of the matter: curves, regions, readings, lines.

Computed once beside the figures and frozen with them, so that an old edition draws what it drew. Nothing here knows of
pixels or colours. Long series are reduced before they come here (`measure.reduce`), with their extremes kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class PlotKind(StrEnum):
    """Which question the plot answers."""

    TRUMPET = "trumpet"
    """Largest and smallest error of flow over the length of the window."""
    WAVEFORM = "waveform"
    """A pulse over time; with energy that has gone in, a second plot."""
    DOSE = "dose"
    """Temperature over the time that harms, with the exposure on it."""
    TRACES = "traces"
    """Pressure, flow, volume or a logged temperature over time."""
    BUILD_UP = "build-up"
    """Parts that add up to a whole: hazard current device by device."""
    AGREEMENT = "agreement"
    """Something shown against a reference: a probe against a bath."""
    FIT = "fit"
    """Readings and the line laid through them."""


class CurveRole(StrEnum):
    """What a curve stands for."""

    MEASURED = "measured"
    MODEL = "model"
    LIMIT = "limit"
    NOMINAL = "nominal"
    PRACTICE = "practice"


@dataclass(frozen=True, slots=True)
class PlotAxis:
    """An axis: what is counted, in which unit, whether equal steps are equal factors, whether zero must be on it."""

    label: str
    unit: str = ""
    log: bool = False
    from_zero: bool = False


@dataclass(frozen=True, slots=True)
class Curve:
    """A named run of (x, y) pairs from left to right."""

    name: str
    points: tuple[tuple[float, float], ...]
    role: CurveRole = CurveRole.MEASURED


@dataclass(frozen=True, slots=True)
class Region:
    """The room between two edges, both from left to right: models that disagree, extremes of a long series."""

    words: str
    lower: tuple[tuple[float, float], ...]
    upper: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Dot:
    """A reading or an exposure. `dx` and `dy` are half-lengths of its doubt; `text` is what a person reads."""

    x: float
    y: float
    text: str
    dx: float | None = None
    dy: float | None = None
    ref: str = ""
    as_used: bool = False


@dataclass(frozen=True, slots=True)
class Level:
    """A straight line across the plot at `value` of the named axis, with the words that stand at it."""

    axis: str
    value: float
    words: str
    role: CurveRole = CurveRole.LIMIT


@dataclass(frozen=True, slots=True)
class Bar:
    """A part of a sum: the row it stands in, from where to where it reaches, and what is printed."""

    row: str
    start: float
    end: float
    text: str
    ref: str = ""


@dataclass(frozen=True, slots=True)
class Plot:
    """One plot.

    name    short and of small letters, unique within its calculation
    result  one sentence that says what is to be seen
    note    what bars and regions are, how a series was reduced, where a model comes from
    """

    name: str
    kind: PlotKind
    title: str
    result: str
    x: PlotAxis
    y: PlotAxis
    curves: tuple[Curve, ...] = ()
    regions: tuple[Region, ...] = ()
    dots: tuple[Dot, ...] = ()
    levels: tuple[Level, ...] = ()
    bars: tuple[Bar, ...] = ()
    note: str = ""
