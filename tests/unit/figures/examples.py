"""Invented charts that the tests of this folder share; every number in them is made up."""

from __future__ import annotations

from collections.abc import Callable

from asfound.figures.kinds import (
    Floor,
    Row,
    Tolerance,
    Window,
    contact_monitor_window,
    custody_bands,
    deviation,
    leakage_by_condition,
    output_against_setting,
    timeline_lanes,
)
from asfound.figures.spec import (
    Axis,
    Bound,
    Chart,
    Event,
    LineRole,
    Look,
    Mark,
    Pattern,
    Point,
    Series,
    Shape,
    Sight,
    Span,
    Stretch,
    Tick,
)
from asfound.model.plots import Plot

from .plots import PLOTS, chart


def reading(x: float, y: float, doubt: float, ref: str, outcome: str = "pass", excluded: str = "") -> Point:
    """A power reading with its texts."""
    return Point(x, y, f"{y:.1f}\u00a0W", doubt, f"{doubt:.1f}\u00a0W", f"{x:g}\u00a0W", ref, outcome, excluded)


def output() -> Chart:
    """Two ports, one reading outside the limit, one void."""
    one = (
        reading(20, 19.1, 0.9, "R-output-1"),
        reading(45, 43.6, 1.9, "R-output-2"),
        reading(90, 88.4, 3.8, "R-output-3"),
        reading(120, 116.9, 5.0, "R-output-4"),
    )
    two = (
        reading(20, 18.8, 0.9, "R-output-5"),
        reading(45, 30.1, 1.4, "R-output-6", "fail"),
        reading(90, 61.0, 3.0, "R-output-7", "pass", "load unplugged during the reading"),
        reading(120, 97.8, 4.4, "R-output-8", "conditional pass"),
    )
    return output_against_setting(
        "output-S-1",
        "Output power against setting",
        "Port 1 delivers what is set; port 2 does not at 45 W.",
        (Series("port 1", one), Series("port 2", two)),
        x=Axis("setting in high-current coagulation, 400 Ω load", "W"),
        y=Axis("measured", "W"),
        note="Bars show the doubt of the reading (k = 2).",
        curve=((0, 0), (130, 130)),
        curve_label="setting",
        tolerance=Tolerance(0.20, "−20 % of setting", "+20 %"),
        floor=Floor(12, "no requirement at or below 10 % of rated"),
        as_used=Mark(90, 88.4, "as used: 88.4 W"),
    )


def deviations() -> Chart:
    """The same matter in percent."""
    rows = ((20, -4.5, 4.5), (45, -3.1, 4.2), (90, -1.8, 4.3), (120, -21.4, 4.2))
    points = tuple(
        Point(
            x, y, f"{y:.1f} %".replace("-", "−"), u, f"{u} %", f"{x} W", f"R-output-{i}", "fail" if y < -20 else "pass"
        )
        for i, (x, y, u) in enumerate(rows)
    )
    return deviation(
        "deviation-S-1",
        "Deviation from the setting",
        "At 120 W the output lies 21.4 % below the setting.",
        (Series("", points, pattern=Pattern.DOTTED),),
        x=Axis("setting", "W"),
        limit=20,
        lower_label="−20 %",
        upper_label="+20 %",
        zero_label="setting",
        floor=Floor(12, "no requirement at or below 10 % of rated"),
        as_used=Mark(90, -1.8, "as used: −1.8 %"),
    )


def current(x: float, doubt: float | None, ref: str, outcome: str = "pass", **more: object) -> Point:
    """A leakage reading in microamperes."""
    text = f"{'< ' if more.get('bound') else ''}{x:g}\u00a0µA"
    return Point(x, 0, text, doubt, f"{doubt:g}\u00a0µA" if doubt else "", ref=ref, outcome=outcome, **more)  # type: ignore[arg-type]


def leakage() -> Chart:
    """Limits that change from row to row, a missing row and one that could not be had."""
    return leakage_by_condition(
        "leakage-S-2",
        "Equipment leakage by condition",
        "With the protective conductor open the enclosure carries 512 µA, above its limit.",
        (
            Row("normal condition", (current(38, 3, "R-leak-1"),), limit=100, limit_text="limit 100 µA"),
            Row(
                "polarity reversed",
                (current(97, 4, "R-leak-2", "conditional pass"),),
                limit=100,
                limit_text="limit 100 µA",
            ),
            Row("protective earth open", (current(512, 18, "R-leak-3", "fail"),), limit=500, limit_text="limit 500 µA"),
            Row(
                "protective earth open, polarity reversed",
                (
                    current(489, 17, "R-leak-4", "conditional pass"),
                    current(301, 12, "R-leak-9", excluded="probe slipped"),
                ),
                limit=500,
                limit_text="limit 500 µA",
            ),
            Row(
                "neutral open",
                words="not measured",
                why="would have altered the suspect plug before the joint examination",
                ref="S-2",
                limit=500,
                limit_text="limit 500 µA",
            ),
            Row("footswitch connected", words="not obtainable", why="footswitch not impounded", ref="I-7"),
            Row(
                "applied part, floating",
                (current(5, None, "R-leak-5", bound=Bound.BELOW),),
                limit=50,
                limit_text="limit 50 µA",
            ),
        ),
        label="equipment leakage current",
        unit="µA",
        note="Bars show the doubt of the reading (k = 2).",
    )


