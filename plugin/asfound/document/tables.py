"""Tables: their cells as data, and how wide each column is set.

The widths are reckoned from the words, not left to the typesetter: a column of ids is as wide as an id, and what is
left goes to the columns that would otherwise grow tallest.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from typing import Any

from msgspec import Struct, field

from asfound.document.inline import Element, plain
from asfound.document.report import Undocumentable
from asfound.document.tree import Node
from asfound.document.widths import lines_in_all, settled
from asfound.figures.lettering import text_width

SIZES = (8.2, 7.6, 7.0, 6.4)
"""Type sizes of a table, in points: the last only where the longest words would not fit otherwise."""
GAP = 9.0
"""Space between two columns, in points."""
LEAD = 1.36
TALL = 480.0
"""Points of height from which a row may be broken: one that is taller than a page would be cut off."""
_LARGER = 1.04
"""Room for a text set a little wider than reckoned."""
_BREAK = re.compile(r"[ \n\u200b]|(?<=[-/])(?=[A-Za-z])")
_ID = re.compile(r"\b[A-Z](?:--?[a-z0-9]+)+")
_MOMENT = re.compile(r"(\d{4}-\d\d-\d\d) (\d\d:\d\d) (\S+) (\(\w+\))")
_KEPT = ("\\1\u00a0\\2\u00a0\\3\u00a0\\4", "\\1\u00a0\\2 \\3\u00a0\\4", "\\1 \\2 \\3 \\4")
"""How well a date with its time is kept together: whole, in two lines, not at all."""
_SHORT = 44.0
"""Points up to which a column is set as wide as its longest line."""
_DEARER = 1.05
"""How many times as tall a table may be for the sake of larger type, beyond what larger type needs anyhow."""
_WORTH = 60.0
"""Points of height below which no smaller type is worth it."""
_EASY = 0.72
"""Share of the room that the longest words may take before dates are broken."""

Flow = Callable[[Sequence[Node | str]], list[Element]]
"""What is in an element → blocks."""


def table(node: Node, wide: float, measure: float, flow: Flow) -> Element:
    """A table as data: caption, heads, rows, type size, widths of columns in points.

    wide, measure  widths a table may take, in points: the whole of the page's text, or its column of prose
    """
    caption = node.find("caption")
    heads, rows = _rows(node, flow)
    count = max((sum(cell.span for cell in row.cells) for row in (*heads, *rows)), default=0)
    if not count:
        raise Undocumentable("a table of the report has no cells; a table needs rows; mend the template that wrote it")
    for row in (*heads, *rows):
        row.cells.extend(Cell() for _ in range(count - sum(cell.span for cell in row.cells)))
    size, widths = columns([row.cells for row in (*heads, *rows)], count, wide, measure)
    return {
        "k": "table",
        "id": node.id,
        "caption": flow(caption.children) if caption is not None else [],
        "heads": [_still(row.data(widths, size)) for row in heads],
        "rows": [row.data(widths, size) for row in rows],
        "size": size,
        "columns": [round(one, 2) for one in widths],
    }


def _still(data: Any) -> Any:
    """Without links: a head is repeated on every page, and PDF/UA allows no link in what is repeated."""
    if isinstance(data, list):
        return [_still(one) for one in data]
    if not isinstance(data, dict):
        return data
    made = {name: _still(one) for name, one in data.items()}
    if made.get("k") == "a":
        made = {"k": "s", "tone": "", "in": made["in"]}
    return made


class Cell(Struct):
    """A cell: blocks in it, columns it spans, whether it is a head, how it looks."""

    blocks: list[Element] = field(default_factory=list)
    span: int = 1
    head: bool = False
    look: str = ""


class Row(Struct):
    """A row: what a link to it leads to, how it looks, its cells."""

    id: str
    look: str
    cells: list[Cell]

    def data(self, widths: list[float], size: float) -> Element:
        """The row for the typesetter; the id goes into its first cell."""
        cells = []
        for number, one in enumerate(self.cells):
            blocks = [{"k": "at", "id": self.id}, *one.blocks] if self.id and not number else one.blocks
            cells.append({"in": blocks, "span": one.span, "head": one.head, "look": one.look})
        return {"look": self.look, "tall": height(self.cells, widths, size) > TALL, "cells": cells}


def _rows(node: Node, flow: Flow) -> tuple[list[Row], list[Row]]:
    heads: list[Row] = []
    rows: list[Row] = []
    for part in node.children:
        if isinstance(part, str):
            if part.strip():
                said = part.strip()[:40]
                raise Undocumentable(f'the text "{said}" stands in a table outside its cells; mend the template')
            continue
        if part.tag in {"caption", "colgroup", "col"}:
            continue
        if part.tag not in {"thead", "tbody", "tfoot", "tr"}:
            raise Undocumentable(f"<{part.tag}> stands in a table, where rows are needed; mend the template")
        for one in [part] if part.tag == "tr" else part.all("tr"):
            (heads if part.tag == "thead" else rows).append(_row(one, flow))
    return heads, rows


def _row(node: Node, flow: Flow) -> Row:
    cells: list[Cell] = []
    for one in node.children:
        if isinstance(one, str):
            continue
        if one.tag not in {"td", "th"}:
            raise Undocumentable(f"<{one.tag}> stands in a row of a table, where cells are needed; mend the template")
        if one.attributes.get("rowspan", "1") != "1":
            raise Undocumentable("a cell of a table spans rows, which the document cannot set; mend the template")
        blocks = flow(one.children)
        if one.id:
            blocks = [{"k": "at", "id": one.id}, *blocks]
        head = one.tag == "th" and "af-plain" not in one.classes
        cells.append(Cell(blocks, int(one.attributes.get("colspan", "1")), head, _look(one)))
    return Row(node.id, "void" if "af-void" in node.classes else "", cells)


def _look(node: Node) -> str:
    for name, look in (("af-gap", "gap"), ("af-out", "out"), ("af-digest", "digest"), ("af-counts", "counts")):
        if name in node.classes:
            return look
    return ""


def words(blocks: Sequence[Any]) -> str:
    """The words of what stands in a cell, one line a paragraph."""
    out: list[str] = []
    for one in blocks:
        if isinstance(one, str):
            out.append(one)
        elif one["k"] in {"p", "verdict"}:
            out.append(plain(one["in"]))
        elif one["k"] == "list":
            out += [words(entry) for entry in one["in"]]
        elif one.get("in"):
            out.append(words(one["in"]))
    return "\n".join(out)


def columns(rows: Sequence[Sequence[Cell]], count: int, wide: float, measure: float) -> tuple[float, list[float]]:
    """Type size and widths of columns, in points, gaps not included."""
    texts: list[list[tuple[str, bool]]] = [[] for _ in range(count)]
    for row in rows:
        at = 0
        for cell in row:
            if cell.span == 1:
                texts[at].append((words(cell.blocks), cell.head))
            at += cell.span
    alone = [[(words(cell.blocks), cell.head) for cell in row] for row in rows if len(row) == count]
    size, least, most = SIZES[-1], [0.0] * count, [0.0] * count
    room = wide - GAP * (count - 1)
    found: list[tuple[float, float, list[float]]] = []
    for size in SIZES:
        most = [max((_line(text, size, head) for text, head in column), default=0) for column in texts]
        if found and size == SIZES[-1]:
            break
        if sum(most) <= room and not found:
            full = measure - GAP * (count - 1)
            spare = (full if sum(most) <= full else room) - sum(most)
            return size, [one + spare * (one / sum(most) if sum(most) else 1 / count) for one in most]
        for kept in _KEPT:
            least = [max((_word(text, size, head, kept) for text, head in column), default=0) for column in texts]
            if sum(least) <= room * (1 if kept == _KEPT[-1] else _EASY):
                found.append(_tried(alone, texts, least, most, room, size))
                break
    if not found:
        return size, [one * room / sum(least) for one in least]
    # Words fill an area, which grows with the square of their size: what is more comes from columns too narrow.
    lowest = min(tall / size**2 for size, tall, _ in found)
    return next(
        (size, widths) for size, tall, widths in found if tall - lowest * size**2 <= max(_WORTH, (_DEARER - 1) * tall)
    )


def _tried(
    rows: list[list[tuple[str, bool]]], texts: list[list[tuple[str, bool]]], least: list[float], most: list[float],
    room: float, size: float,
) -> tuple[float, float, list[float]]:  # fmt: skip
    """Size, height of the rows in points, widths."""
    lengths = [[tuple(_line(part, size, head) for part in text.split("\n")) for text, head in row] for row in rows]
    widths = settled(lengths, least, _filled(texts, least, most, room, size))
    return size, lines_in_all(lengths, widths) * size * LEAD, widths


def _filled(
    texts: list[list[tuple[str, bool]]], least: list[float], most: list[float], room: float, size: float
) -> list[float]:
    """Widen, step by step, the column that makes the table tallest for its width."""
    widths = list(least)
    for at in sorted(range(len(widths)), key=lambda one: most[one]):
        # A column of few words costs little and is not broken.
        if most[at] <= _SHORT and sum(widths) - widths[at] + most[at] <= room:
            widths[at] = most[at]
    long = [_long([sum(_line(part, size, head) for part in text.split("\n")) for text, head in one]) for one in texts]
    steps = 240
    step = (room - sum(widths)) / steps
    for _ in range(steps):
        open_ = [at for at in range(len(widths)) if widths[at] < most[at]]
        if not open_:
            break
        widths[max(open_, key=lambda at: long[at] / max(widths[at], 1.0))] += step
    left = room - sum(widths)
    return [one + left / len(widths) for one in widths]


def _long(lengths: list[float]) -> float:
    """How long the cells of a column are, between the mean and the longest."""
    return (max(lengths) + sum(lengths) / len(lengths)) / 2 if lengths else 0.0


def _word(text: str, size: float, head: bool, kept: str) -> float:
    # An id is not broken: it is looked for as a whole.
    parts = _BREAK.split(_ID.sub(lambda found: found[0].replace("-", "\u2011"), _MOMENT.sub(kept, text)))
    return max((text_width(part, size, bold=head) for part in parts), default=0) * _LARGER + 0.5


def _line(text: str, size: float, head: bool) -> float:
    return max((text_width(line, size, bold=head) for line in text.split("\n")), default=0) * _LARGER + 0.5


def height(row: Sequence[Cell], widths: list[float], size: float) -> float:
    """About how tall a row is set, in points."""
    tallest, at = 0.0, 0
    for cell in row:
        width = sum(widths[at : at + cell.span]) + GAP * (cell.span - 1)
        said = words(cell.blocks).split("\n")
        lines = sum(math.ceil(1.08 * _line(line, size, cell.head) / max(width, 1)) or 1 for line in said)
        tallest = max(tallest, lines * size * LEAD)
        at += cell.span
    return tallest
