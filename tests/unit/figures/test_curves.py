"""Charts of calculations: every mark in all three forms, extremes kept, zero honest, words apart and safe."""

from __future__ import annotations

import json
import math
import random
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise
from typing import Any

import plotly.graph_objects as go
import pytest
from msgspec import structs
from scipy.optimize import isotonic_regression

from asfound.figures import PAPER, SITE, draw, figure, interactive, rows, to_json
from asfound.figures.alone import alone
from asfound.figures.curve_looks import curve_looks
from asfound.figures.curve_spec import Bar, Curve, Dot, Level, Role, Shown
from asfound.figures.placing import outline, stack
from asfound.figures.scale import place
from asfound.figures.spec import Axis, Chart, ChartKind, Scale
from asfound.figures.svg import laid_out
from asfound.model.plots import Curve as PlotCurve
from asfound.model.plots import CurveRole, PlotAxis, PlotKind
from asfound.model.plots import Dot as PlotDot
from asfound.model.plots import Level as PlotLevel
from asfound.pages.plots import BUCKETS, chart_of

from .plots import DIP, PEAK, PLOTS, bath, chart, dose, hazard, pressure, pulse, siphon

NS = "{http://www.w3.org/2000/svg}"


def _said(drawing: str) -> str:
    """All text of a drawing, its tips and labels included, on one line."""
    return " ".join(" ".join(ET.fromstring(drawing).itertext()).split())


@pytest.mark.parametrize("make", PLOTS)
def test_every_mark_stands_in_drawing_live_copy_and_table(make) -> None:
    made = chart(make)
    shown = made.shown
    assert shown is not None
    drawing = _said(draw(made, SITE))
    live = interactive(made)
    traces = {trace["name"] for trace in live["data"]}
    told = " ".join(cell for row in rows(made).rows for cell in row.cells)
    for curve in shown.curves:
        assert " ".join(curve.name.split()) in drawing and curve.name in traces and curve.name in told
    for level in shown.levels:
        assert " ".join(level.words.split()) in drawing and level.words in traces and level.words in told
    for region in shown.regions:
        assert region.words in drawing and region.words in traces and region.words in told
    for mark in (*shown.dots, *shown.bars):
        assert " ".join(mark.named.split() if isinstance(mark, Dot) else mark.text.split()) in drawing
        assert mark.text in told
    answers = [trace["customdata"] for trace in live["data"] if "customdata" in trace]
    assert sum(map(len, answers)) == len(shown.dots) + len(shown.bars)
    places = [len(trace["x"]) for trace in live["data"] if trace["name"] in {curve.name for curve in shown.curves}]
    assert places == [len(curve.points) for curve in shown.curves]


def test_a_spike_of_one_sample_outlives_the_thinning() -> None:
    made = chart(pulse)
    assert made.shown is not None
    (curve,) = made.shown.curves
    assert len(curve.points) <= 4 * BUCKETS < curve.of == 2000
    assert {max(y for _, y in curve.points), min(y for _, y in curve.points)} == {PEAK, DIP}
    assert set(curve.points) <= set(pulse().curves[0].points)
    assert "Drawn from 2000 samples in 300 buckets" in made.note
    table = rows(made)
    told = {row.cells[0]: row for row in table.rows}
    assert told["voltage at the load, largest"].cells[2] == "1694\u00a0V"
    assert told["voltage at the load, smallest"].cells[2] == "−903\u00a0V"
    assert told["voltage at the load, first"].ref == "E-7"
    assert told["voltage at the load, first"].cells[-1] == "of 2000 places; the full series is E-7"
    # The drawing itself reaches both: read back from the path.
    sheet, _ = laid_out(made, PAPER, 760)
    y = place(sheet.y_ruler, sheet.area.bottom, sheet.area.top)
    (path,) = [part for part in sheet.out if "<title>voltage" in part]
    drawn = [float(v) for v in re.findall(r"[ML][-\d.]+,([-\d.]+)", path)]
    assert min(drawn) == pytest.approx(y(PEAK), abs=0.06) and max(drawn) == pytest.approx(y(DIP), abs=0.06)


