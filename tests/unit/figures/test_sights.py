"""Events in lanes: what is drawn is what is said, told times differ without colour, and nothing is hidden."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from msgspec import structs

from asfound.figures import PAPER, draw, interactive, rows
from asfound.figures.lettering import text_width
from asfound.figures.parts import SIZE

from .examples import lanes

SVG = "{http://www.w3.org/2000/svg}"


def drawn(width: float = 760) -> ET.Element:
    return ET.fromstring(draw(lanes(), PAPER, width))


@pytest.mark.parametrize("width", [760, 380])
def test_every_event_and_tick_is_drawn_and_says_what_it_is(width: float) -> None:
    told = {title.text for title in drawn(width).iter(f"{SVG}title")}
    assert told >= {one.said for one in lanes().sights}
    assert {"entry of the log, 5 s, hour 2.1, R-log-1", "gate: impounded, hour 3.2, G-1"} <= told


@pytest.mark.parametrize("width", [760, 380])
def test_names_stand_above_their_marks_and_do_not_touch(width: float) -> None:
    at = {
        text.text: (float(text.get("x") or 0), float(text.get("y") or 0))
        for text in drawn(width).iter(f"{SVG}text")
        if re.fullmatch(r"T-\d", text.text or "")
    }
    assert set(at) == {"T-1", "T-2", "T-3", "T-4", "T-5"}
    lane = sorted(at[name][0] for name in ("T-1", "T-2", "T-4"))
    assert all(b - a >= 20 for a, b in pairwise(lane))


def test_a_told_time_is_an_open_mark_whatever_the_colours() -> None:
    plain = replace(PAPER, ink="#000", paper="#fff", soft="#000", rule="#000", wash="#fff", mark="#000", warn="#000")
    marks = [
        group.findall(f"{SVG}path")[1].get("fill")
        for group in ET.fromstring(draw(lanes(), plain, 760)).iter(f"{SVG}g")
        if (group.findtext(f"{SVG}title") or "").startswith("T-")
    ]
    assert [mark == "#fff" for mark in marks] == [one.told for one in lanes().sights]


def test_an_open_order_has_its_words_in_drawing_and_live_copy() -> None:
    words = "order not settled: T-2, T-3 and T-4"
    assert any(words in (text.text or "") for text in drawn().iter(f"{SVG}text"))
    layout = interactive(lanes())["layout"]
    assert any(words in note["text"] for note in layout["annotations"]) and layout["shapes"]


def test_the_live_copy_leads_to_every_record_and_has_its_interval() -> None:
    data = {trace["name"]: trace for trace in interactive(lanes())["data"]}
    refs = {told[1] for trace in data.values() for told in trace.get("customdata", ())}
    assert refs == {"T-1", "T-2", "T-3", "T-4", "T-5", "R-log-1", "G-1"}
    told = data["as a person told it"]
    assert told["error_x"]["array"] == told["error_x"]["arrayminus"] == [0.02, 0.3, 0.2]
    assert "&lt;T-1&gt;" in told["customdata"][0][0]


def test_the_table_tells_every_event_in_the_order_of_its_lane() -> None:
    table = rows(lanes())
    assert [row.cells[-1] for row in table.rows] == ["T-1", "T-2", "T-4", "T-3", "R-log-1", "T-5", "G-1"]
    assert table.rows[1].cells[1:4] == ("hour 2", "hour 1.7", "hour 2.3")
    assert table.rows[1].cells[5] == "as a person told it"


def test_a_time_outside_its_own_interval_is_refused() -> None:
    wrong = structs.replace(lanes().sights[0], low=5.0, high=6.0)
    with pytest.raises(ValueError, match="outside its own interval"):
        structs.replace(lanes(), sights=(wrong,))


def test_names_that_have_no_room_in_one_line_stand_in_several_and_none_hides_another() -> None:
    few = lanes()
    crowd = tuple(
        structs.replace(few.sights[1], ref=f"T-{number}", x=x, low=x - 0.05, high=x + 0.05)
        for number, x in enumerate((1.8 + 0.04 * at for at in range(14)), start=10)
    )
    drawing = ET.fromstring(draw(structs.replace(few, sights=crowd), PAPER, 380))
    boxes = [
        (x - half, float(text.get("y") or 0), x + half)
        for text in drawing.iter(f"{SVG}text")
        if re.fullmatch(r"T-\d+", text.text or "")
        for x, half in [(float(text.get("x") or 0), text_width(text.text or "", SIZE) / 2)]
    ]
    assert len(boxes) == 14 and len({base for _, base, _ in boxes}) > 1
    hidden = [
        (one, two) for one, two in combinations(boxes, 2)
        if abs(one[1] - two[1]) < 12 and min(one[2], two[2]) > max(one[0], two[0])
    ]  # fmt: skip
    assert not hidden
    stems = interactive(structs.replace(few, sights=crowd))["data"][0]
    assert stems["name"] == "stems" and stems["x"].count(None) == 13
