"""Bands of custody: one for each thing on a common axis of time, a pattern for each way of keeping, gaps with a word.

What a band is, its pattern and its words say; the colour only repeats it. A gap, however short, is never drawn
narrower than can be seen, and has its word above the band.
"""

from __future__ import annotations

from .lettering import text_width, wrap
from .palette import Palette
from .parts import SIZE, Room, esc
from .scale import place
from .sheet import Area, Label, Map, Sheet
from .spec import Event, Look, Stretch

HIGH = 20.0
"""Height of a band."""
_LEAD = 17.0
_TICK = 6.0
KEY = 34.0
"""Width of a swatch in the key."""
_SEEN = 3.0
"""No gap is drawn narrower than this."""


def draw_bands(sheet: Sheet) -> float:
    """Draw a chart of bands; the answer is its height."""
    chart, palette = sheet.chart, sheet.palette
    keys = _key_lines(sheet)
    top = 16.0 + 24 * len(keys)
    most = sheet.width * (0.34 if sheet.narrow else 0.26)
    names = [wrap(name, SIZE, most) for name in chart.y.categories]
    column = max(text_width(line, SIZE) for lines in names for line in lines) + 6
    tops, centres, at = [], [], top
    for row, lines in enumerate(names):
        here = [one for one in chart.stretches if one.row == row]
        head = 16.0 if any(one.look is Look.GAP for one in here) else 4.0
        tail = _TICK + 4 if any(one.row == row for one in chart.events) else 2.0
        high = max(head + HIGH + tail + 4, _LEAD * len(lines) + 8)
        tops.append(at + head + (high - head - HIGH - tail - 4) / 2)
        centres.append(tops[-1] + HIGH / 2)
        at += high
    area = Area(column + 14, top, sheet.width - 16, at + 4)
    sheet.area = area
    sheet.row_place = lambda value, series: centres[min(max(round(value), 0), len(centres) - 1)]
    x = place(sheet.x_ruler, area.left, area.right)
    for look, left, base in key_places(sheet):
        sheet.out.append(swatch(look, left, left + KEY, base - 14, palette))
        sheet.out.append(sheet.say(Label(str(look), "ink", left + KEY + 6, base, "start")))
    grid = "".join(f"M{x(t.value):.1f},{area.top:.1f}V{area.bottom:.1f}" for t in sheet.x_ruler.ticks)
    sheet.out.append(f'<path d="{grid}" fill="none" stroke="{palette.rule}"/>')
    sheet.group(
        f'fill="{palette.ink}"',
        [
            sheet.say(Label(line, "ink", column, c + 4.5 + _LEAD * (i - (len(lines) - 1) / 2), "end"))
            for c, lines in zip(centres, names, strict=True)
            for i, line in enumerate(lines)
        ],
    )
    for one in sorted(chart.stretches, key=lambda one: one.look is Look.GAP):
        sheet.out.append(_band(one, x, tops[one.row], area, palette))
    _words(sheet, x, tops, area)
    _events(sheet, x, tops)
    sheet.x_axis(area, x)
    return area.bottom + sheet.x_axis_height()


def edges(one: Stretch, x: Map, area: Area) -> tuple[float, float]:
    """Left and right of a band in pixels; a gap keeps the least width that can be seen."""
    left, right = x(one.start), x(one.end)
    if one.look is Look.GAP and right - left < _SEEN:
        left, right = (left + right - _SEEN) / 2, (left + right + _SEEN) / 2
    return max(left, area.left), min(right, area.right)


def colour(look: Look) -> str:
    """The name of the colour that repeats what the pattern says."""
    return {Look.GAP: "warn", Look.STORED: "mark"}.get(look, "soft")


def swatch(look: Look, left: float, right: float, top: float, palette: Palette, *, open: bool = False) -> str:
    """A band in its pattern."""
    ink = getattr(palette, colour(look))
    edge, inner = strokes(look, left, right, top, open=open)
    if look is Look.UNTOLD:
        return (
            f'<path d="{edge}" fill="none" stroke="{ink}" stroke-width="1.6" '
            'stroke-dasharray="1.5 4" stroke-linecap="round"/>'
        )
    fill = {Look.HELD: palette.wash, Look.STORED: palette.mark}.get(look, palette.paper)
    depth = ' fill-opacity="0.16"' if look is Look.STORED else ""
    dash = ' stroke-dasharray="5 3"' if look in {Look.GAP, Look.TOLD} else ""
    wide = "2" if look is Look.GAP else "1.2"
    out = f'<path d="{edge}" fill="{fill}"{depth} stroke="{ink}" stroke-width="{wide}"{dash}/>'
    return out + (f'<path d="{inner}" fill="none" stroke="{ink}"/>' if inner else "")


