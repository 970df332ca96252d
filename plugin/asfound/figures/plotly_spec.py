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

from .bands_live import bands_data, key_shapes
from .curves_live import region_key, shown_data
from .packed import CONFIG
from .palette import COLOURS, LIGHT, Palette
from .parts import LINE_LOOK, SIZE, tone
from .plane import MANY
from .sheet import Label, Sheet
from .sights import sights_data
from .spec import Band, Bound, Chart, Line, Pattern, Point, Scale, Series, Shape, Span, SpanRole
from .svg import laid_out

WIDTH = 760
"""The live copy is laid out for this many CSS pixels, as the drawing for wide screens is."""

_CLEAR = "rgba(0,0,0,0)"

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


def interactive(chart: Chart, palette: Palette = LIGHT) -> dict[str, Any]:
    """``data``, ``layout`` and ``config`` for plotly.js, laid out as the drawing is, label for label.

    ``layout.meta.colours`` maps every literal colour to its style variable. On a chart with rows the y axis counts the
    pixels of the drawing, because rows differ in height.
    """
    return live(*laid_out(chart, palette, WIDTH))


def live(sheet: Sheet, height: float) -> dict[str, Any]:
    """The live copy of a chart that was laid out, in its palette."""
    chart, palette, area = sheet.chart, sheet.palette, sheet.area
    data = [_band(band, palette) for band in chart.bands]
    data += [_line(sheet, line) for line in chart.lines if line.points]
    data += [_series(sheet, number, series) for number, series in enumerate(chart.series) if series.points]
    if chart.shown:
        data += shown_data(sheet)
    elif chart.sights:
        data += sights_data(sheet)
    elif chart.stretches:
        data += bands_data(sheet)
    figure: dict[str, Any] = {
        "config": CONFIG,
        "data": data,
        "layout": {
            "annotations": [_label(sheet, label) for label in sheet.labels],
            "dragmode": "zoom",
            "font": {"color": palette.ink, "family": "Source Sans 3, sans-serif", "size": SIZE},
            "height": round(height),
            "hoverlabel": {
                "align": "left",
                "bgcolor": palette.wash,
                "bordercolor": palette.soft,
                "font": {"color": palette.ink},
            },
            "hovermode": "closest",
            "margin": {
                "b": round(height - area.bottom, 1),
                "l": round(area.left, 1),
                "pad": 0,
                "r": round(WIDTH - area.right, 1),
                "t": round(area.top, 1),
            },
            "meta": {"colours": {getattr(palette, name): f"--af-{name}" for name in COLOURS}},
            "paper_bgcolor": _CLEAR,
            "plot_bgcolor": _CLEAR,
            "shapes": [shape for span in chart.spans for shape in _span(sheet, span)]
            + (key_shapes(sheet) if chart.stretches else region_key(sheet)),
            "showlegend": False,
            "xaxis": _x_axis(sheet),
            "yaxis": _y_axis(sheet),
        },
    }
    if chart.shown and chart.shown.bars:
        figure["layout"]["barmode"] = "overlay"
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


def _x_axis(sheet: Sheet) -> dict[str, Any]:
    ruler, palette = sheet.x_ruler, sheet.palette
    log = ruler.scale is Scale.LOG
    ends = [math.log10(ruler.low), math.log10(ruler.high)] if log else [ruler.low, ruler.high]
    return {
        "color": palette.soft,
        "gridcolor": palette.rule,
        "linecolor": palette.ink,
        "range": ends,
        "showgrid": sheet.chart.rows or (log and sheet.chart.shown is not None),
        "showline": True,
        "tickcolor": palette.ink,
        "tickmode": "array",
        "ticks": "outside",
        "ticktext": [_plain(t.text) for t in ruler.ticks],
        "tickvals": [t.value for t in ruler.ticks],
        "type": "log" if log else "linear",
        "zeroline": False,
    }


def _y_axis(sheet: Sheet) -> dict[str, Any]:
    ruler, area = sheet.y_ruler, sheet.area
    look: dict[str, Any] = {"color": sheet.palette.soft, "gridcolor": sheet.palette.rule, "zeroline": False}
    if sheet.chart.rows:
        # The names of the rows are labels of the drawing; the axis itself only carries the guide lines.
        look |= {"fixedrange": True, "griddash": "dot", "range": [round(area.bottom, 1), round(area.top, 1)]}
        look |= {"showticklabels": False, "tickmode": "array", "type": "linear"}
        look["tickvals"] = [round(sheet.row_place(t.value, 0), 1) for t in ruler.ticks] if _single(sheet) else []
        return look
    log = ruler.scale is Scale.LOG
    look["range"] = [math.log10(ruler.low), math.log10(ruler.high)] if log else [ruler.low, ruler.high]
    look |= {"tickcolor": _CLEAR, "tickmode": "array", "ticks": "outside", "type": "log" if log else "linear"}
    look |= {"ticktext": [_plain(t.text) for t in ruler.ticks], "tickvals": [t.value for t in ruler.ticks]}
    return look


def _single(sheet: Sheet) -> bool:
    return len(sheet.chart.series) < 2


