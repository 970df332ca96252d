"""Words of several lines in a drawing: how large they are, where they have room, and how they are kept apart."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from msgspec import Struct

from .lettering import text_width, wrap
from .parts import SIZE, Room
from .sheet import Label, Sheet

LEAD = 16.0
"""From one baseline to the next."""
RISE = 11.0
"""From the top of a block to its first baseline."""

Try = tuple[float, float, str]
"""A place to try: the pixels of the anchor, of the top of the block, and which end the anchor is."""


class Block(Struct, frozen=True):
    """Words broken into lines, with their size in pixels."""

    lines: tuple[str, ...]
    wide: float
    high: float


def block(words: str, most: float, *, bold: bool = False) -> Block:
    """Words broken so that no line is wider than `most`, as far as single words allow."""
    lines = wrap(words, SIZE, most / (1.05 if bold else 1.0))
    wide = max(text_width(line, SIZE, bold=bold) for line in lines)
    return Block(tuple(lines), wide, LEAD * (len(lines) - 1) + 14.0)


def box(of: Block, at: Try) -> tuple[float, float, float, float]:
    """The room a block takes at a place."""
    left = at[0] - {"start": 0.0, "middle": of.wide / 2, "end": of.wide}[at[2]]
    return left - 2, at[1], left + of.wide + 2, at[1] + of.high


def find(room: Room, of: Block, tries: Iterable[Try], most: float = math.inf) -> Try | None:
    """The place that hides least, the first among equals; it is then taken. None where all would hide more than
    `most`."""
    best: tuple[float, Try] | None = None
    for at in tries:
        cost = room.cost(box(of, at))
        if best is None or cost < best[0] - 1e-9:
            best = cost, at
        if cost == 0:
            break
    if best is None or best[0] > most:
        return None
    room.boxes.append(box(of, best[1]))
    return best[1]


def say(
    sheet: Sheet,
    of: Block,
    at: Try,
    tone: str,
    spot: tuple[float, float],
    x: float,
    *,
    bold: bool = False,
    lead: bool = False,
) -> list[str]:
    """The text elements of a block; `spot` is the pixel place of what it belongs to, `x` its place on the axis, and
    `lead` asks the live copy for a stroke between them."""
    return [
        sheet.say(Label(line, tone, at[0], at[1] + RISE + LEAD * i, at[2], spot, x, bold=bold, lead=lead and not i))
        for i, line in enumerate(of.lines)
    ]


def stack(wanted: Sequence[float], heights: Sequence[float], low: float, high: float) -> list[float]:
    """Tops of blocks of these heights, as near to the wanted tops as can be, in their order, none over another.

    They stay between `low` and `high` where there is room for all, else they begin at `low` and run on. The answer
    minimises the sum of squared moves: places less the heights before them must not descend, and the nearest such row
    is found by pooling neighbours that would (isotonic regression).
    """
    order = sorted(range(len(wanted)), key=lambda i: (wanted[i], i))
    before: list[float] = []
    total = 0.0
    for i in order:
        before.append(total)
        total += heights[i]
    pools: list[tuple[float, int]] = []
    for i, above in zip(order, before, strict=True):
        mean, count = wanted[i] - above, 1
        while pools and pools[-1][0] > mean:
            last, more = pools.pop()
            mean, count = (mean * count + last * more) / (count + more), count + more
        pools.append((mean, count))
    free = [mean for mean, count in pools for _ in range(count)]
    out = [0.0] * len(wanted)
    for i, above, at in zip(order, before, free, strict=True):
        out[i] = above + max(low, min(at, high - total))
    return out


def outline(places: Sequence[tuple[float, float]], step: float = 5.0) -> list[tuple[float, float]]:
    """A long stroke made short for the search of room: of each strip `step` pixels wide its first, highest, lowest and
    last place."""
    if len(places) < 120:
        return list(places)
    out: list[tuple[float, float]] = []
    strip: list[tuple[float, float]] = []
    number = math.floor(places[0][0] / step)
    for place in places:
        here = math.floor(place[0] / step)
        if here != number and strip:
            out += _ends(strip)
            strip, number = [], here
        strip.append(place)
    return out + _ends(strip)


def _ends(strip: list[tuple[float, float]]) -> list[tuple[float, float]]:
    ways = range(len(strip))
    kept = {0, min(ways, key=lambda i: strip[i][1]), max(ways, key=lambda i: strip[i][1]), len(strip) - 1}
    return [strip[i] for i in sorted(kept)]
