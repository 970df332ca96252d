"""Bands of custody: what is drawn is what is said, a gap is never hidden, and no colour is needed."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from msgspec import structs

from asfound.figures import PAPER, draw, interactive, rows
from asfound.figures.bands import swatch
from asfound.figures.kinds import custody_bands
from asfound.figures.spec import Axis, Look, Stretch

from .examples import bands

SVG = "{http://www.w3.org/2000/svg}"


def drawn(width: float = 760) -> ET.Element:
    return ET.fromstring(draw(bands(), PAPER, width))


@pytest.mark.parametrize("width", [760, 380])
def test_every_stretch_and_every_gate_is_drawn_and_says_what_it_is(width: float) -> None:
    told = [title.text for title in drawn(width).iter(f"{SVG}title")]
    chart = bands()
    assert set(told) >= {one.said for one in chart.stretches}
    assert any(text and text.startswith("gate: inspected") and text.endswith("G-7") for text in told)


@pytest.mark.parametrize("width", [760, 380])
def test_a_gap_too_short_to_see_is_still_seen_and_has_its_word(width: float) -> None:
    root = drawn(width)
    words = [text.text or "" for text in root.iter(f"{SVG}text")]
    assert any(text.startswith("gap, 0.02 h") for text in words) and any(text.startswith("gap, 20 h") for text in words)
    (group,) = [
        g
        for g in root.iter(f"{SVG}g")
        if any("C-4" in (t.text or "") and "not accounted" in (t.text or "") for t in g.findall(f"{SVG}title"))
    ]
    edge = group.findall(f"{SVG}path")[0].get("d") or ""
    right, left = (float(found) for found in re.findall(r"[MH](-?[0-9.]+)", edge)[:2])
    assert right - left >= 2.9


def test_a_band_that_goes_on_has_no_closing_end() -> None:
    closed, opened = (swatch(Look.HELD, 0, 50, 0, PAPER, open=state) for state in (False, True))
    assert 'Z"' in closed and 'Z"' not in opened


def test_each_way_of_keeping_has_a_pattern_without_any_colour() -> None:
    plain = replace(PAPER, soft="#000", mark="#000", warn="#000", wash="#fff", paper="#fff")
    assert len({swatch(look, 0, 60, 0, plain) for look in Look}) == len(Look)


def test_strokes_of_a_pattern_stay_in_their_band() -> None:
    for look in Look:
        for left, right in ((0.0, 3.0), (5.5, 61.0)):
            numbers = re.findall(r"[ML](-?[0-9.]+),(-?[0-9.]+)", swatch(look, left, right, 10, PAPER))
            assert all(left - 0.1 <= float(x) <= right + 0.1 and 9.9 <= float(y) <= 30.1 for x, y in numbers), look


def test_the_table_tells_every_stretch_and_gate_in_the_order_of_time() -> None:
    table = rows(bands())
    assert table.header == ("row", "from", "to", "length", "kept", "by", "place", "seal", "record", "remark")
    first = [row.cells for row in table.rows if row.cells[0].split()[0] == "I-1"]
    assert [cells[0] for cells in first] == ["I-1 Pump", *["I-1"] * 5], "its whole name once"
    assert [cells[4] for cells in first] == [
        "before the log begins", "with a person", "in a sealed store", "on the way under seal", "with a person",
        "gate: inspected",
    ]  # fmt: skip
    assert first[4][2] == "still so" and first[2][7] == "2001"


def test_a_gate_that_several_things_passed_stands_in_the_table_once() -> None:
    chart = bands()
    gate = chart.events[0]
    names = [one.split()[0] for one in chart.y.categories]
    every = rows(structs.replace(chart, events=tuple(structs.replace(gate, row=row) for row in range(len(names)))))
    told = [row.cells for row in every.rows if row.cells[4] == gate.words]
    assert [(cells[0], cells[1], cells[8]) for cells in told] == [(" ".join(names), gate.text, gate.ref)]
    assert len(every.rows) == len(rows(chart).rows)


def test_the_live_copy_has_the_same_bands_and_leads_to_the_records() -> None:
    chart = bands()
    data = interactive(chart)["data"]
    assert {trace["name"] for trace in data} == {str(look) for look in Look} | {"bands", "gates"}
    answers = next(trace for trace in data if trace["name"] == "bands")
    assert {told[1] for told in answers["customdata"]} == {one.ref for one in chart.stretches}
    assert any("Set &amp; clamp" in told[0] for told in answers["customdata"])
    patterns = [
        (trace.get("fillpattern", {}).get("shape", ""), trace["line"]["dash"], len({y for y in trace["y"] if y}) > 2)
        for trace in data[: len(Look)]
    ]
    # The example has one row of each but for gaps, so that more than two heights are the two lines of a store.
    assert len(set(patterns)) == len(Look)


def test_the_live_copy_has_the_key_and_leaves_the_end_of_what_goes_on_open() -> None:
    figure = interactive(bands())
    shapes = figure["layout"]["shapes"]
    assert len(shapes) == len(Look) + 4  # a store, a carriage, a slant and a cross have strokes inside
    assert all(shape["xsizemode"] == shape["ysizemode"] == "pixel" for shape in shapes)
    held = next(trace for trace in figure["data"] if trace["name"] == "with a person")
    closed, opened = (
        [part for part in group if part is not None]
        for group in (held["x"][: held["x"].index(None)], held["x"][held["x"].index(None) + 1 :])
    )
    assert (len(closed), len(opened)) == (5, 4)


def test_two_stretches_of_one_thing_at_once_are_refused() -> None:
    one = Stretch(0, 0, 2, Look.HELD, "a", "0", "2")
    with pytest.raises(ValueError, match="overlap"):
        custody_bands("c", "t", "r.", ("I-1",), (one, structs.replace(one, start=1, end=3)), x=Axis("t"))
    with pytest.raises(ValueError, match="ends before"):
        custody_bands("c", "t", "r.", ("I-1",), (structs.replace(one, start=3),), x=Axis("t"))
    with pytest.raises(ValueError, match="not one of"):
        custody_bands("c", "t", "r.", ("I-1",), (structs.replace(one, row=1),), x=Axis("t"))
