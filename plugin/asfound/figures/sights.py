"""Events on one base of time: a lane for each clock, a bar for where each event may lie, and what lies beneath.

A filled mark is a time from a record, an open one a time that a person told. Regions behind the lanes hold events whose
order is not settled. All of it is said in words beside the drawing; colour only repeats it.
"""

from __future__ import annotations

import html
import math
from typing import Any

from .lettering import spread, text_width, wrap
from .parts import SIZE, esc, shape
from .scale import place
from .sheet import Area, Label, Map, Sheet
from .spec import Event, Shape, Sight

_LEAD = 17.0
_LABELS = 24.0
"""Room above a lane for the names of its events, where they stand in one line."""
_STEP = 16.0
"""Room for each further line of names."""
_TICK = 6.0
_LEAST = 3.0
"""No bar is drawn narrower than this, in pixels either way of its mark."""


def draw_lanes(sheet: Sheet) -> float:
    """Draw a chart of lanes; the answer is its height."""
    chart, palette = sheet.chart, sheet.palette
    top = 12.0 + sum(17 * len(lines) + 5 for lines, _ in sheet.span_lines())
    most = sheet.width * (0.34 if sheet.narrow else 0.26)
    names = [wrap(name, SIZE, most) for name in chart.y.categories]
    column = max(text_width(line, SIZE) for lines in names for line in lines) + 6
    centres, tiers, at = [], [], top
    for row, lines in enumerate(names):
        here = [one for one in chart.sights if one.row == row]
        tiers.append(_tiers(here, sheet.width - 16 - column - 14))
        head = _LABELS + 8 + _STEP * (tiers[-1] - 1) if here else 10.0
        high = max(head + 22.0, _LEAD * len(lines) + 10)
        centres.append(at + max(head, high / 2))
        at += high
    area = Area(column + 14, top, sheet.width - 16, at + 4)
    sheet.area = area
    sheet.row_place = lambda value, series: centres[min(max(round(value), 0), len(centres) - 1)]
    x = place(sheet.x_ruler, area.left, area.right)
    sheet.spans(area, x, 14.0)
    grid = "".join(f"M{x(t.value):.1f},{area.top:.1f}V{area.bottom:.1f}" for t in sheet.x_ruler.ticks)
    lanes = "".join(f"M{area.left:.1f},{middle:.1f}H{area.right:.1f}" for middle in centres)
    sheet.out.append(f'<path d="{grid}" fill="none" stroke="{palette.rule}"/>')
    sheet.out.append(f'<path d="{lanes}" fill="none" stroke="{palette.rule}" stroke-dasharray="1.5 4"/>')
    sheet.group(
        f'fill="{palette.ink}"',
        [
            sheet.say(Label(line, "ink", column, c + 4.5 + _LEAD * (i - (len(lines) - 1) / 2), "end"))
            for c, lines in zip(centres, names, strict=True)
            for i, line in enumerate(lines)
        ],
    )
    for row, middle in enumerate(centres):
        _names(sheet, [one for one in chart.sights if one.row == row], x, middle, area, tiers[row])
    for one in chart.sights:
        sheet.out.append(_sight(sheet, one, x, centres[one.row]))
    sheet.group(
        f'fill="{palette.soft}"',
        [_tick(one, x(one.x), centres[one.row] + (9 if _laned(sheet, one.row) else -2)) for one in chart.events],
    )
    sheet.x_axis(area, x)
    return area.bottom + sheet.x_axis_height()


def _laned(sheet: Sheet, row: int) -> bool:
    return any(one.row == row for one in sheet.chart.sights)


def _ends(one: Sight, x: Map) -> tuple[float, float, float]:
    middle = x(one.x)
    return min(x(one.low), middle - _LEAST), middle, max(x(one.high), middle + _LEAST)


def _sight(sheet: Sheet, one: Sight, x: Map, at: float) -> str:
    palette = sheet.palette
    left, middle, right = _ends(one, x)
    bar = f"M{left:.1f},{at:.1f}H{right:.1f}M{left:.1f},{at - 5:.1f}v10M{right:.1f},{at - 5:.1f}v10"
    fill = palette.paper if one.told else palette.ink
    return (
        f"<g><title>{esc(one.said)}</title>"
        f'<path d="{bar}" fill="none" stroke="{palette.ink}" stroke-width="1.6"/>'
        f'<path d="{shape(Shape.CIRCLE, middle, at)}" fill="{fill}" stroke="{palette.ink}" stroke-width="1.4"/></g>'
    )


def _gap(here: list[Sight]) -> float:
    """How far apart the middles of two names in one line are at least."""
    return max(text_width(one.ref, SIZE) for one in here) + 6


def _tiers(here: list[Sight], wide: float) -> int:
    """In how many lines the names of a lane's events have room; neighbours then stand in different ones."""
    return max(1, math.ceil(_gap(here) * (len(here) - 0.5) / wide)) if here else 1