def monitor() -> Chart:
    """Trip values against a window by common practice."""

    def trip(x: float, ref: str, outcome: str = "no requirement") -> Point:
        return Point(x, 0, f"{x:g}\u00a0Ω", 2.0, "2.0\u00a0Ω", ref=ref, outcome=outcome)

    return contact_monitor_window(
        "monitor-S-3",
        "Trip values of the contact monitor",
        "Rising, the alarm came at 148 Ω, outside the window of common practice.",
        (
            Row("rising, split pad", (trip(148, "R-cqm-1"), trip(147, "R-cqm-2"))),
            Row("falling, split pad", (trip(128, "R-cqm-3"),)),
            Row("low end, split pad", (trip(6, "R-cqm-4"),)),
        ),
        window=Window(5, 135, "window by common practice, no source"),
    )


def long_line() -> Chart:
    """Six hundred readings on one line, with two limits."""
    points = tuple(Point(float(i), 50 + (i * 37 % 101) / 10, "", ref=f"R-log-{i}") for i in range(600))
    from asfound.figures.spec import ChartKind, Line

    return Chart(
        "long-S-4",
        ChartKind.DEVIATION,
        "Flow over time",
        "The flow stayed between its limits.",
        Axis("time", "s"),
        Axis("flow", "mL/h"),
        (Series("", points, Shape.NONE, Pattern.SOLID),),
        (
            Line("upper limit", ((0.0, 62.0), (599.0, 62.0))),
            Line("lower limit", ((0.0, 48.0), (599.0, 48.0)), LineRole.PRACTICE),
        ),
    )


def bands() -> Chart:
    """Two things: one kept without a gap, one with a gap of a minute and another that is still open."""
    day = "2026-03-02 {} \u22126:00"

    def stretch(row: int, start: float, end: float, look: Look, words: str, ref: str, **more: object) -> Stretch:
        return Stretch(
            row, start, end, look, words, f"hour {start:g}", f"hour {end:g}", f"{end - start:g} h", ref=ref, **more
        )  # type: ignore[arg-type]

    return custody_bands(
        "chart-custody",
        "Custody of each item",
        "For I-2 the log does not say who had it all the time.",
        ("I-1 Pump", "I-2 Set & clamp"),
        (
            stretch(0, 0, 1, Look.UNTOLD, "", ""),
            stretch(0, 1, 2, Look.HELD, "risk manager", "C-1", place="ward"),
            stretch(0, 2, 30, Look.STORED, "sealed store", "C-2", place="locked store", seal="2001"),
            stretch(0, 30, 31, Look.CARRIED, "risk manager", "C-3", seal="2001"),
            stretch(0, 31, 80, Look.HELD, "examiner", "C-3", open=True),
            stretch(1, 0, 10, Look.TOLD, "ward nurse", "C-4", why="found in the bin"),
            stretch(1, 10, 10.02, Look.GAP, "last with ward nurse", "C-4", why="another holder lets it go"),
            stretch(1, 10.02, 60, Look.STORED, "sealed store", "C-5"),
            stretch(1, 60, 80, Look.GAP, "last with sealed store", "C-5", open=True),
        ),
        x=Axis("time at \u221206:00", ticks=(Tick(24.0, "3 Mar"), Tick(48.0, "4 Mar")), low=0.0, high=80.0),
        events=(Event(0, 31.5, "gate: inspected", day.format("17:30"), "G-7"),),
        note="A band without a closing end goes on.",
    )


def lanes() -> Chart:
    """Two clocks, a region where the order is not settled, ticks in a lane and in rows beneath."""

    def sight(row: int, x: float, doubt: float, ref: str, told: bool = False) -> Sight:
        return Sight(
            row, x, x - doubt, x + doubt, f"event <{ref}>", f"hour {x:g}", f"hour {x - doubt:g}", f"hour {x + doubt:g}",
            ref, told,
        )  # fmt: skip

    return timeline_lanes(
        "chart-timeline",
        "Events on one base of time",
        "The order of five events is settled but for T-2, T-3 and T-4.",
        ("K-1 Clock on the wall & door", "K-2 Record of the pump", "Gates"),
        (
            sight(0, 1.0, 0.02, "T-1", told=True),
            sight(0, 2.0, 0.3, "T-2", told=True),
            sight(1, 2.1, 0.0001, "T-3"),
            sight(0, 2.2, 0.2, "T-4", told=True),
            sight(1, 3.5, 0.0001, "T-5"),
        ),
        x=Axis("time at \u22126:00", ticks=(Tick(1.0, "2 Mar 13:00"), Tick(3.0, "15:00")), low=0.9, high=3.7),
        events=(
            Event(1, 2.1, "entry of the log, 5 s", "hour 2.1", "R-log-1"),
            Event(2, 3.2, "gate: impounded", "hour 3.2", "G-1"),
        ),
        spans=(Span(1.7, 2.4, "order not settled: T-2, T-3 and T-4"),),
        note="A filled mark is a time from a record.",
    )


def _calculated(make: Callable[[], Plot]) -> Callable[[], Chart]:
    def made() -> Chart:
        return chart(make)

    made.__name__ = make.__name__
    return made


CALCULATED = tuple(_calculated(make) for make in PLOTS)
ALL = (output, deviations, leakage, monitor, long_line, bands, lanes, *CALCULATED)
