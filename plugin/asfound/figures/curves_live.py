"""The chart of a calculation for a screen that can be asked questions: traces for every curve, region, dot and bar."""

from __future__ import annotations

import html
from collections.abc import Sequence
from typing import Any

from .build_up import HIGH, steps
from .curve_looks import LEVEL_LOOK, PATTERNS, Look, curve_looks
from .curve_spec import Bar, Dot, Level, Places, Region
from .curves import KEY
from .scale import near
from .sheet import Sheet
from .spec import Pattern, Scale

_DASH = {Pattern.SOLID: "solid", Pattern.DASHED: "dash", Pattern.DOTTED: "dot", Pattern.DASH_DOT: "dashdot"}


def shown_data(sheet: Sheet) -> list[dict[str, Any]]:
    """Regions, levels, curves, bars and dots, in the order in which the drawing lays them."""
    shown = sheet.chart.shown
    assert shown is not None
    data = [_region(sheet, region, number) for number, region in enumerate(shown.regions)]
    if shown.bars:
        data += [*_joins(sheet, shown.bars), *_bars(sheet, shown.bars)]
    data += [_level(sheet, level) for level in shown.levels]
    for curve, look in zip(shown.curves, curve_looks(shown.curves), strict=True):
        if curve.points:
            data.append(_line(sheet, curve.name, curve.points, look))
    if shown.dots:
        data.append(_dots(sheet, shown.dots))
    return data


def _plain(text: str) -> str:
    return html.escape(text, quote=False)


def _line(sheet: Sheet, name: str, places: Places, look: Look, told: str = "") -> dict[str, Any]:
    colour, width, pattern = look
    return {
        "hovertemplate": f"{_plain(told or name)}{'' if told else '<br>%{x}, %{y}'}<extra></extra>".replace(
            "%{x}, %{y}", f"%{{x:.4~g}}{_unit(sheet.chart.x.unit)}, %{{y:.4~g}}{_unit(sheet.chart.y.unit)}"
        ),
        "line": {"color": getattr(sheet.palette, colour), "dash": _DASH[pattern], "width": width},
        "mode": "lines",
        "name": _plain(name),
        "type": "scatter",
        "x": near(sheet.x_ruler, [x for x, _ in places]),
        "y": near(sheet.y_ruler, [y for _, y in places]),
    }


def _unit(symbol: str) -> str:
    return f"\u00a0{_plain(symbol)}" if symbol else ""


def _level(sheet: Sheet, level: Level) -> dict[str, Any]:
    if level.axis == "x":
        # The rows of a build-up count pixels of the drawing.
        low, high = (sheet.area.bottom, sheet.area.top) if sheet.chart.rows else (sheet.y_ruler.low, sheet.y_ruler.high)
        places: Places = ((level.value, low), (level.value, high))
    else:
        places = ((sheet.x_ruler.low, level.value), (sheet.x_ruler.high, level.value))
    return _line(sheet, level.words, places, LEVEL_LOOK[level.role], f"{level.words}, {level.text}")


def _region(sheet: Sheet, region: Region, number: int) -> dict[str, Any]:
    edge = [*region.lower, *reversed(region.upper), *region.lower[:1]]
    colour = sheet.palette.mark if number % 2 == 0 else sheet.palette.warn
    return {
        "fill": "toself",
        "fillcolor": colour,
        "hoverinfo": "skip",
        "line": {"color": colour, "dash": _DASH[PATTERNS[number % 4]], "width": 0.7},
        "mode": "lines",
        "name": _plain(region.words),
        "opacity": 0.14,
        "type": "scatter",
        "x": near(sheet.x_ruler, [x for x, _ in edge]),
        "y": near(sheet.y_ruler, [y for _, y in edge]),
    }