def _band(band: Band, palette: Palette) -> dict[str, Any]:
    edge = [*band.lower, *reversed(band.upper)]
    return {
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


def _line(sheet: Sheet, line: Line) -> dict[str, Any]:
    colour, width, pattern = LINE_LOOK[line.role]
    rows = sheet.chart.rows
    middle = (len(sheet.chart.series) - 1) // 2
    return {
        "hoverinfo": "skip",
        "line": {"color": getattr(sheet.palette, colour), "dash": _DASH[pattern], "width": width},
        "mode": "lines",
        "name": _plain(line.label),
        "type": "scatter",
        "x": [x for x, _ in line.points],
        "y": [round(sheet.row_place(y, middle), 1) if rows else y for _, y in line.points],
    }


def _series(sheet: Sheet, number: int, series: Series) -> dict[str, Any]:
    points, palette, rows = series.points, sheet.palette, sheet.chart.rows
    lined, dotted = series.pattern is not Pattern.NONE, series.shape is not Shape.NONE
    if lined and len(points) > MANY:
        dotted = False
    trace: dict[str, Any] = {
        "customdata": [_told(series, point) for point in points],
        "hovertemplate": "%{customdata[0]}<extra></extra>",
        "line": {"color": palette.ink, "dash": _DASH[series.pattern], "width": 1.4},
        "mode": "+".join(m for m, on in (("lines", lined), ("markers", dotted or not lined)) if on),
        "name": _plain(series.name),
        "type": "scatter",
        "x": [p.x for p in points],
        "y": [round(sheet.row_place(p.y, number), 1) if rows else p.y for p in points],
    }
    if dotted or not lined:
        # A mark that stands at the end of an axis is shown whole.
        trace["cliponaxis"] = False
        colour = _one([getattr(palette, tone(p)) for p in points])
        trace["marker"] = {
            "color": colour,
            "line": {"color": colour, "width": 1.2},
            "size": 8,
            "symbol": _one([_symbol(series.shape, p, rows=rows) for p in points]),
        }
        if any(p.doubt for p in points):
            trace["error_x" if rows else "error_y"] = {
                "array": [p.doubt and float(f"{p.doubt:.4g}") for p in points],
                "color": palette.ink,
                "thickness": 1.6,
                "type": "data",
                "width": 3,
            }
    return trace


def _one(values: list[str]) -> str | list[str]:
    """What all marks share, or what each has."""
    return values[0] if len(set(values)) == 1 else values


def _symbol(shape: Shape, point: Point, *, rows: bool) -> str:
    """Crossed where void, pointing to where the true value lies where only one side of it is known."""
    if point.excluded:
        return _SYMBOL[shape] + ("-open-dot" if shape is Shape.TRIANGLE else "-x-open")
    if point.bound is Bound.EXACT:
        return _SYMBOL[shape]
    low, high = ("left", "right") if rows else ("down", "up")
    return f"triangle-{low if point.bound is Bound.BELOW else high}-open"


def _told(series: Series, point: Point) -> list[str]:
    """What a reading says when pointed at, and the record it leads to."""
    void = f"void: {point.excluded}" if point.excluded else ""
    lines = [series.name, point.x_text, point.said, point.outcome, void, point.ref]
    return ["<br>".join(_plain(line) for line in lines if line), point.ref]


def _span(sheet: Sheet, span: Span) -> list[dict[str, Any]]:
    window = span.role is SpanRole.WINDOW
    shade: dict[str, Any] = {
        "fillcolor": sheet.palette.mark if window else sheet.palette.soft,
        "layer": "below",
        "line": {"width": 0},
        "opacity": 0.13,
        "type": "rect",
        "x0": sheet.x_ruler.low if span.low is None else span.low,
        "x1": sheet.x_ruler.high if span.high is None else span.high,
        "xref": "x",
        "y0": 0,
        "y1": 1,
        "yref": "paper",
    }
    return [shade]


def _label(sheet: Sheet, label: Label) -> dict[str, Any]:
    """A label of the drawing as an annotation: bound to its reading where it has one, else to the plot."""
    area = sheet.area
    level = label.base - SIZE * 0.34
    text = _plain(label.words)
    out: dict[str, Any] = {
        "borderpad": 0,
        "font": {"color": getattr(sheet.palette, label.tone)},
        "showarrow": False,
        "text": f"<b>{text}</b>" if label.bold else text,
        "xanchor": {"start": "left", "middle": "center", "end": "right"}[label.anchor],
        "yanchor": "middle",
    }
    if label.spot is None:
        middle = label.anchor == "middle"
        zero = (area.left + area.right) / 2 if middle else area.left
        out |= {"x": 0.5 if middle else 0, "xref": "paper", "xshift": round(label.at - zero, 1)}
        out |= {"y": 1, "yref": "paper", "yshift": round(area.top - level, 1)}
        return out
    px, py = label.spot
    out["x"] = math.log10(label.x) if sheet.x_ruler.scale is Scale.LOG else label.x
    if sheet.chart.rows or py <= area.top:
        out |= {"y": 1, "yref": "paper"}
        py = area.top
    else:
        # Pixels back to axis units, so that the label follows its reading when the view is changed.
        ruler = sheet.y_ruler
        share = (area.bottom - py) / (area.bottom - area.top)
        low, high = (math.log10(v) if ruler.scale is Scale.LOG else v for v in (ruler.low, ruler.high))
        out["y"] = round(low + share * (high - low), 6)
    if label.lead:
        # The stroke ends at the side of the words that faces the reading.
        lift = SIZE * 0.5 if abs(level - py) > 20 else 0.0
        out |= {"arrowcolor": sheet.palette.soft, "arrowhead": 0, "arrowwidth": 1, "showarrow": True, "standoff": 5}
        out |= {"ax": round(label.at - px, 1), "ay": round(level - py + (lift if level < py else -lift), 1)}
        out["yanchor"] = "middle" if not lift else "bottom" if level < py else "top"
    else:
        out |= {"xshift": round(label.at - px, 1), "yshift": round(py - level, 1)}
    return out
