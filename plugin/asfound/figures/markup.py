"""A chart as a figure of a page: the drawing for wide and for narrow screens, the question-able copy,
caption, table.

The order in the page is the order of reading: drawing, result in one sentence, what the bars and limits
are, the table.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from copy import copy
from functools import cached_property, lru_cache
from typing import Any

from .lean import lean
from .packed import packed
from .palette import LIGHT, PAPER, SITE, Palette
from .parts import esc
from .plotly_spec import WIDTH, live
from .sheet import Sheet
from .spec import Chart
from .svg import draw, laid_out, written
from .table import Table, rows

NARROW = 380
_IDS = re.compile(r"[A-Z]-[a-z0-9-]+(?: [A-Z]-[a-z0-9-]+)+")


class _Laid:
    """A chart as the site shows it, each form of it made once and where it is asked for.

    The drawing for wide screens and the live copy are laid out alike, so they share a layout.
    """

    def __init__(self, chart: Chart) -> None:
        self._chart = chart

    @cached_property
    def _sheet(self) -> tuple[Sheet, float]:
        return laid_out(self._chart, SITE, WIDTH)

    @cached_property
    def wide(self) -> str:
        """The drawing for wide screens."""
        return lean(written(*self._sheet, captioned=True), tips=False)

    @cached_property
    def narrow(self) -> str:
        """The drawing for narrow screens; title and description stand in the other."""
        return lean(draw(self._chart, SITE, NARROW), tips=False, named_by=esc(self._chart.id))

    def live(self) -> dict[str, Any]:
        """The live copy, made anew."""
        sheet, height = self._sheet
        light = copy(sheet)
        light.palette = LIGHT
        return live(light, height)


@lru_cache(maxsize=64)
def _laid(chart: Chart) -> _Laid:
    """The page of a section and the record of the whole case show the same chart, one soon after the other."""
    return _Laid(chart)


def figure(chart: Chart, link: Callable[[str], str], *, extra: str = "") -> str:
    """The whole ``<figure>`` for the site.

    ``link`` gives the address of a record id (empty: no link). ``extra`` is HTML for the end of the
    caption, already safe. The data for the loader stands in a ``<template>``: a page that is swapped in
    without a reload would run a script.
    """
    key, laid = esc(chart.id), _laid(chart)
    return (
        f'<figure class="af-chart" id="{key}" data-af-chart="{key}">'
        f'<div class="af-still af-only-wide">{laid.wide}</div>'
        f'<div class="af-still af-only-narrow">{laid.narrow}</div>'
        f"<template>{_inner(packed(_addressed(laid.live(), link)))}</template>"
        f"{caption(chart, extra)}{table(chart, link)}</figure>"
    )


def still(chart: Chart, link: Callable[[str], str], palette: Palette = PAPER) -> str:
    """The figure without anything that runs, for a page that is handed over as one file."""
    key = esc(chart.id)
    drawing = _laid(chart).wide if palette is SITE else draw(chart, palette, WIDTH)
    return f'<figure class="af-chart" id="{key}">{drawing}{caption(chart)}{table(chart, link)}</figure>'


def caption(chart: Chart, extra: str = "") -> str:
    """Result first, then the note."""
    note = f" {esc(chart.note)}" if chart.note else ""
    return f"<figcaption><b>{esc(chart.result)}</b>{note}{' ' + extra if extra else ''}</figcaption>"


def table(chart: Chart, link: Callable[[str], str]) -> str:
    """The table behind the chart, folded on screen and open on paper."""
    data = rows(chart)
    head = "".join(f'<th scope="col">{esc(cell)}</th>' for cell in data.header)
    body = "".join(f"<tr>{_cells(data, row.cells, link(row.ref) if row.ref else '')}</tr>" for row in data.rows)
    words = f"Table behind the chart: {chart.title}"
    return (
        '<details class="af-data" data-search-exclude><summary>Table behind the chart</summary>'
        f'<div class="af-scroll" tabindex="0" role="region" aria-label="{esc(words)}"><table class="af-table">'
        f"<caption>{esc(chart.title)}</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div></details>"
    )


def _cells(data: Table, cells: tuple[str, ...], address: str) -> str:
    out = []
    for name, cell in zip(data.header, cells, strict=True):
        inner = esc(cell)
        if name == "row" and _IDS.fullmatch(cell):
            inner = " ".join(f'<span class="af-id">{one}</span>' for one in inner.split())
        if name == "record" and address and cell:
            inner = f'<a href="{esc(address)}">{inner}</a>'
        gap = ' class="af-gap"' if cell.startswith(("not measured", "not obtainable")) else ""
        out.append(f"<td{gap}>{inner}</td>")
    return "".join(out)


def _inner(text: str) -> str:
    """Text safe between two tags. Quotation marks stay: no attribute holds it, and the data is full of them."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _addressed(spec: dict[str, Any], link: Callable[[str], str]) -> dict[str, Any]:
    """The live copy, with the address of each record beside its id, so that a click leads there."""
    for trace in spec["data"]:
        for told in trace.get("customdata", ()):
            told[1] = link(told[1]) if told[1] else ""
    return spec
