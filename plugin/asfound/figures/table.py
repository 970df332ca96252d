"""The table behind a chart: every reading with its doubt, verdict word and record, and every row without
one."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from asfound.measure.show import show_number

from .spec import Chart, Point, Series


@dataclass(frozen=True, slots=True)
class TableRow:
    """Cells of text, as many as the header has, and the record id the row leads to (empty: none)."""

    cells: tuple[str, ...]
    ref: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A header and its rows, in the order of the chart."""

    header: tuple[str, ...]
    rows: tuple[TableRow, ...]


def rows(chart: Chart) -> Table:
    """The data of a chart as text. A column that would be empty throughout is left out, but never value or
    record."""
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


def _head(label: str) -> str:
    return label or "condition"


def _plain(number: float) -> str:
    """For points that came without a text, such as those of a long log."""
    return show_number(Decimal(repr(number)).normalize())


def _cells(series: Series, point: Point, name: str, *, rowed: bool = False) -> list[str]:
    value = point.text or _plain(point.x if rowed else point.y)
    remark = f"void: {point.excluded}" if point.excluded else ""
    return [series.name, name, value, point.doubt_text, point.outcome, point.ref, remark]
