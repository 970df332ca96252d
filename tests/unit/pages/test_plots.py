"""Every plot of every calculation as a chart: it can be drawn, its words stand apart, the real library takes it."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterator

import numpy as np
import plotly.graph_objects as go
import pytest

from asfound.figures import PAPER, draw, interactive, rows
from asfound.model.plots import Plot
from asfound.pages.plots import bound, chart_of, figure
from asfound.physics.calc import calculations, evaluate
from tests.unit.cli.test_calc import ROWS, SAMPLE

PULSE = [0.0] * 10 + [1430.0 * 0.97**k for k in range(80)] + [0.0] * 10
RICHER = {"pulse-energy": {"time": [k * 1e-4 for k in range(100)], "voltage": PULSE}}
"""Rows where those that suffice for the figures are too few for a drawing."""


def _plots() -> Iterator[tuple[str, Plot]]:
    for name, of in calculations().items():
        if of.plots is None or name not in SAMPLE:
            continue
        values = {one.name: one.default for one in of.inputs if one.default is not None} | SAMPLE[name]
        # Arrays, as files are read.
        table = {key: np.asarray(column) for key, column in (ROWS | RICHER).get(name, {}).items()} or None
        for plot in of.plots(values, table or {}, evaluate(of, SAMPLE[name], table)):
            yield f"{name}-{plot.name}", plot


FOUND = dict(_plots())


def test_there_are_plots_to_draw() -> None:
    assert len(FOUND) > 20


@pytest.mark.parametrize("name", FOUND)
def test_a_plot_is_drawn_as_it_is(name: str) -> None:
    plot = FOUND[name]
    chart = chart_of(plot, f"Z-{name}")
    assert chart.title == plot.title and chart.result == plot.result and chart.note.startswith(plot.note)
    for width in (380, 760):
        ET.fromstring(draw(chart, PAPER, width))
    live = interactive(chart)
    go.Figure({"data": live["data"], "layout": live["layout"]})
    assert rows(chart).rows


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (0.0, 4, "0"), (12.3456, 4, "12.35"), (-0.00012345, 4, "−0.000\u202f123\u202f4"), (123456.0, 4, "123\u202f500"),
        (1.5e-7, 4, "1.5\u00a0×\u00a010⁻⁷"), (2.5e12, 4, "2.5\u00a0×\u00a010¹²"), (100.0, 4, "100"),
    ],
)  # fmt: skip
def test_computed_numbers_have_few_digits_and_powers_where_they_need_them(value: float, digits: int, text: str) -> None:
    assert figure(value, digits) == text


def test_a_number_keeps_its_unit_on_its_line() -> None:
    assert bound("48.9 °C for 130 min") == "48.9\u00a0°C for 130\u00a0min"
    assert bound("15 % below the 3 heights") == "15\u00a0% below the 3\u00a0heights"
    assert bound("alarm, 5 cmH2O.") == "alarm, 5\u00a0cmH2O."
    assert bound("measured 3 afterwards") == "measured 3 afterwards"
