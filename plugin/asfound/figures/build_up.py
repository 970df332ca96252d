"""Drawing of parts that add up: a bar a row, each beginning where the one before ended, levels upright through all."""

from __future__ import annotations

from itertools import pairwise

from .curve_looks import LEVEL_LOOK, stroke
from .curve_spec import Bar, Level
from .lettering import text_width, wrap
from .parts import SIZE, Room, esc
from .placing import LEAD, block, find, say
from .scale import place
from .sheet import Area, Label, Map, Sheet

HIGH = 16.0
"""Height of a bar."""
_TOGETHER = "together"


def draw_build_up(sheet: Sheet) -> float:
    """Draw a chart of bars; the answer is its height."""
    chart, palette = sheet.chart, sheet.palette
    shown = chart.shown
    assert shown is not None
    most = sheet.width * (0.34 if sheet.narrow else 0.32)
    names = [wrap(name, SIZE, most) for name in chart.y.categories]
    column = max(text_width(line, SIZE) for lines in names for line in lines) + 2
    heights = [max(HIGH + 14, LEAD * len(lines) + 10) for lines in names]
    sums = [bar.sum_text for bar in shown.bars if bar.sum_text]
    beside = max((text_width(words, SIZE) for words in (*sums, _TOGETHER)), default=0.0) + 12 if sums else 0.0
    area = Area(column + 12, 0.0, sheet.width - 16 - beside, 0.0)
    x = place(sheet.x_ruler, area.left, area.right)
    levels = sorted((one for one in shown.levels if one.axis == "x"), key=lambda one: (one.value, one.words))
    blocks = [block(one.words, sheet.width * 0.6) for one in levels]
    # Every level has a line of its own above the rows, so that near ones never meet.
    area.top = 4.0 + sum(of.high + 5 for of in blocks) + 4 + (12 if sums else 0)
    centres, at = [], area.top
    for height in heights:
        centres.append(at + height / 2)
        at += height
    area.bottom = at + 4
    sheet.area = area
    sheet.row_place = lambda value, series: centres[min(max(round(value), 0), len(centres) - 1)]
    grid = "".join(f"M{x(t.value):.1f},{area.top:.1f}V{area.bottom:.1f}" for t in sheet.x_ruler.ticks)
    sheet.out.append(f'<path d="{grid}" fill="none" stroke="{palette.rule}"/>')
    sheet.group(
        f'fill="{palette.ink}"',
        [
            sheet.say(Label(line, "ink", column, centre + 4.5 + LEAD * (i - (len(lines) - 1) / 2), "end"))
            for centre, lines in zip(centres, names, strict=True)
            for i, line in enumerate(lines)
        ],
    )
    room = Room((area.left, area.top, area.right + 12, area.bottom))
    if sums:
        _sums(sheet, shown.bars)
    _bars(sheet, shown.bars, x, room)
    _levels(sheet, levels, x, room)
    sheet.x_axis(area, x)
    _words(sheet, shown.bars, x, room)
    return area.bottom + sheet.x_axis_height()


def _sums(sheet: Sheet, bars: tuple[Bar, ...]) -> None:
    """The running sum, in a column of its own to the right of the bars."""
    end = sheet.width - 2
    last = {bar.row: bar for bar in bars}
    words = [sheet.say(Label(_TOGETHER, "soft", end, sheet.area.top - 3, "end"))]
    words += [
        sheet.say(Label(bar.sum_text, "soft", end, sheet.row_place(row, 0) + 4.5, "end")) for row, bar in last.items()
    ]
    sheet.group(f'fill="{sheet.palette.soft}"', words)


def steps(bars: tuple[Bar, ...]) -> list[tuple[float, int, int]]:
    """Where one bar takes up the end of the one before: the place on the axis, and the two rows."""
    return [(b.start, a.row, b.row) for a, b in pairwise(bars) if b.start == a.end and a.row != b.row]


def _bars(sheet: Sheet, bars: tuple[Bar, ...], x: Map, room: Room) -> None:
    palette = sheet.palette
    joins = "".join(f"M{x(at):.1f},{sheet.row_place(a, 0):.1f}V{sheet.row_place(b, 0):.1f}" for at, a, b in steps(bars))
    if joins:
        sheet.out.append(f'<path d="{joins}" fill="none" stroke="{palette.soft}" stroke-dasharray="2 3"/>')
    for bar in bars:
        left, right = sorted((x(bar.start), x(bar.end)))
        top = sheet.row_place(bar.row, 0) - HIGH / 2
        room.boxes.append((left, top, right, top + HIGH))
        said = ", ".join(part for part in (sheet.chart.y.categories[bar.row], bar.named, bar.ref) if part)
        # A part of nothing is still seen, as a stroke.
        path = f"M{left:.1f},{top:.1f}h{max(right - left, 1.0):.1f}v{HIGH:.1f}H{left:.1f}Z"
        sheet.out.append(
            f'<path d="{path}" fill="{palette.mark}" fill-opacity="0.22" stroke="{palette.mark}" stroke-width="1.2">'
            f"<title>{esc(said)}</title></path>"
        )


def _levels(sheet: Sheet, levels: list[Level], x: Map, room: Room) -> None:
    area, top = sheet.area, 4.0
    for level in levels:
        of = block(level.words, sheet.width * 0.6)
        px = x(level.value)
        tone = LEVEL_LOOK[level.role][0]
        look = stroke(LEVEL_LOOK[level.role], sheet.palette)
        foot = top + of.high + 2
        sheet.out.append(
            f'<path d="M{px:.1f},{foot:.1f}V{area.bottom:.1f}" {look}>'
            f"<title>{esc(f'{level.words}, {level.text}')}</title></path>"
        )
        room.strokes.append([(px, foot), (px, area.bottom)])
        centre = min(max(px, of.wide / 2 + 2), sheet.width - of.wide / 2 - 2)
        parts = say(sheet, of, (centre, top, "middle"), tone, (px, area.top), level.value)
        sheet.group(sheet.halo(tone), parts)
        top += of.high + 5


def _words(sheet: Sheet, bars: tuple[Bar, ...], x: Map, room: Room) -> None:
    """What each bar says: beside its end, before its start, or on it, wherever it hides least."""
    words = []
    for bar in bars:
        left, right = sorted((x(bar.start), x(bar.end)))
        centre = sheet.row_place(bar.row, 0)
        of = block(bar.text, sheet.width)
        tries = [(right + 6, centre - of.high / 2, "start"), (left - 6, centre - of.high / 2, "end")]
        tries += [((left + right) / 2, centre - of.high / 2, "middle")]
        at = find(room, of, tries)
        assert at is not None
        words += say(sheet, of, at, "ink", ((left + right) / 2, centre), (bar.start + bar.end) / 2)
    sheet.group(sheet.halo("ink"), words)
