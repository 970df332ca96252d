"""The bands of custody for a screen that can be asked: outlines with their patterns, and places that answer."""

from __future__ import annotations

import html
import re
from typing import Any

from .bands import HIGH, KEY, colour, key_places, strokes
from .sheet import Sheet
from .spec import Look, Stretch

_DASH = {Look.GAP: "dash", Look.TOLD: "dash", Look.UNTOLD: "dot"}
_SLANT = {Look.GAP: "x", Look.TOLD: "/", Look.CARRIED: "|"}


def bands_data(sheet: Sheet) -> list[dict[str, Any]]:
    """One trace for each way of keeping, then one whose places tell what a band is, then the gates."""
    chart = sheet.chart
    data = [
        _outline(sheet, look, [one for one in chart.stretches if one.look is look])
        for look in Look
        if any(one.look is look for one in chart.stretches)
    ]
    data.append(_answers(sheet))
    if chart.events:
        data.append(_gates(sheet))
    return data


def key_shapes(sheet: Sheet) -> list[dict[str, Any]]:
    """The swatches of the key, at the places of the drawing: pixels from the upper left corner of the plot."""
    found = []
    for look, left, base in key_places(sheet):
        start, top = left - sheet.area.left, base - 14 - sheet.area.top
        edge, inner = strokes(look, start, start + KEY, top)
        for path, width in ((edge, 2 if look is Look.GAP else 1.2), (inner, 1)):
            if not path:
                continue
            whole = path is edge
            found.append(
                {
                    "fillcolor": sheet.palette.wash if whole and look in {Look.HELD, Look.STORED} else "rgba(0,0,0,0)",
                    "line": {
                        "color": getattr(sheet.palette, colour(look)),
                        "dash": _DASH.get(look, "solid") if whole else "solid",
                        "width": width,
                    },
                    "path": _upwards(path),
                    "type": "path",
                    "xanchor": 0,
                    "xref": "paper",
                    "xsizemode": "pixel",
                    "yanchor": 1,
                    "yref": "paper",
                    "ysizemode": "pixel",
                }
            )
    return found


def _upwards(path: str) -> str:
    """Path data with its heights turned over: the library counts the pixels of a shape upwards."""

    def turned(found: re.Match[str]) -> str:
        letter, first, second = found[1], float(found[2]), found[3]
        if letter == "V":
            return f"V{-first:.1f}"
        return f"{letter}{first:.1f},{-float(second):.1f}" if second else f"{letter}{first:.1f}"

    return re.sub(r"([MLHV])(-?[0-9.]+)(?:,(-?[0-9.]+))?", turned, path)


def _outline(sheet: Sheet, look: Look, stretches: list[Stretch]) -> dict[str, Any]:
    x: list[float | None] = []
    y: list[float | None] = []
    for one in stretches:
        middle = sheet.row_place(one.row, 0)
        top, bottom = round(middle - HIGH / 2, 1), round(middle + HIGH / 2, 1)
        if look is Look.UNTOLD:
            x += [one.start, one.end, None]
            y += [round(middle, 1), round(middle, 1), None]
            continue
        # A band that goes on has no closing end.
        ends, sides = [one.end, one.start, one.start, one.end], [top, top, bottom, bottom]
        x += [*ends, *([] if one.open else [one.end]), None]
        y += [*sides, *([] if one.open else [top]), None]
        if look is Look.STORED:
            x += [one.start, one.end, None, one.start, one.end, None]
            y += [top + 3, top + 3, None, bottom - 3, bottom - 3, None]
    ink = getattr(sheet.palette, colour(look))
    trace: dict[str, Any] = {
        "hoverinfo": "skip",
        "line": {"color": ink, "dash": _DASH.get(look, "solid"), "width": 2 if look is Look.GAP else 1.2},
        "mode": "lines",
        "name": str(look),
        "type": "scatter",
        "x": x[:-1],
        "y": y[:-1],
    }
    if look is not Look.UNTOLD:
        trace |= {"fill": "toself", "fillcolor": sheet.palette.wash}
        if look in _SLANT:
            trace["fillpattern"] = {
                "bgcolor": sheet.palette.paper, "fgcolor": ink, "shape": _SLANT[look], "size": 8, "solidity": 0.15,
            }  # fmt: skip
    return trace


def _answers(sheet: Sheet) -> dict[str, Any]:
    """Invisible places along each band, so that pointing anywhere near one tells what it is."""
    x: list[float] = []
    y: list[float] = []
    told: list[list[str]] = []
    width = sheet.x_ruler.high - sheet.x_ruler.low
    for one in sheet.chart.stretches:
        parts = min(24, max(1, round(48 * (one.end - one.start) / width)))
        for number in range(parts):
            x.append(round(one.start + (one.end - one.start) * (number + 0.5) / parts, 6))
            y.append(round(sheet.row_place(one.row, 0), 1))
            told.append([_lines(sheet.chart.y.categories[one.row], *one.said.split(", ")), one.ref])
    return _told("bands", x, y, told, {"color": sheet.palette.ink, "opacity": 0, "size": 12})


def _gates(sheet: Sheet) -> dict[str, Any]:
    events = sheet.chart.events
    return _told(
        "gates",
        [one.x for one in events],
        [round(sheet.row_place(one.row, 0) + HIGH / 2 + 5, 1) for one in events],
        [[_lines(sheet.chart.y.categories[one.row], one.words, one.text, one.ref), one.ref] for one in events],
        {"color": sheet.palette.ink, "size": 6, "symbol": "triangle-up"},
    )


def _told(name: str, x: list[float], y: list[float], told: list[list[str]], marker: dict[str, Any]) -> dict[str, Any]:
    return {
        "customdata": told,
        "hovertemplate": "%{customdata[0]}<extra></extra>",
        "marker": marker,
        "cliponaxis": False,
        "mode": "markers",
        "name": name,
        "type": "scatter",
        "x": x,
        "y": y,
    }


def _lines(*parts: str) -> str:
    return "<br>".join(html.escape(part, quote=False) for part in parts if part)
