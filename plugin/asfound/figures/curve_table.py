"""The table behind the chart of a calculation: dots and short curves in full, of long ones the places that matter."""

from __future__ import annotations

from collections.abc import Iterator

from .curve_spec import Shown
from .spec import Axis, Chart

Cells = tuple[list[str], str]
"""Cells of a row, and the record it leads to."""


def header(chart: Chart) -> list[str]:
    """The first row. The axes of a logarithmic plot are no matter of the table."""
    shown = chart.shown
    if shown is not None and shown.bars:
        return [chart.y.label or "part", "from", "to", "says", "record"]
    return ["what", _head(chart.x), _head(chart.y), "record", "remark"]


def body(chart: Chart) -> list[Cells]:
    """Every row below it, in the order of importance: readings, levels, curves, regions."""
    shown = chart.shown
    assert shown is not None
    if shown.bars:
        names = chart.y.categories
        found: list[Cells] = [
            ([names[bar.row], bar.start_text, bar.end_text, bar.text, bar.ref], bar.ref) for bar in shown.bars
        ]
        return found + [(["level", "", level.text, level.words, ""], "") for level in shown.levels]
    return [*_dots(shown), *_levels(shown), *_curves(shown), *_regions(shown)]


def _head(axis: Axis) -> str:
    return f"{axis.label} ({axis.unit})" if axis.unit else axis.label


def _dots(shown: Shown) -> Iterator[Cells]:
    for dot in shown.dots:
        what = "as used" if dot.as_used else "reading"
        yield [what, dot.x_text, dot.y_text, dot.ref, dot.text], dot.ref


def _levels(shown: Shown) -> Iterator[Cells]:
    for level in shown.levels:
        across = level.axis == "x"
        yield ["level", level.text if across else "", "" if across else level.text, "", level.words], ""


def _curves(shown: Shown) -> Iterator[Cells]:
    for curve in shown.curves:
        for number, told in enumerate(curve.told):
            what = f"{curve.name}, {told.which}" if told.which else curve.name
            remark = ""
            if told.which and number == 0:
                remark = f"of {curve.of} places; the others are in the drawing"
                if curve.ref:
                    remark = f"of {curve.of} places; the full series is {curve.ref}"
            yield [what, told.x_text, told.y_text, curve.ref, remark], curve.ref


def _regions(shown: Shown) -> Iterator[Cells]:
    for region in shown.regions:
        for told in region.told:
            yield [f"{region.words}, {told.which}", told.x_text, told.y_text, "", ""], ""
