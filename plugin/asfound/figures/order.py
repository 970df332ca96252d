"""The order of work: time runs down, a line for each thing, gates across the lines, readings hung under their gate.

How far a thing was cleared is told by the pattern of its line, so that a reading taken too early stands on the wrong
line; and where a rule says so, it is crossed and worded.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from .lettering import text_width, wrap
from .order_spec import Act, Cleared, Deed, Order
from .palette import Palette
from .parts import SIZE, esc, shape, text
from .spec import Shape

_LEAD = 16.5
_ROW = 7.0
"""Room between two acts beyond their lines."""
_CLOCK = 48.0
_HANG = 17.0
"""How far what hangs under a gate is drawn in."""
Link = Callable[[str], str]


class _Line(Struct):
    """An act or the head of a day, with its words broken to the room, and its top."""

    act: Act | None
    day: str
    words: list[tuple[str, str]]
    top: float
    high: float
    middle: float


def order_body(order: Order, palette: Palette, width: float, link: Link) -> tuple[str, float]:
    """The elements of the drawing, and its height in pixels."""
    narrow = width < 560
    names = _short(order.columns) if narrow else list(order.columns)
    step = max(17.0 if narrow else 26.0, max((text_width(one, SIZE) for one in names), default=0.0) + 5.0)
    tiers = 1
    if step * len(names) > width * 0.56:
        # Too many, or too long a name, to stand side by side: they take turns on several lines.
        tiers = -(-int(step * len(names)) // int(width * 0.56))
        step = width * 0.56 / len(names)
    edge = max((text_width(one, SIZE) / 2 for one in names), default=6.0) + 1
    first = width - max(edge, 8.0) - step * (len(names) - 1)
    room = first - step / 2 - 8
    keys, key_high = _key(order, palette, width)
    head = key_high + 17.0 * tiers
    lines, bottom = _lines(order, room, head + 12, narrow)
    columns = [first + step * i for i in range(len(names))]
    out = [keys, _heads(order, names, columns, head, tiers, narrow, palette)]
    out.append(_guides(lines, columns, palette))
    out.append(_lives(order, lines, columns, head + 6, bottom, palette))
    out += [_row(line, columns, palette, link, narrow) for line in lines]
    return "".join(out), bottom + 4


def _short(columns: tuple[str, ...]) -> list[str]:
    """Ids without the letter they share."""
    return [one.partition("-")[2] or one for one in columns]


def _lines(order: Order, room: float, top: float, narrow: bool) -> tuple[list[_Line], float]:
    lines: list[_Line] = []
    day, at, gated = "", top, False
    for act in order.acts:
        if act.day != day:
            day = act.day
            words = [(line, "day") for line in wrap(day, SIZE, room)]
            high = _LEAD * len(words) + 6
            lines.append(_Line(None, day, words, at, high, at + 12))
            at += high
        gated = gated or act.deed is Deed.GATE
        left = 0.0 if narrow else _CLOCK
        left += 0.0 if act.deed is Deed.GATE or not gated else _HANG
        free = room - left
        said = f"{act.clock} {act.words}" if narrow else act.words
        words = [(line, "said") for line in wrap(f"{act.ref} {said}".strip(), SIZE * 1.02, free)]
        if act.allowed:
            words += [(line, "soft") for line in wrap(f"allowed by {act.allowed}", SIZE, free)]
        if act.broken:
            words += [(line, "bad") for line in wrap(f"out of order: {act.broken}", SIZE * 1.05, free)]
        high = _LEAD * len(words) + _ROW
        lines.append(_Line(act, "", words, at, high, at + 7.5))
        at += high
    return lines, at


def _heads(
    order: Order, names: list[str], columns: list[float], head: float, tiers: int, narrow: bool, palette: Palette
) -> str:
    out = []
    for i, (name, x) in enumerate(zip(names, columns, strict=True)):
        base = head - 17.0 * (tiers - 1 - i % tiers)
        out.append(text(x, base, name, anchor="middle"))
    if narrow and order.columns:
        letter = order.columns[0].partition("-")[0]
        words = "thing" if len({one.partition("-")[0] for one in order.columns}) > 1 else f"thing {letter}-"
        out.append(text(columns[0] - 14, head, words, anchor="end", more=f' fill="{palette.soft}"'))
    return "".join(out)


def _guides(lines: list[_Line], columns: list[float], palette: Palette) -> str:
    """A faint line across under each day, so that the eye finds the row."""
    right = columns[-1] + 6 if columns else 0
    path = "".join(f"M0,{line.top - 1:.1f}H{right:.1f}" for line in lines if line.act is None)
    return f'<path d="{path}" fill="none" stroke="{palette.rule}"/>' if path else ""


def _lives(order: Order, lines: list[_Line], columns: list[float], top: float, bottom: float, palette: Palette) -> str:
    """The line of each thing, its pattern by how far it was cleared."""
    runs: dict[Cleared, list[str]] = {one: [] for one in Cleared}
    for i, x in enumerate(columns):
        state, since = order.start[i], top
        for line in lines:
            act = line.act
            if act is not None and act.cleared is not None and i in act.items and act.cleared is not state:
                runs[state].append(_stroke(state, x, since, line.middle))
                state, since = act.cleared, line.middle
        runs[state].append(_stroke(state, x, since, bottom - 2))
    return "".join(f'<path d="{"".join(paths)}"{_look(state, palette)}/>' for state, paths in runs.items() if paths)


def _stroke(state: Cleared, x: float, top: float, bottom: float) -> str:
    if state is Cleared.SAFE:
        return f"M{x - 1.8:.1f},{top:.1f}V{bottom:.1f}M{x + 1.8:.1f},{top:.1f}V{bottom:.1f}"
    return f"M{x:.1f},{top:.1f}V{bottom:.1f}"


def _look(state: Cleared, palette: Palette) -> str:
    more = {
        Cleared.NOT_YET: ' stroke-width="1.2" stroke-dasharray="1.5 4.5" stroke-linecap="round"',
        Cleared.IMPOUNDED: ' stroke-width="1.1" stroke-dasharray="6 3"',
        Cleared.INSPECTED: ' stroke-width="1.1"',
        Cleared.SAFE: ' stroke-width="1.1"',
    }[state]
    return f' fill="none" stroke="{palette.soft}"{more}'


def _row(line: _Line, columns: list[float], palette: Palette, link: Link, narrow: bool) -> str:
    base = line.top + 12
    if line.act is None:
        return "".join(
            text(0, base + 3 + _LEAD * i, words, more=f' fill="{palette.soft}" font-weight="600"')
            for i, (words, _) in enumerate(line.words)
        )
    act = line.act
    left = (0.0 if narrow else _CLOCK) + (0.0 if act.deed is Deed.GATE else _HANG)
    out = "" if narrow else text(0, base, act.clock, more=f' fill="{palette.soft}"')
    if act.deed is not Deed.GATE:
        out += (
            f'<path d="M{left - 11:.1f},{line.top - 6:.1f}V{line.middle:.1f}h7" fill="none" stroke="{palette.soft}"/>'
        )
    inner = "".join(
        _words(act, words, tone, left, base + _LEAD * i, palette) for i, (words, tone) in enumerate(line.words)
    )
    address = link(act.ref) if act.ref else ""
    out += f'<a xlink:href="{esc(address)}">{inner}</a>' if address else inner
    marks = "".join(_mark(act.deed, columns[i], line.middle, palette, bool(act.broken)) for i in act.items)
    marks += "".join(_mark(Deed.FITTED, columns[i], line.middle, palette, bool(act.broken)) for i in act.fitted)
    if act.deed is Deed.GATE and len(act.items) > 1:
        low, high = columns[min(act.items)], columns[max(act.items)]
        marks = f'<path d="M{low:.1f},{line.middle:.1f}H{high:.1f}" stroke="{palette.ink}" stroke-width="0.8"/>' + marks
    return out + (f"<g><title>{esc(_tip(act))}</title>{marks}</g>" if marks else "")


def _tip(act: Act) -> str:
    parts = (
        f"{act.day} {act.clock}",
        act.ref,
        act.words,
        f"allowed by {act.allowed}" if act.allowed else "",
        act.broken,
    )
    return ", ".join(part for part in parts if part)


def _words(act: Act, words: str, tone: str, left: float, base: float, palette: Palette) -> str:
    if tone == "soft":
        return text(left, base, words, more=f' fill="{palette.soft}"')
    if tone == "bad":
        return text(left, base, words, more=f' fill="{palette.bad}" font-weight="600"')
    if act.deed is Deed.GATE:
        return text(left, base, words, more=' font-weight="600"')
    if act.ref and words.startswith(act.ref):
        rest = words[len(act.ref) :]
        return f'<text x="{left:.1f}" y="{base:.1f}"><tspan font-weight="600">{esc(act.ref)}</tspan>{esc(rest)}</text>'
    return text(left, base, words)


def _mark(deed: Deed, x: float, y: float, palette: Palette, broken: bool) -> str:
    """The mark of a deed: a bar for a gate, filled for what was measured, open for what only took part."""
    ink = palette.bad if broken else palette.ink
    if deed is Deed.GATE:
        return f'<path d="M{x - 6:.1f},{y:.1f}h12" stroke="{ink}" stroke-width="3.4"/>'
    kind = {Deed.LOOKED: Shape.SQUARE, Deed.OPENED: Shape.DIAMOND, Deed.ALTERED: Shape.TRIANGLE}.get(deed, Shape.CIRCLE)
    filled = deed in {Deed.READ, Deed.ALTERED}
    fill = ink if filled else palette.paper
    out = f'<path d="{shape(kind, x, y)}" fill="{fill}" stroke="{ink}" stroke-width="1.4"/>'
    if broken:
        cross = f"M{x - 8:.1f},{y + 8:.1f}l16,-16M{x - 8:.1f},{y - 8:.1f}l16,16"
        out += f'<path d="{cross}" fill="none" stroke="{ink}" stroke-width="1.6"/>'
    return out


def _key(order: Order, palette: Palette, width: float) -> tuple[str, float]:
    """Marks and lines that occur, with their words; and where the heads of the columns may stand."""
    deeds = {act.deed for act in order.acts} | ({Deed.FITTED} if any(act.fitted for act in order.acts) else set())
    states = set(order.start) | {act.cleared for act in order.acts if act.cleared}
    out: list[str] = []
    left, base = 1.0, 17.0

    def place(words: str, wide: float) -> tuple[float, float]:
        nonlocal left, base
        need = wide + 6 + text_width(words, SIZE)
        if left > 1 and left + need > width:
            left, base = 1.0, base + 22
        at = left, base
        left += need + 20
        return at

    for deed in (one for one in Deed if one in deeds):
        x, y = place(str(deed), 14)
        out.append(_mark(deed, x + 7, y - 4.5, palette, False) + text(x + 20, y, str(deed)))
    left, base = 1.0, base + 22
    for state in (one for one in Cleared if one in states):
        x, y = place(str(state), 26)
        if state is Cleared.SAFE:
            path = f"M{x:.1f},{y - 6.3:.1f}h26M{x:.1f},{y - 2.7:.1f}h26"
        else:
            path = f"M{x:.1f},{y - 4.5:.1f}h26"
        out.append(f'<path d="{path}"{_look(state, palette)}/>' + text(x + 32, y, str(state)))
    return "".join(out), base + 26
