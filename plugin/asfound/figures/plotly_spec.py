"""The same chart for a screen that can be asked questions: a plain dictionary in the plotly.js figure format.

Nothing of plotly is imported; the dictionary is checked against the real library in the tests. The shipped
bundle knows three kinds of trace and silently draws any other as a scatter, so other kinds are refused
here. Colours are those of the light scheme, with a table of the style variables they stand for: the page's
loader puts in the current ones.
"""

from __future__ import annotations

import html
import json
import math
from typing import Any

from .palette import COLOURS, LIGHT, Palette
from .parts import LINE_LOOK, flag
from .scale import Ruler, rulers
from .spec import Axis, Band, Bound, Chart, Line, Pattern, Point, Scale, Series, Shape, Span, SpanRole

TRACES = frozenset({"scatter", "bar", "pie"})
"""The trace kinds of the shipped bundle."""

_DASH = {
    Pattern.SOLID: "solid",
    Pattern.DASHED: "dash",
    Pattern.DOTTED: "dot",
    Pattern.DASH_DOT: "dashdot",
    Pattern.NONE: "solid",
}
_SYMBOL = {
    Shape.CIRCLE: "circle",
    Shape.SQUARE: "square",
    Shape.DIAMOND: "diamond",
    Shape.TRIANGLE: "triangle-up",
    Shape.NONE: "circle",
}

CONFIG: dict[str, Any] = {
    "displaylogo": False,
    "displayModeBar": "hover",
    "modeBarButtons": [["zoom2d", "pan2d", "resetScale2d"]],
    "plotlyServerURL": "",
    "responsive": True,
    "sendData": False,
    "showEditInChartStudio": False,
    "showSendToCloud": False,
    "topojsonURL": "",
}
"""No logo, no upload, no picture service: three tools to look closer and to come back."""


def interactive(chart: Chart, palette: Palette = LIGHT) -> dict[str, Any]:
    """``data``, ``layout`` and ``config`` for plotly.js.

    ``layout.meta.colours`` maps every literal colour to its style variable.
    """
    across, up = rulers(chart)
    data = [trace for band in chart.bands for trace in _band(band, palette)]
    data += [_line(line, palette) for line in chart.lines if line.points]
    data += [_series(chart, series, palette) for series in chart.series if series.points]
    figure = {
        "config": CONFIG,
        "data": data,
        "layout": {
            "annotations": _annotations(chart, across, up, palette),
            "dragmode": "zoom",
            "font": {"color": palette.ink, "family": "Source Sans 3, sans-serif", "size": 13.5},
            "hoverlabel": {
                "align": "left",
                "bgcolor": palette.wash,
                "bordercolor": palette.soft,
                "font": {"color": palette.ink},
            },
            "hovermode": "closest",
            "margin": {"b": 56, "l": 56, "pad": 0, "r": 24 if chart.rows else 130, "t": 46 + 20 * len(chart.spans)},
            "meta": {"colours": {getattr(palette, name): f"--af-{name}" for name in COLOURS}},
            "paper_bgcolor": "rgba(0,0,0,0)",
            "plot_bgcolor": "rgba(0,0,0,0)",
            "shapes": [_span(span, palette) for span in chart.spans],
            "showlegend": False,
            "xaxis": _axis(chart.x, across, palette, flat=True),
            "yaxis": _axis(chart.y, up, palette, flat=False),
        },
    }
    check_traces(figure)
    return figure


def check_traces(figure: dict[str, Any]) -> None:
    """Raise ``ValueError`` for a trace kind that the shipped bundle does not have."""
    for number, trace in enumerate(figure.get("data", ())):
        kind = trace.get("type")
        if kind not in TRACES:
            raise ValueError(f"trace {number} is of kind {kind!r}; the shipped bundle draws {sorted(TRACES)} only")