def test_thinning_is_on_request_and_nothing_short_is_thinned() -> None:
    whole = chart_of(pulse(), "Z-1", buckets=0)
    assert whole.shown is not None and len(whole.shown.curves[0].points) == 2000 and "Drawn from" not in whole.note
    short = chart(pressure)
    assert short.shown is not None and len(short.shown.curves[0].points) == 1100


def test_bars_and_pulses_are_read_from_zero() -> None:
    """A length says its number only where it begins at zero (common practice, no source)."""
    assert not hazard().x.from_zero and chart(hazard).x.from_zero and chart(hazard).x.scale is Scale.LINEAR
    sheet, _ = laid_out(chart(hazard), PAPER, 760)
    assert sheet.x_ruler.low == 0
    plot = hazard()
    logged = chart_of(replace(plot, x=PlotAxis("hazard current", "mA", log=True)), "Z-1")
    assert logged.x.scale is Scale.LINEAR and logged.x.from_zero
    above = replace(pulse(), curves=(PlotCurve("v", ((0.0, 900.0), (1.0, 950.0))),), dots=(), levels=())
    assert laid_out(chart_of(above, "Z-1"), PAPER, 760)[0].y_ruler.low == 0


def test_parts_add_up_row_by_row_and_the_sum_stands_beside_them() -> None:
    """Sums by hand: 0.90, 1.21, 1.50, 2.12, 2.60, 3.45, 3.82, 4.04, 4.45, 5.11 mA."""
    made = chart(hazard)
    assert made.shown is not None
    sums = ["0.90", "1.21", "1.50", "2.12", "2.60", "3.45", "3.82", "4.04", "4.45", "5.11"]
    assert [bar.sum_text for bar in made.shown.bars] == [f"{one}\u00a0mA" for one in sums]
    for width in (380, 760):
        sheet, _ = laid_out(made, PAPER, width)
        column = [label.words for label in sheet.labels if label.at == width - 2 and label.anchor == "end"]
        assert column == ["together", *(f"{one}\u00a0mA" for one in sums)]
    trace = next(one for one in interactive(made)["data"] if one["type"] == "bar")
    ends = [a + b for a, b in zip(trace["base"], trace["x"], strict=True)]
    assert ends == pytest.approx([float(one) for one in sums])
    assert trace["orientation"] == "h"


def test_bars_that_do_not_add_up_have_no_sum() -> None:
    plot = hazard()
    apart = chart_of(replace(plot, bars=tuple(replace(bar, start=0.0) for bar in plot.bars)), "Z-1")
    assert apart.shown is not None and not any(bar.sum_text for bar in apart.shown.bars)
    assert "together" not in draw(apart, PAPER)
    # Ranges side by side begin anywhere, and their ends are no running sum.
    spans = tuple(replace(bar, start=n + 0.5, end=n + 2.0) for n, bar in enumerate(plot.bars))
    ranges = chart_of(replace(plot, bars=spans), "Z-1")
    assert ranges.shown is not None and not any(bar.sum_text for bar in ranges.shown.bars)
    assert "together" not in draw(ranges, PAPER)


def test_doubt_is_drawn_both_ways_and_to_its_length() -> None:
    made = chart(bath)
    assert made.shown is not None
    sheet, _ = laid_out(made, PAPER, 760)
    x = place(sheet.x_ruler, sheet.area.left, sheet.area.right)
    y = place(sheet.y_ruler, sheet.area.bottom, sheet.area.top)
    strokes = "".join(sheet.out)
    for dot in made.shown.dots:
        assert dot.dx is not None and dot.dy is not None
        assert f"M{x(dot.x - dot.dx):.1f},{y(dot.y):.1f}L{x(dot.x + dot.dx):.1f},{y(dot.y):.1f}" in strokes
        assert f"M{x(dot.x):.1f},{y(dot.y - dot.dy):.1f}L{x(dot.x):.1f},{y(dot.y + dot.dy):.1f}" in strokes
    live = next(one for one in interactive(made)["data"] if one["mode"] == "markers")
    assert live["error_x"]["array"] == [0.1] * 6 and live["error_y"]["array"] == [0.05] * 6


