"""Charts as plain data, drawn for page and paper, and pictures made fit to be shown.

``spec`` and ``kinds`` describe a chart; ``svg.draw``, ``plotly_spec.interactive`` and ``table.rows`` show it in
three ways; ``markup.figure`` puts the three into a page. ``photo`` makes pictures upright, small and silent; it is
imported by its own name, because the imaging library takes a tenth of a second to load.
"""

from __future__ import annotations

from .markup import figure, still
from .palette import PAPER, SITE, Palette
from .plotly_spec import check_traces, interactive, to_json
from .spec import Chart
from .svg import draw
from .table import Table, rows

__all__ = [
    "PAPER",
    "SITE",
    "Chart",
    "Palette",
    "Table",
    "check_traces",
    "draw",
    "figure",
    "interactive",
    "rows",
    "still",
    "to_json",
]