def to_json(figure: dict[str, Any]) -> str:
    """Compact JSON with sorted keys: the same bytes for the same chart. Numbers that are not finite are
    refused."""
    return json.dumps(figure, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def _plain(text: str) -> str:
    """Text for plotly.js, which reads a small set of tags in every label."""
    return html.escape(text, quote=False)


def _axis(axis: Axis, ruler: Ruler, palette: Palette, *, flat: bool) -> dict[str, Any]:
    log = ruler.scale is Scale.LOG
    ends = [math.log10(ruler.low), math.log10(ruler.high)] if log else [ruler.low, ruler.high]
    if axis.scale is Scale.CATEGORY:
        ends.reverse()
    look: dict[str, Any] = {
        "automargin": True,
        "color": palette.soft,
        "gridcolor": palette.rule,
        "linecolor": palette.ink,
        "range": ends,
        "showgrid": not flat or axis.scale is not Scale.LINEAR,
        "showline": flat,
        "tickmode": "array",
        "ticks": "outside" if flat else "",
        "ticktext": [_plain(t.text) for t in ruler.ticks],
        "tickvals": [t.value for t in ruler.ticks],
        "type": "log" if log else "linear",
        "zeroline": False,
    }
    if flat:
        look["title"] = {"text": _plain(axis.title)}
    return look


def _band(band: Band, palette: Palette) -> list[dict[str, Any]]:
    edge = [*band.lower, *reversed(band.upper)]
    return [
        {
            "fill": "toself",
            "fillcolor": palette.mark,
            "hoverinfo": "skip",
            "line": {"width": 0},
            "mode": "lines",
            "opacity": 0.1,
            "type": "scatter",
            "x": [x for x, _ in edge],
            "y": [y for _, y in edge],
        }
    ]


def _line(line: Line, palette: Palette) -> dict[str, Any]:
    colour, width, pattern = LINE_LOOK[line.role]
    return {
        "hoverinfo": "skip",
        "line": {"color": getattr(palette, colour), "dash": _DASH[pattern], "width": width},
        "mode": "lines",
        "name": _plain(line.label),
        "type": "scatter",
        "x": [x for x, _ in line.points],
        "y": [y for _, y in line.points],
    }


def _series(chart: Chart, series: Series, palette: Palette) -> dict[str, Any]:
    points = series.points
    lined, dotted = series.pattern is not Pattern.NONE, series.shape is not Shape.NONE
    number = next(i for i, s in enumerate(chart.series) if s is series)
    dodge = (number - (len(chart.series) - 1) / 2) * 0.3 if chart.rows else 0.0
    trace: dict[str, Any] = {
        "customdata": [_told(series, point) for point in points],
        "hovertemplate": "%{customdata[0]}<extra></extra>",
        "line": {"color": palette.ink, "dash": _DASH[series.pattern], "width": 1.4},
        "mode": "+".join(m for m, on in (("lines", lined), ("markers", dotted or not lined)) if on),
        "name": _plain(series.name),
        "type": "scatter",
        "x": [p.x for p in points],
        "y": [p.y + dodge for p in points],
    }
    if dotted or not lined:
        trace["marker"] = {
            "color": [_fill(p, palette) for p in points],
            "line": {"color": [palette.soft if p.excluded else palette.ink for p in points], "width": 1.2},
            "size": 9,
            "symbol": [_symbol(series.shape, p) for p in points],
        }
    if any(p.doubt for p in points):
        trace["error_x" if chart.rows else "error_y"] = {
            "array": [p.doubt or 0 for p in points],
            "color": palette.ink,
            "thickness": 1.6,
            "type": "data",
            "width": 3,
        }
    return trace


def _symbol(shape: Shape, point: Point) -> str:
    if point.excluded:
        return "x-thin-open"
    return _SYMBOL[shape] + ("-open" if point.bound is not Bound.EXACT else "")


def _fill(point: Point, palette: Palette) -> str:
    if point.excluded:
        return palette.soft
    return palette.bad if point.outcome in ("fail", "conditional fail") else palette.ink


def _told(series: Series, point: Point) -> list[str]:
    """What a reading says when pointed at, and the record it leads to."""
    void = f"void: {point.excluded}" if point.excluded else ""
    lines = [series.name, point.x_text, point.said, point.outcome, void, point.ref]
    return ["<br>".join(_plain(line) for line in lines if line), point.ref]


def _span(span: Span, palette: Palette) -> dict[str, Any]:
    window = span.role is SpanRole.WINDOW
    shape: dict[str, Any] = {
        "fillcolor": palette.mark if window else palette.soft,
        "layer": "below",
        "line": {"width": 0},
        "opacity": 0.12,
        "type": "rect",
        "xref": "x",
        "y0": 0,
        "y1": 1,
        "yref": "paper",
    }
    for key, value, edge in (("x0", span.low, 0), ("x1", span.high, 1)):
        if value is None:
            shape |= {key: edge, "xref": "x"}
        else:
            shape[key] = value
    return shape


def _annotations(chart: Chart, across: Ruler, up: Ruler, palette: Palette) -> list[dict[str, Any]]:
    """Words inside the plot: line ends, regions, marked points, verdict words, rows without a reading."""

    def at(ruler: Ruler, value: float) -> float:
        return math.log10(value) if ruler.scale is Scale.LOG else value

    def words(text: str, colour: str, **more: Any) -> dict[str, Any]:
        return {"font": {"color": colour}, "showarrow": False, "text": _plain(text), **more}

    out: list[dict[str, Any]] = []
    if not chart.rows:
        corner = {"x": 0, "xanchor": "left", "xref": "paper", "y": 1, "yanchor": "bottom", "yref": "paper"}
        out.append(words(chart.y.title, palette.soft, **corner, yshift=22 * len(chart.spans) + 8))
    for number, span in enumerate(chart.spans):
        left = (
            at(across, span.low)
            if span.low is not None
            else (across.low if across.scale is not Scale.LOG else math.log10(across.low))
        )
        place = {"x": left, "xanchor": "left", "y": 1, "yanchor": "bottom", "yref": "paper", "yshift": 22 * number + 2}
        out.append(words(span.words, palette.soft, **place))
    for line in chart.lines:
        if not (line.points and line.label):
            continue
        if chart.rows:
            x, y = min(line.points, key=lambda p: p[1])
            place = {"x": at(across, x), "y": y, "yanchor": "bottom"}
        else:
            x, y = line.points[-1]
            place = {"x": at(across, x), "xanchor": "left", "xshift": 6, "y": at(up, y)}
        out.append(words(line.label, palette.mark if chart.rows else palette.soft, **place))
    if len(chart.series) > 1 and not chart.rows:
        for series in (s for s in chart.series if s.points and s.name):
            last = series.points[-1]
            place = {"x": at(across, last.x), "xanchor": "left", "xshift": 10, "y": at(up, last.y)}
            out.append(words(series.name, palette.ink, **place))
    for mark in chart.marks:
        stem = {
            "arrowcolor": palette.ink,
            "arrowhead": 0,
            "arrowwidth": 1,
            "ax": 0,
            "ay": 46,
            "showarrow": True,
            "standoff": 8,
        }
        out.append(words(mark.text, palette.ink, **{"x": at(across, mark.x), "y": at(up, mark.y), **stem}))
    for series in chart.series:
        for point in series.points:
            if flag(point):
                text = f"{point.text}, {flag(point)}" if point.text else flag(point)
                colour = palette.soft if point.excluded else _fill(point, palette)
                side = "right" if chart.rows and at(across, point.x) > _middle(across) else "left"
                shift = {"xanchor": side, "xshift": -12 if side == "right" else 12}
                out.append(words(text, colour, x=at(across, point.x), y=at(up, point.y), **shift))
    for row in chart.words:
        left = math.log10(across.low) if across.scale is Scale.LOG else across.low
        out.append(words(row.said, palette.warn, x=left, xanchor="left", xshift=10, y=row.row))
    return out


def _middle(ruler: Ruler) -> float:
    if ruler.scale is Scale.LOG:
        return (math.log10(ruler.low) + math.log10(ruler.high)) / 2
    return (ruler.low + ruler.high) / 2
