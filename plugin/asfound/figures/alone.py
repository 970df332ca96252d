"""A chart as one file of its own: the drawing with its title, result, note and source in the picture."""

from __future__ import annotations

from collections.abc import Sequence

from .lettering import wrap
from .palette import PAPER, Palette
from .parts import SIZE, esc
from .spec import Chart
from .svg import laid_out

WIDTH = 760.0
EDGE = 24.0
_LEAD = 19.0
_SAFE = 1.17
"""How much wider than ours a font may be that stands in for it where the file is opened."""


def alone(chart: Chart, ground: Sequence[str], palette: Palette = PAPER) -> str:
    """The chart as an SVG document that can be opened, printed and sent by itself.

    ground  lines that say what went in, by which formula and on whose authority; set small under the drawing
    """
    sheet, high = laid_out(chart, palette, WIDTH)
    out: list[str] = []
    at = EDGE + 14
    at = _lines(out, chart.title, at, palette.ink, 18, 600)
    at = _lines(out, chart.result, at + 4, palette.ink, 15, 400) + 8
    out.append(f'<g transform="translate({EDGE:.0f},{at:.0f})" font-size="{SIZE}">{"".join(sheet.out)}</g>')
    at += high + 30
    for words in (chart.note, *ground):
        if words:
            at = _lines(out, words, at, palette.soft, SIZE, 400) + 3
    wide, tall = WIDTH + 2 * EDGE, at + EDGE - 12
    key = f"{chart.id}-alone"
    said = " ".join(part for part in (chart.result, chart.note, *ground) if part)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:.0f} {tall:.0f}" width="{wide:.0f}" '
        f'height="{tall:.0f}" role="img" aria-labelledby="{key}-t {key}-d" font-family="{palette.font}" '
        f'fill="{palette.ink}"><title id="{key}-t">{esc(chart.title)}</title><desc id="{key}-d">{esc(said)}</desc>'
        f'<rect width="100%" height="100%" fill="{palette.paper}"/>{"".join(out)}</svg>\n'
    )


def _lines(out: list[str], words: str, at: float, colour: str, size: float, weight: int) -> float:
    """Set words from the baseline `at` on, broken to the width; the answer is the baseline of what follows."""
    lead = _LEAD * size / 14.5
    for line in wrap(words, size * (1.05 if weight > 400 else 1.0), WIDTH / _SAFE):
        look = f'font-size="{size}" font-weight="{weight}" fill="{colour}"'
        out.append(f'<text x="{EDGE:.0f}" y="{at:.1f}" {look}>{esc(line)}</text>')
        at += lead
    return at