def test_doubt_that_reaches_zero_ends_at_the_edge_of_a_logarithmic_axis() -> None:
    plot = dose()
    dots = (replace(plot.dots[0], x=50.0, dx=60.0),)
    made = chart_of(replace(plot, dots=dots), "Z-1")
    sheet, _ = laid_out(made, PAPER, 760)
    assert f"M{sheet.area.left:.1f}," in "".join(sheet.out)
    live = next(one for one in interactive(made)["data"] if one["mode"] == "markers")
    assert live["error_x"]["arrayminus"] == [pytest.approx(50.0 - sheet.x_ruler.low)]


def test_the_point_as_used_is_named_and_has_a_shape_of_its_own() -> None:
    made = chart(dose)
    assert ">as used: 48.9\u00a0°C for 130\u00a0min</text>" in draw(made, PAPER)
    live = interactive(made)
    assert live["data"][-1]["marker"]["symbol"] == ["diamond"]
    assert rows(made).rows[0].cells[0] == "as used" and rows(made).rows[0].ref == "R-spot-1"
    assert made.shown is not None
    said = structs.replace(made.shown.dots[0], text="as used at home")
    assert said.named == "as used at home"


def test_a_logarithmic_axis_says_so_and_no_value_is_lost_on_it() -> None:
    made = chart(dose)
    assert made.x.scale is Scale.LOG and "(s, logarithmic)" in draw(made, PAPER)
    plot = dose()
    started = replace(plot, dots=(*plot.dots, PlotDot(0.0, 45.0, "at once")))
    even = chart_of(started, "Z-1")
    assert even.x.scale is Scale.LINEAR and "The axis of time the skin bears it is even" in even.note
    assert even.shown is not None and even.shown.dots[-1].x == 0.0


def test_what_is_no_finite_number_is_left_out_and_said() -> None:
    plot = siphon()
    broken = replace(
        plot,
        curves=(PlotCurve("line", (*plot.curves[0].points, (120.0, math.inf), (math.nan, 3.0))),),
        dots=(*plot.dots, PlotDot(1.0, math.nan, "no number")),
        levels=(PlotLevel("y", -math.inf, "nowhere"),),
    )
    made = chart_of(broken, "Z-1")
    assert made.note.endswith("Not drawn, since they are no finite numbers: 4 places.")
    assert made.shown is not None and len(made.shown.dots) == 3 and not made.shown.levels
    assert "nan" not in draw(made, PAPER) and to_json(interactive(made))


def test_levels_with_the_same_words_are_named_once_and_counted() -> None:
    made = chart(pressure)
    drawing = draw(made, PAPER)
    assert drawing.count(">touched (3 times)</text>") == 1
    assert sum(trace["name"] == "touched" for trace in interactive(made)["data"]) == 3
    assert sum(row.cells[-1] == "touched" for row in rows(made).rows) == 3


def test_levels_stand_where_their_number_is() -> None:
    made = chart(pressure)
    sheet, _ = laid_out(made, PAPER, 760)
    x = place(sheet.x_ruler, sheet.area.left, sheet.area.right)
    y = place(sheet.y_ruler, sheet.area.bottom, sheet.area.top)
    strokes = "".join(sheet.out)
    assert f'd="M{sheet.area.left:.1f},{y(40):.1f}L{sheet.area.right:.1f},{y(40):.1f}"' in strokes
    assert f'd="M{x(15):.1f},{sheet.area.top:.1f}L{x(15):.1f},{sheet.area.bottom:.1f}"' in strokes
    label = next(one for one in sheet.labels if one.words.startswith("alarm set"))
    assert abs(label.base - y(40)) < 20


@pytest.mark.parametrize("width", [380, 760])
@pytest.mark.parametrize("make", PLOTS)
def test_a_region_is_worded_inside_itself_or_above_the_plot(make, width: int) -> None:
    made = chart(make)
    assert made.shown is not None
    sheet, _ = laid_out(made, PAPER, width)
    keyed = {number for number, _, _ in sheet.swatches}
    words = " ".join(label.words for label in sheet.labels)
    for number, region in enumerate(made.shown.regions):
        assert region.words in words
        inside = [label for label in sheet.labels if label.words and label.words in region.words and label.spot]
        assert bool(inside) != (number in keyed)
    if width == 760:
        assert len(interactive(made)["layout"]["shapes"]) == len(keyed)