def region_key(sheet: Sheet) -> list[dict[str, Any]]:
    """The swatches of regions whose words stand above the plot, at the places of the drawing."""
    found = []
    for number, left, top in sheet.swatches:
        x, y = left - sheet.area.left, sheet.area.top - top
        colour = sheet.palette.mark if number % 2 == 0 else sheet.palette.warn
        found.append(
            {
                "fillcolor": colour,
                "line": {"color": colour, "dash": _DASH[PATTERNS[number % 4]], "width": 0.7},
                "opacity": 0.2,
                "type": "rect",
                "x0": round(x, 1),
                "x1": round(x + KEY, 1),
                "xanchor": 0,
                "xref": "paper",
                "xsizemode": "pixel",
                "y0": round(y, 1),
                "y1": round(y - 13, 1),
                "yanchor": 1,
                "yref": "paper",
                "ysizemode": "pixel",
            }
        )
    return found


def _dots(sheet: Sheet, dots: Sequence[Dot]) -> dict[str, Any]:
    palette = sheet.palette
    trace: dict[str, Any] = {
        "customdata": [["<br>".join(_plain(part) for part in dot.said.split(", ") if part), dot.ref] for dot in dots],
        "hovertemplate": "%{customdata[0]}<extra></extra>",
        "marker": {
            "color": palette.ink,
            "line": {"color": palette.paper, "width": 1},
            "size": [11 if dot.as_used else 8 for dot in dots],
            "symbol": ["diamond" if dot.as_used else "circle" for dot in dots],
        },
        "cliponaxis": False,
        "mode": "markers",
        "name": "readings",
        "type": "scatter",
        "x": [dot.x for dot in dots],
        "y": [dot.y for dot in dots],
    }
    for key, ruler, halves in (
        ("error_x", sheet.x_ruler, [(dot.x, dot.dx) for dot in dots]),
        ("error_y", sheet.y_ruler, [(dot.y, dot.dy) for dot in dots]),
    ):
        if any(half for _, half in halves):
            log = ruler.scale is Scale.LOG
            down = [min(half or 0.0, at - ruler.low) if log else half or 0.0 for at, half in halves]
            trace[key] = {
                "array": [half or 0.0 for _, half in halves],
                "arrayminus": down,
                "color": palette.ink,
                "symmetric": False,
                "thickness": 1.6,
                "type": "data",
                "width": 3,
            }
    return trace


def _bars(sheet: Sheet, bars: Sequence[Bar]) -> list[dict[str, Any]]:
    """The bars, and over them their outlines, which a wash of colour alone would leave hard to see."""
    names = sheet.chart.y.categories
    trace: dict[str, Any] = {
        "base": [bar.start for bar in bars],
        "customdata": [
            ["<br>".join(_plain(part) for part in (names[bar.row], bar.named, bar.ref) if part), bar.ref]
            for bar in bars
        ],
        "hovertemplate": "%{customdata[0]}<extra></extra>",
        "marker": {"color": sheet.palette.mark, "line": {"width": 0}, "opacity": 0.25},
        "name": "parts",
        "orientation": "h",
        "type": "bar",
        "width": HIGH,
        "x": [bar.end - bar.start for bar in bars],
        "y": [round(sheet.row_place(bar.row, 0), 1) for bar in bars],
    }
    line = {"color": sheet.palette.mark, "width": 1.2}
    edge = {key: value for key, value in trace.items() if key not in {"customdata", "hovertemplate"}}
    edge |= {"hoverinfo": "skip", "marker": {"color": "rgba(0,0,0,0)", "line": line}, "name": "outlines of parts"}
    return [trace, edge]


def _joins(sheet: Sheet, bars: tuple[Bar, ...]) -> list[dict[str, Any]]:
    found = steps(bars)
    if not found:
        return []
    xs: list[float | None] = []
    ys: list[float | None] = []
    for at, a, b in found:
        xs += [at, at, None]
        ys += [round(sheet.row_place(a, 0), 1), round(sheet.row_place(b, 0), 1), None]
    return [
        {
            "hoverinfo": "skip",
            "line": {"color": sheet.palette.soft, "dash": "dot", "width": 1},
            "mode": "lines",
            "name": "running sum",
            "type": "scatter",
            "x": xs,
            "y": ys,
        }
    ]