def _names(sheet: Sheet, here: list[Sight], x: Map, at: float, area: Area, tiers: int) -> None:
    """The ids of a lane's events above it, moved apart where they would touch, each joined to its mark.

    A stroke runs straight down between the names of the lines below its own, and slants from there to its mark.
    """
    if not here:
        return
    gap = _gap(here)
    places = spread([x(one.x) for one in here], gap / tiers, area.left, area.right - gap / 2)
    bases = [at - _LABELS + 2 - _STEP * (number % tiers) for number in range(len(here))]
    stems = "".join(
        f"M{x(one.x):.1f},{at - 6:.1f}L{px:.1f},{at - _LABELS + 6:.1f}" + (f"V{base + 4:.1f}" if number % tiers else "")
        for number, (one, px, base) in enumerate(zip(here, places, bases, strict=True))
    )
    sheet.out.append(f'<path d="{stems}" fill="none" stroke="{sheet.palette.soft}"/>')
    labels = [
        sheet.say(Label(one.ref, "ink", px, base, "middle", (x(one.x), at), one.x))
        for one, px, base in zip(here, places, bases, strict=True)
    ]
    sheet.group(sheet.halo("ink"), labels)


def _tick(one: Event, at: float, top: float) -> str:
    said = ", ".join(part for part in (one.words, one.text, one.ref) if part)
    return f'<path d="M{at:.1f},{top:.1f}l3,{_TICK:.1f}h-6Z"><title>{esc(said)}</title></path>'


# --- for a screen that can be asked


def sights_data(sheet: Sheet) -> list[dict[str, Any]]:
    """One trace for times from records, one for told ones, one for what lies beneath."""
    chart = sheet.chart
    data: list[dict[str, Any]] = [_stems(sheet)]
    for told, name in ((False, "from a record"), (True, "as a person told it")):
        here = [one for one in chart.sights if one.told is told]
        if here:
            data.append(_trace(sheet, name, here, told))
    if chart.events:
        below = [9 if _laned(sheet, one.row) else -2 for one in chart.events]
        data.append(
            {
                "customdata": [[_lines(sheet, one.row, one.words, one.text, one.ref), one.ref] for one in chart.events],
                "hovertemplate": "%{customdata[0]}<extra></extra>",
                "marker": {"color": sheet.palette.soft, "size": 6, "symbol": "triangle-up"},
                "cliponaxis": False,
                "mode": "markers",
                "name": "beneath",
                "type": "scatter",
                "x": [one.x for one in chart.events],
                "y": [
                    round(sheet.row_place(one.row, 0) + lower + 3, 1)
                    for one, lower in zip(chart.events, below, strict=True)
                ],
            }
        )
    return data


def _stems(sheet: Sheet) -> dict[str, Any]:
    """The strokes from the names of events to their marks, in the units of the axes."""
    area, ruler = sheet.area, sheet.x_ruler
    scale = (ruler.high - ruler.low) / (area.right - area.left)
    x: list[float | None] = []
    y: list[float | None] = []
    for label in sheet.labels:
        if label.spot is not None and label.spot[1] > label.base > area.top - _LABELS and label.tone == "ink":
            over = round(ruler.low + (label.at - area.left) * scale, 6)
            bend = round(label.spot[1] - _LABELS + 6, 1)
            upper = [round(label.base + 4, 1)] if label.base + 4 < bend - 1 else []
            x += [label.x, over, *(over for _ in upper), None]
            y += [round(label.spot[1] - 6, 1), bend, *upper, None]
    return {
        "hoverinfo": "skip",
        "line": {"color": sheet.palette.soft, "width": 1},
        "mode": "lines",
        "name": "stems",
        "type": "scatter",
        "x": x[:-1],
        "y": y[:-1],
    }


def _trace(sheet: Sheet, name: str, here: list[Sight], told: bool) -> dict[str, Any]:
    ink = sheet.palette.ink
    return {
        "customdata": [[_lines(sheet, one.row, *one.said.split("; ")), one.ref] for one in here],
        "error_x": {
            "array": [round(one.high - one.x, 6) for one in here],
            "arrayminus": [round(one.x - one.low, 6) for one in here],
            "color": ink,
            "symmetric": False,
            "thickness": 1.6,
            "type": "data",
            "width": 5,
        },
        "hovertemplate": "%{customdata[0]}<extra></extra>",
        "marker": {
            "color": sheet.palette.paper if told else ink,
            "line": {"color": ink, "width": 1.4},
            "size": 8,
            "symbol": "circle",
        },
        "cliponaxis": False,
        "mode": "markers",
        "name": name,
        "type": "scatter",
        "x": [one.x for one in here],
        "y": [round(sheet.row_place(one.row, 0), 1) for one in here],
    }


def _lines(sheet: Sheet, row: int, *parts: str) -> str:
    every = (sheet.chart.y.categories[row], *parts)
    return "<br>".join(html.escape(part, quote=False) for part in every if part)