def test_a_wide_region_bears_its_words_inside() -> None:
    plot = siphon()
    region = replace(
        plot.regions[0],
        lower=tuple((h, 0.0) for h, _ in plot.regions[0].lower),
        upper=tuple((h, 90.0) for h, _ in plot.regions[0].upper),
    )
    made = chart_of(replace(plot, regions=(region,), curves=(), dots=(), levels=()), "Z-1")
    sheet, _ = laid_out(made, PAPER, 760)
    assert not sheet.swatches
    (label,) = [one for one in sheet.labels if one.words.startswith("band")]
    assert sheet.area.top < label.base < sheet.area.bottom


def test_curves_of_one_role_differ_without_colour() -> None:
    curves = [Curve(f"m{i}", ((0, 0), (1, 1)), Role.MODEL) for i in range(4)]
    assert len({pattern for _, _, pattern in curve_looks(curves)}) == 4
    more = curve_looks([*curves, *curves])
    assert len(set(more)) == 8
    mixed = curve_looks([Curve("a", ()), Curve("b", (), Role.MODEL)])
    assert mixed[0][1:] != mixed[1][1:]


EVIL = '<script>alert(1)</script> & "quoted" \x00\x1b\u202e'


@pytest.mark.parametrize("make", [pulse, hazard, dose])
def test_hostile_text_stays_text_everywhere(make) -> None:
    plot = make()
    bad = replace(
        plot, title=EVIL, result=EVIL, note=EVIL,
        x=replace(plot.x, label=EVIL, unit=EVIL), y=replace(plot.y, label=EVIL, unit=EVIL),
        curves=tuple(replace(one, name=EVIL) for one in plot.curves),
        regions=tuple(replace(one, words=EVIL) for one in plot.regions),
        dots=tuple(replace(one, text=EVIL, ref=EVIL) for one in plot.dots),
        levels=tuple(replace(one, words=EVIL) for one in plot.levels),
        bars=tuple(replace(one, row=f"{EVIL}{i}", text=EVIL, ref=EVIL) for i, one in enumerate(plot.bars)),
    )  # fmt: skip
    made = chart_of(bad, "Z-1", series=EVIL)
    for text in (draw(made, SITE), alone(made, [EVIL])):
        root = ET.fromstring(text.encode())
        assert not [e for e in root.iter() if e.tag.endswith("script")]
        assert "\u202e" not in "".join(root.itertext())
    page = figure(made, lambda ref: "#x")
    assert "<script" not in page
    held = interactive(made)
    go.Figure({"data": held["data"], "layout": held["layout"]})
    names: list[Any] = [trace["name"] for trace in held["data"]] + [a["text"] for a in held["layout"]["annotations"]]
    assert not any("<script" in name for name in names)
    assert json.loads(to_json(held))


def test_a_standalone_file_holds_result_and_ground_and_is_the_same_each_time() -> None:
    made = chart(dose)
    ground = ["Inputs: temperature 48.9 degC.", "Source: " + "a very long source " * 12]
    text = alone(made, ground)
    assert text == alone(chart(dose), ground) and "var(" not in text and "href" not in text
    root = ET.fromstring(text.encode())
    shown = " ".join(e.text or "" for e in root.iter(f"{NS}text"))
    assert made.title in shown and made.result in shown and ground[0] in shown
    assert " ".join(ground[1].split()) in " ".join(shown.split())
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(ids) == len(set(ids)) == 2
    tall = float(root.get("height") or 0)
    assert all(0 < float(e.get("y") or 1) < tall for e in root.findall(f"{NS}text"))


