"""A chart drawn as SVG 1.1, by hand: the same bytes for the same chart, readable without a script, printable.

Labels stand where the thing is: limits at the end of their line, series beside their last point, verdict
words beside the reading. No text is turned on its side.
"""

from __future__ import annotations

from .bands import draw_bands
from .build_up import draw_build_up
from .curves import draw_curves
from .palette import Palette
from .parts import SIZE, esc
from .plane import draw_plane
from .rows import draw_rows
from .sheet import Sheet
from .sights import draw_lanes
from .spec import Chart


def draw(chart: Chart, palette: Palette, width: float = 760) -> str:
    """The chart as one SVG element, ``width`` CSS pixels wide; ids inside begin with the chart's id and
    the width."""
    return written(*laid_out(chart, palette, width))


def written(sheet: Sheet, height: float, *, captioned: bool = False) -> str:
    """A chart that was laid out, as one SVG element. Where a caption beside it says the note, its description is the
    result alone, so that whoever listens hears the note once."""
    chart, palette, width = sheet.chart, sheet.palette, sheet.width
    key = chart.id if captioned else f"{chart.id}-{width:.0f}"
    said = " ".join(t for t in (chart.result, "" if captioned else chart.note) if t)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" width="{width:.0f}" '
        f'height="{height:.0f}" role="img" aria-labelledby="{key}-t {key}-d" font-family="{palette.font}" '
        f'font-size="{SIZE}" fill="{palette.ink}"><title id="{key}-t">{esc(chart.title)}</title>'
        f'<desc id="{key}-d">{esc(said)}</desc>'
    )
    return head + "".join(sheet.out) + "</svg>"


def laid_out(chart: Chart, palette: Palette, width: float) -> tuple[Sheet, float]:
    """The drawing as parts with places, and its height; the live copy is set from the same places."""
    sheet = Sheet(chart, palette, width)
    if chart.shown:
        return sheet, draw_build_up(sheet) if chart.rows else draw_curves(sheet)
    if chart.sights:
        return sheet, draw_lanes(sheet)
    if chart.stretches:
        return sheet, draw_bands(sheet)
    return sheet, draw_rows(sheet) if chart.rows else draw_plane(sheet)
