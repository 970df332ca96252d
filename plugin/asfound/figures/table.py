"""The table behind a chart: every reading with its doubt, verdict word and record, and every row without
one."""

from __future__ import annotations

import re
from decimal import Decimal

from msgspec import Struct

from asfound.measure.show import show_number

from . import curve_table
from .spec import Chart, Point, Series

_NAMED = re.compile(r"([A-Z]-[a-z0-9-]+)\s")


class TableRow(Struct, frozen=True):
    """Cells of text, as many as the header has, and the record id the row leads to (empty: none)."""

    cells: tuple[str, ...]
    ref: str = ""


class Table(Struct, frozen=True):
    """A header and its rows, in the order of the chart."""

    header: tuple[str, ...]
    rows: tuple[TableRow, ...]


def rows(chart: Chart) -> Table:
    """The data of a chart as text. A column that would be empty throughout is left out, but never value or
    record."""
    if chart.shown:
        return _trimmed(curve_table.header(chart), curve_table.body(chart))
    if chart.sights:
        return _lanes(chart)
    if chart.stretches:
        return _bands(chart)
    across = chart.y if chart.rows else chart.x
    measured = chart.x if chart.rows else chart.y
    header = ["series", _head(across.label), _head(measured.label), "doubt", "verdict", "record", "remark"]
    body: list[tuple[list[str], str]] = []
    if chart.rows:
        gaps = {w.row: w for w in chart.words}
        for index, name in enumerate(chart.y.categories):
            here = [(s, p) for s in chart.series for p in s.points if p.y == index]
            body += [(_cells(s, p, name, rowed=True), p.ref) for s, p in here]
            gap = gaps.get(index)
            if gap is not None:
                body.append((["", name, gap.text, "", "", gap.ref, gap.why], gap.ref))
    else:
        body = [(_cells(s, p, p.x_text or _plain(p.x)), p.ref) for s in chart.series for p in s.points]
    kept = [i for i in range(len(header)) if i in (1, 2, 5) or any(cells[i] for cells, _ in body)]
    return Table(
        tuple(header[i] for i in kept),
        tuple(TableRow(tuple(cells[i] for i in kept), ref) for cells, ref in body),
    )


def _trimmed(header: list[str], body: list[tuple[list[str], str]]) -> Table:
    kept = [i for i in range(len(header)) if i in (0, 1, 2) or any(cells[i] for cells, _ in body)]
    return Table(
        tuple(header[i] for i in kept),
        tuple(TableRow(tuple(cells[i] for i in kept), ref) for cells, ref in body),
    )


def _bands(chart: Chart) -> Table:
    """Every stretch and every event of each row, in the order of time; then, once, what falls on several rows."""
    header = ["row", "from", "to", "length", "kept", "by", "place", "seal", "record", "remark"]
    body: list[tuple[list[str], str]] = []
    shared: dict[tuple[float, str, str, str], list[str]] = {}
    for tick in chart.events:
        found_id = _NAMED.match(chart.y.categories[tick.row])
        if found_id is not None:
            shared.setdefault((tick.x, tick.text, tick.words, tick.ref), []).append(found_id[1])
    shared = {key: names for key, names in shared.items() if len(names) > 1}
    for index, name in enumerate(chart.y.categories):
        found: list[tuple[float, int, list[str], str]] = []
        for one in chart.stretches:
            if one.row == index:
                end = "still so" if one.open else one.end_text
                cells = [name, one.start_text, end, one.length, str(one.look), one.words, one.place, one.seal]
                found.append((one.start, 1, [*cells, one.ref, one.why], one.ref))
        for tick in chart.events:
            if tick.row == index and (tick.x, tick.text, tick.words, tick.ref) not in shared:
                cells = [name, tick.text, "", "", tick.words, "", "", "", tick.ref, ""]
                found.append((tick.x, 0, cells, tick.ref))
        body += _named_once([(cells, ref) for _, _, cells, ref in sorted(found, key=lambda one: one[:2])])
    for (_, text, words, ref), names in sorted(shared.items()):
        body.append(([" ".join(names), text, "", "", words, "", "", "", ref, ""], ref))
    kept = [i for i in range(len(header)) if i in (0, 1, 2, 8) or any(cells[i] for cells, _ in body)]
    return Table(
        tuple(header[i] for i in kept),
        tuple(TableRow(tuple(cells[i] for i in kept), ref) for cells, ref in body),
    )


def _lanes(chart: Chart) -> Table:
    """Every event with its interval, and what lies beneath, by lane and in the order of time."""
    body: list[TableRow] = []
    for index, name in enumerate(chart.y.categories):
        found: list[tuple[float, list[str], str]] = []
        for one in chart.sights:
            if one.row == index:
                told = "as a person told it" if one.told else "from a record"
                cells = [name, one.text, one.low_text, one.high_text, one.words, told, one.ref]
                found.append((one.x, cells, one.ref))
        for tick in chart.events:
            if tick.row == index:
                found.append((tick.x, [name, tick.text, "", "", tick.words, "", tick.ref], tick.ref))
        rows_here = [(cells, ref) for _, cells, ref in sorted(found, key=lambda one: one[0])]
        body += [TableRow(tuple(cells), ref) for cells, ref in _named_once(rows_here)]
    return Table(("lane", "time", "no earlier than", "no later than", "what", "how known", "record"), tuple(body))


def _named_once(body: list[tuple[list[str], str]]) -> list[tuple[list[str], str]]:
    """Rows of one lane: the first bears its whole name, the others its id, where it has one to be known by."""
    found = _NAMED.match(body[0][0][0]) if body else None
    if found is None:
        return body
    return [body[0], *(([found[1], *cells[1:]], ref) for cells, ref in body[1:])]


def _head(label: str) -> str:
    return label or "condition"


def _plain(number: float) -> str:
    """For points that came without a text, such as those of a long log."""
    return show_number(Decimal(repr(number)).normalize())


def _cells(series: Series, point: Point, name: str, *, rowed: bool = False) -> list[str]:
    value = point.text or _plain(point.x if rowed else point.y)
    remark = f"void: {point.excluded}" if point.excluded else ""
    return [series.name, name, value, point.doubt_text, point.outcome, point.ref, remark]