def test_stack_finds_the_nearest_places_without_overlap() -> None:
    """Oracle: scipy's isotonic regression of the wanted places less the heights before them (confirmed)."""
    rng = random.Random(4)
    for _ in range(60):
        count = rng.randint(1, 9)
        wanted = [rng.uniform(0, 300) for _ in range(count)]
        heights = [rng.choice((14.0, 30.0, 46.0)) for _ in range(count)]
        found = stack(wanted, heights, -1e6, 1e6)
        order = sorted(range(count), key=lambda i: (wanted[i], i))
        before = [sum(heights[j] for j in order[:k]) for k in range(count)]
        best = isotonic_regression([wanted[i] - b for i, b in zip(order, before, strict=True)]).x
        assert [found[i] - b for i, b in zip(order, before, strict=True)] == pytest.approx(list(best))
        held = stack(wanted, heights, 0.0, 600.0)
        ends = sorted((top, top + high) for top, high in zip(held, heights, strict=True))
        assert ends[0][0] >= 0 and ends[-1][1] <= 600 + 1e-9
        assert all(b[0] >= a[1] - 1e-9 for a, b in pairwise(ends))


def test_an_outline_keeps_the_extremes_of_every_strip() -> None:
    places = [(i * 0.1, math.sin(i / 9.0) * 50 + (400 if i == 777 else 0)) for i in range(2000)]
    kept = outline(places)
    assert len(kept) <= 4 * 41 and max(y for _, y in kept) == max(y for _, y in places)
    assert set(kept) <= set(places) and kept[0] == places[0] and kept[-1] == places[-1]


def test_what_cannot_be_placed_is_refused() -> None:
    axis = Axis("a", "W")
    for bad in ({"levels": (Level("z", 1, "w", "1"),)}, {"dots": (Dot(1, 1, "t", "1", "1", dx=-1.0),)},
                {"curves": (Curve("c", ((0.0, math.nan),)),)},
                {"bars": (Bar(0, 0, 1, "t", "0", "1"),), "dots": (Dot(1, 1, "t", "1", "1"),)}):  # fmt: skip
        with pytest.raises(ValueError):
            Shown(**bad)
    with pytest.raises(ValueError, match="category axis"):
        Chart("c", ChartKind.BUILD_UP, "t", "r.", axis, axis, shown=Shown(bars=(Bar(0, 0, 1, "t", "0", "1"),)))
    with pytest.raises(ValueError, match="row 3"):
        rowed = Axis("", scale=Scale.CATEGORY, categories=("a",))
        Chart("c", ChartKind.BUILD_UP, "t", "r.", axis, rowed, shown=Shown(bars=(Bar(3, 0, 1, "t", "0", "1"),)))


def test_an_empty_plot_still_draws() -> None:
    plot = replace(dose(), curves=(), regions=(), dots=(), levels=())
    ET.fromstring(draw(chart_of(plot, "Z-1"), PAPER))
    assert rows(chart_of(plot, "Z-1")).rows == ()
    none = replace(hazard(), bars=(), levels=())
    ET.fromstring(draw(chart_of(none, "Z-1"), PAPER))


@pytest.mark.parametrize("kind", list(PlotKind))
@pytest.mark.parametrize("role", list(CurveRole))
def test_kinds_and_roles_have_a_drawing(kind: PlotKind, role: CurveRole) -> None:
    plot = replace(siphon(), kind=kind, curves=(PlotCurve("one", ((0.0, 1.0), (5.0, 9.0)), role),))
    made = chart_of(plot, "Z-1")
    assert made.kind == ChartKind(kind) and made.shown is not None and made.shown.curves[0].role == Role(role)
    ET.fromstring(draw(made, PAPER, 380))


@pytest.mark.parametrize("width", [390, 760])
def test_words_of_a_level_that_a_trace_would_cross_wherever_they_stood_are_in_the_margin(width: int) -> None:
    """Breaths that go past the limit all along leave no free place on its line; a single rise leaves one."""
    breaths = tuple((n / 10.0, 8.0 if (n // 30) % 2 else 0.0) for n in range(801))
    for points, in_margin in ((breaths, True), (((0.0, 0.0), (62.0, 8.0)), False)):
        plot = replace(
            pressure(), curves=(PlotCurve("pressure", points),), dots=(), regions=(),
            levels=(PlotLevel("y", 5.0, "limit of the alarm"),),
        )  # fmt: skip
        sheet, _ = laid_out(chart_of(plot, "Z-1"), PAPER, width)
        first = next(label for label in sheet.labels if label.words.startswith("limit"))
        assert (first.at > sheet.area.right) is in_margin
