"""How wide each column of a table is set, so that the table is low and its type large.

What costs room on paper is the tallest cell of each row, not the length of its words in all. So the widths are begun
from the words and then shifted, from one column to another, as long as the table as a whole grows lower by it.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

_SHIFTS = (18.0, 6.0, 2.0)
"""Points shifted at a time: first far, then near."""
_ROUNDS = 12
"""Times over all pairs of columns; more have not been seen to help."""
_SPREAD = 1.08
"""Lines break at words, so that a text fills a little more of them than its length says."""

Lengths = tuple[float, ...]
"""How long each paragraph of a cell is, in points."""


def settled(rows: Sequence[Sequence[Lengths]], least: Sequence[float], widths: Sequence[float]) -> list[float]:
    """Widths under which the rows take less height in all, none below its least; the same sum.

    A row with a cell that spans columns is left out by the caller: it says nothing about one of them.
    """
    known = Counter(tuple(row) for row in rows)
    cells, weight = list(known), list(known.values())
    now = list(widths)
    lines = [[_lines(row[at], now[at]) for row in cells] for at in range(len(now))]

    def total(at: int, one: list[int], to: int, other: list[int]) -> int:
        rest = [column for place, column in enumerate(lines) if place not in (at, to)]
        return sum(many * max(tall) for many, tall in zip(weight, zip(one, other, *rest, strict=True), strict=True))

    if len(now) < 2 or not cells:
        return now
    best = total(0, lines[0], 1, lines[1])
    for shift in _SHIFTS:
        for _ in range(_ROUNDS):
            found = False
            for at in range(len(now)):
                if now[at] - shift < least[at]:
                    continue
                less = [_lines(row[at], now[at] - shift) for row in cells]
                for to in range(len(now)):
                    if to == at:
                        continue
                    more = [_lines(row[to], now[to] + shift) for row in cells]
                    made = total(at, less, to, more)
                    if made < best:
                        best, found = made, True
                        now[at], now[to] = now[at] - shift, now[to] + shift
                        lines[at], lines[to] = less, more
                        break
            if not found:
                break
    return now


def _lines(lengths: Lengths, width: float) -> int:
    return sum(math.ceil(_SPREAD * one / max(width, 1.0)) or 1 for one in lengths)


def lines_in_all(rows: Sequence[Sequence[Lengths]], widths: Sequence[float]) -> int:
    """How many lines the rows take, each as many as its tallest cell."""
    return sum(max((_lines(one, wide) for one, wide in zip(row, widths, strict=True)), default=1) for row in rows)