def strokes(look: Look, left: float, right: float, top: float, *, open: bool = False) -> tuple[str, str]:
    """Path data of the outline of a band and of the strokes inside it (empty: none), in pixels."""
    bottom = top + HIGH
    if look is Look.UNTOLD:
        return f"M{left:.1f},{top + HIGH / 2:.1f}H{right:.1f}", ""
    edge = f"M{right:.1f},{top:.1f}H{left:.1f}V{bottom:.1f}H{right:.1f}" + ("" if open else "Z")
    return edge, _inner(look, left, right, top, bottom)


def _inner(look: Look, left: float, right: float, top: float, bottom: float) -> str:
    """Strokes inside a band: two lines for a store, slants one way or both for what nobody kept."""
    if look is Look.STORED:
        return f"M{left:.1f},{top + 3:.1f}H{right:.1f}M{left:.1f},{bottom - 3:.1f}H{right:.1f}"
    if look is Look.CARRIED:
        places = range(int(left) + 4, int(right), 8)
        return "".join(f"M{at},{top:.1f}V{bottom:.1f}" for at in places)
    if look in {Look.TOLD, Look.GAP}:
        step = 12 if look is Look.TOLD else 9
        slants = _slants(left, right, top, bottom, step)
        return slants + (_slants(left, right, bottom, top, step) if look is Look.GAP else "")
    return ""


def _slants(left: float, right: float, start: float, end: float, step: int) -> str:
    """Slanted strokes, each cut where the band ends."""
    high = abs(end - start)
    out = []
    at = left - high + step / 2
    while at < right:
        a, b = max(at, left), min(at + high, right)
        if b - a > 0.5:
            way = 1 if end > start else -1
            out.append(f"M{a:.1f},{start + way * (a - at):.1f}L{b:.1f},{start + way * (b - at):.1f}")
        at += step
    return "".join(out)


def _band(one: Stretch, x: Map, top: float, area: Area, palette: Palette) -> str:
    left, right = edges(one, x, area)
    return f"<g><title>{esc(one.said)}</title>{swatch(one.look, left, right, top, palette, open=one.open)}</g>"


def _words(sheet: Sheet, x: Map, tops: list[float], area: Area) -> None:
    """Words inside the bands that have room for them, and above every gap."""
    room = Room((area.left, area.top - 4, sheet.width - 2, area.bottom))
    inside: list[str] = []
    above: list[str] = []
    for one in sheet.chart.stretches:
        left, right = edges(one, x, area)
        middle, top = (left + right) / 2, tops[one.row]
        spot = (middle, top + HIGH / 2)
        at = (one.start + one.end) / 2
        if one.look is Look.GAP:
            words = f"gap, {one.length}" if one.length else "gap"
            tries = [(0.0, -5.0, "middle"), (8.0, -5.0, "start"), (-8.0, -5.0, "end")]
            px, base, anchor = room.label(middle, top, words, tries, bold=True)
            above.append(sheet.say(Label(words, "warn", px, base, anchor, spot, at, bold=True)))
        elif one.look is not Look.UNTOLD and one.words and text_width(one.words, SIZE) + 10 < right - left:
            inside.append(sheet.say(Label(one.words, "ink", middle, top + HIGH / 2 + 4.6, "middle", spot, at)))
    sheet.group(sheet.halo("ink"), inside)
    sheet.group(sheet.halo("warn", bold=True), above)


def _events(sheet: Sheet, x: Map, tops: list[float]) -> None:
    parts = [_tick(one, x(one.x), tops[one.row] + HIGH + 2) for one in sheet.chart.events]
    sheet.group(f'fill="{sheet.palette.ink}"', parts)


def _tick(one: Event, at: float, top: float) -> str:
    said = ", ".join(part for part in (one.words, one.text, one.ref) if part)
    return f'<path d="M{at:.1f},{top:.1f}l3,{_TICK:.1f}h-6Z"><title>{esc(said)}</title></path>'


def _key_lines(sheet: Sheet) -> list[list[Look]]:
    """The ways of keeping that occur, broken to the width."""
    lines: list[list[Look]] = [[]]
    used = 0.0
    for look in (look for look in Look if any(one.look is look for one in sheet.chart.stretches)):
        wide = text_width(look, SIZE) + KEY + 28
        if lines[-1] and used + wide > sheet.width:
            lines.append([])
            used = 0.0
        lines[-1].append(look)
        used += wide
    return lines


def key_places(sheet: Sheet) -> list[tuple[Look, float, float]]:
    """Each way of keeping with the left end of its swatch and the baseline of its words."""
    found = []
    for number, line in enumerate(_key_lines(sheet)):
        at = 1.0
        for look in line:
            found.append((look, at, 17.0 + 24 * number))
            at += text_width(look, SIZE) + KEY + 28
    return found
