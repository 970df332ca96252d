"""Charts as plain data, drawn for page and paper, and pictures made fit to be shown.

``spec`` and ``kinds`` describe a chart; ``svg.draw``, ``plotly_spec.interactive`` and ``table.rows`` show it three ways;
``markup.figure`` puts the three into a page; ``photo`` makes pictures upright, small and silent.
"""

from __future__ import annotations

from .markup import figure, still
from .palette import PAPER, SITE, Palette
from .photo import CameraFacts, Derivative, Unshown, camera_facts, capture_time, derivative, thumbnail
from .plotly_spec import check_traces, interactive, to_json
from .spec import Chart
from .svg import draw
from .table import Table, rows

__all__ = [
    "PAPER",
    "SITE",
    "CameraFacts",
    "Chart",
    "Derivative",
    "Palette",
    "Table",
    "Unshown",
    "camera_facts",
    "capture_time",
    "check_traces",
    "derivative",
    "draw",
    "figure",
    "interactive",
    "rows",
    "still",
    "thumbnail",
    "to_json",
]
