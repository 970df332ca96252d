"""The live copy: valid for the real library, closed to the outside, set as the drawing is set."""

from __future__ import annotations

import json

import plotly.graph_objects as go
import pytest
from msgspec import structs

from asfound.figures import check_traces, interactive, to_json
from asfound.figures.palette import COLOURS, LIGHT
from asfound.figures.spec import Axis, Chart, ChartKind, Point, Scale, Series

from .examples import ALL, leakage, monitor, output


@pytest.mark.parametrize("make", ALL)
def test_the_real_library_accepts_every_property(make) -> None:
    figure = interactive(make())
    go.Figure({"data": figure["data"], "layout": figure["layout"]})


def test_the_oracle_refuses_a_wrong_property() -> None:
    figure = interactive(output())
    figure["layout"]["xaxis"]["colour"] = "red"
    with pytest.raises(ValueError, match="colour"):
        go.Figure({"data": figure["data"], "layout": figure["layout"]})


@pytest.mark.parametrize("kind", ["box", "heatmap", "scattergl", None])
def test_kinds_that_the_bundle_lacks_are_refused(kind: str | None) -> None:
    with pytest.raises(ValueError, match="trace 1 is of kind"):
        check_traces({"data": [{"type": "scatter"}, {"type": kind}]})
    check_traces({"data": [{"type": "bar"}, {"type": "pie"}]})


@pytest.mark.parametrize("make", ALL)
def test_json_is_compact_sorted_and_the_same_every_time(make) -> None:
    text = to_json(interactive(make()))
    assert text == to_json(interactive(make()))
    assert json.loads(text) == json.loads(json.dumps(interactive(make())))
    assert '": ' not in text and "NaN" not in text


def test_nothing_can_be_sent_away() -> None:
    config = interactive(output())["config"]
    assert config["showSendToCloud"] is False and config["plotlyServerURL"] == "" and config["displaylogo"] is False
    offered = {b for group in config["modeBarButtons"] for b in group}
    assert offered == {"zoom2d", "pan2d", "resetScale2d"}
    assert "http" not in to_json(interactive(output()))


def test_a_reading_tells_value_doubt_verdict_and_record() -> None:
    told = interactive(output())["data"][-2]["customdata"][2]
    assert told[0] == "port 1<br>90\u00a0W<br>88.4\u00a0W ± 3.8\u00a0W<br>pass<br>R-output-3"
    assert told[1] == "R-output-3"
    void = interactive(output())["data"][-1]["customdata"][2][0]
    assert "void: load unplugged during the reading" in void


def test_text_is_escaped_for_the_library_that_reads_tags() -> None:
    axis = Axis("a <b>", "W")
    point = Point(1, 2, "<0.5 µA", ref='<a href="javascript:x">R</a>', outcome="fail")
    figure = interactive(Chart("c", ChartKind.DEVIATION, "t", "r.", axis, axis, (Series("<i>s", (point,)),)))
    text = to_json(figure)
    assert "<a href" not in text.replace('","<a href', "") and "&lt;0.5 µA" in text
    assert any(a["text"] == "&lt;0.5 µA, fail" for a in figure["layout"]["annotations"])


def test_only_colours_of_the_scheme_are_used_and_each_has_its_variable() -> None:
    figure = interactive(leakage())
    known = figure["layout"]["meta"]["colours"]
    assert known == {getattr(LIGHT, name): f"--af-{name}" for name in COLOURS}
    used = {part for part in to_json(figure).split('"') if part.startswith("#")}
    assert used <= set(known)


def test_log_axis_and_rows_are_laid_out_like_the_drawing() -> None:
    figure = interactive(leakage())
    assert figure["layout"]["xaxis"]["type"] == "log"
    assert figure["layout"]["xaxis"]["range"][0] < figure["layout"]["xaxis"]["range"][1] < 4
    assert figure["layout"]["yaxis"]["range"][0] > figure["layout"]["yaxis"]["range"][1]
    words = [a["text"] for a in figure["layout"]["annotations"]]
    assert "not obtainable: footswitch not impounded" in words and "limit 50 µA" in words
    assert interactive(monitor())["layout"]["shapes"][0]["x1"] == 135


def test_marks_say_by_shape_what_colour_repeats() -> None:
    rows = interactive(leakage())["data"][-1]["marker"]["symbol"]
    assert "circle-x-open" in rows and "triangle-left-open" in rows
    plane = interactive(output())["data"]
    assert plane[-2]["marker"]["symbol"] == "circle" and "square-x-open" in plane[-1]["marker"]["symbol"]


def test_a_logarithmic_y_axis_places_its_labels_in_decades() -> None:
    points = tuple(Point(float(i), 10.0**i, f"{10**i}", outcome="fail", ref=f"R-{i}") for i in range(4))
    chart = Chart("c", ChartKind.DEVIATION, "t", "r.", Axis("a"), Axis("b", scale=Scale.LOG), (Series("", points),))
    figure = interactive(chart)
    levels = [a["y"] for a in figure["layout"]["annotations"] if a["text"].endswith("fail")]
    assert levels == pytest.approx([0, 1, 2, 3], abs=0.01)
    assert structs.replace(chart) == chart
