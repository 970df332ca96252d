"""The drawing: well-formed, the same every time, true to its numbers, safe, and fast."""

from __future__ import annotations

import re
import time
import xml.etree.ElementTree as ET

import pytest
from msgspec import structs

from asfound.figures import PAPER, SITE, draw
from asfound.figures.lettering import text_width
from asfound.figures.parts import SIZE
from asfound.figures.scale import place
from asfound.figures.spec import Axis, Bound, Chart, ChartKind, Mark, Point, Series, Shape
from asfound.figures.svg import laid_out

from .examples import ALL, deviations, leakage, long_line, output

NS = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("width", [380, 760])
@pytest.mark.parametrize("make", ALL)
def test_every_chart_is_well_formed_named_and_deterministic(make, width: int) -> None:
    chart = make()
    drawing = draw(chart, SITE, width)
    assert drawing == draw(make(), SITE, width)
    root = ET.fromstring(drawing)
    assert root.tag == f"{NS}svg" and root.get("role") == "img"
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(ids) == len(set(ids)) and all(i.startswith(chart.id) for i in ids)
    named = {e.get("id"): e.text for e in root.iter() if e.get("id")}
    title, desc = (named[i] for i in (root.get("aria-labelledby") or "").split())
    assert title == chart.title
    assert desc is not None and desc.startswith(chart.result)
    assert not re.search(r"nan|inf\b", drawing)
    assert "style=" not in drawing and "rotate" not in drawing


@pytest.mark.parametrize("make", ALL)
def test_paper_gets_literal_colours_and_the_page_gets_variables(make) -> None:
    assert "var(" not in draw(make(), PAPER)
    assert "var(--af-ink,#" in draw(make(), SITE)


@pytest.mark.parametrize("width", [380, 760])
@pytest.mark.parametrize("make", ALL)
def test_labels_do_not_lie_on_each_other(make, width: int) -> None:
    sheet, height = laid_out(make(), PAPER, width)
    boxes = []
    for label in sheet.labels:
        wide = text_width(label.words, SIZE, bold=label.bold)
        left = label.at - {"start": 0, "middle": wide / 2, "end": wide}[label.anchor]
        boxes.append((label.words, left, label.base - 9, left + wide, label.base + 2))
        assert left >= -1 and left + wide <= width + 1, label.words
        assert 0 <= label.base <= height
    for i, (a, l1, t1, r1, b1) in enumerate(boxes):
        for b, l2, t2, r2, b2 in boxes[i + 1 :]:
            assert min(r1, r2) <= max(l1, l2) or min(b1, b2) <= max(t1, t2), f"{a!r} lies on {b!r}"


def _readings(drawing: str) -> dict[str, tuple[float, float]]:
    """Record id → pixel place of the marker, read back from the drawing."""
    found = {}
    for path in ET.fromstring(drawing).iter(f"{NS}path"):
        tip = path.find(f"{NS}title")
        start = re.match(r"M([-\d.]+),([-\d.]+)", path.get("d") or "")
        if tip is not None and tip.text and start:
            found[tip.text.rsplit(", ", 1)[1]] = (float(start[1]), float(start[2]))
    return found


def test_markers_stand_where_their_numbers_say() -> None:
    chart = structs.replace(output(), series=output().series[:1])
    sheet, _ = laid_out(chart, PAPER, 760)
    x = place(sheet.x_ruler, sheet.area.left, sheet.area.right)
    y = place(sheet.y_ruler, sheet.area.bottom, sheet.area.top)
    found = _readings(draw(chart, PAPER))
    assert set(found) == {p.ref for p in chart.series[0].points}
    for p in chart.series[0].points:
        px, py = found[p.ref]
        assert px + 4.3 == pytest.approx(x(p.x), abs=0.11)
        assert py == pytest.approx(y(p.y), abs=0.11)


def test_a_verdict_that_is_not_a_plain_pass_is_written_beside_its_reading() -> None:
    drawing = draw(output(), PAPER)
    for words in ("30.1\u00a0W, fail", "61.0\u00a0W, void", "97.8\u00a0W, conditional pass", "as used: 88.4 W"):
        assert f">{words}</text>" in drawing
    assert ">88.4\u00a0W, pass" not in drawing


def test_rows_without_a_reading_say_so_in_words() -> None:
    wide, narrow = draw(leakage(), PAPER), draw(leakage(), PAPER, 380)
    assert ">not obtainable: footswitch not impounded</text>" in wide
    for drawing in (wide, narrow):
        assert re.search(">not measured(:[^<]*)?</text>", drawing)
        assert drawing.count("limit 500 µA</text>") == 1


def test_a_void_reading_is_hollow_and_crossed_and_a_bound_points() -> None:
    drawing = draw(output(), PAPER)
    void = drawing[drawing.index('<g fill="#ffffff" stroke="#565b61"') :]
    assert "void: load unplugged during the reading" in void[:200]
    axis = Axis("a", "W")
    points = tuple(Point(i, 5, f"{b} 5", ref=f"R-{i}", bound=b) for i, b in enumerate((Bound.BELOW, Bound.ABOVE)))
    chart = Chart("c", ChartKind.DEVIATION, "t", "r.", axis, axis, (Series("", points),))
    assert "v24m-4,-6l4,6l4,-6" in draw(chart, PAPER)
    assert "v-24m-4,6l4,-6l4,6" in draw(chart, PAPER)


def test_hostile_text_stays_text() -> None:
    evil = '<script>alert(1)</script> & "quoted" \x00\x1b\u202e'
    chart = structs.replace(
        output(),
        title=evil,
        result=evil,
        note=evil,
        marks=(Mark(90, 88, evil),),
        series=(
            Series(evil, tuple(Point(p.x, p.y, evil, ref=evil, outcome="fail") for p in output().series[0].points)),
        ),
    )
    root = ET.fromstring(draw(chart, SITE))
    assert not [e for e in root.iter() if e.tag.endswith("script")]
    title = root.find(f"{NS}title")
    assert title is not None and title.text is not None and title.text.startswith("<script>alert(1)</script> & ")
    assert "\u202e" not in "".join(root.itertext())


@pytest.mark.parametrize("shape", list(Shape))
def test_every_shape_draws(shape: Shape) -> None:
    chart = structs.replace(deviations(), series=(structs.replace(deviations().series[0], shape=shape),))
    ET.fromstring(draw(chart, PAPER))


def test_empty_chart_and_single_reading_draw() -> None:
    axis = Axis("a", "W")
    ET.fromstring(draw(Chart("c", ChartKind.DEVIATION, "t", "r.", axis, axis), PAPER))
    ET.fromstring(draw(Chart("c", ChartKind.DEVIATION, "t", "r.", axis, axis, (Series("", (Point(0, 0),)),)), PAPER))


def test_many_readings_on_a_line_are_one_path() -> None:
    drawing = draw(long_line(), PAPER)
    assert drawing.count("<path") < 8
    assert drawing.count("L") > 598


def _best(call, rounds: int = 30) -> float:
    best = 9.0
    for _ in range(rounds):
        start = time.perf_counter()
        call()
        best = min(best, time.perf_counter() - start)
    return best


def test_a_long_line_costs_at_most_three_times_a_polyline_written_by_hand() -> None:
    """The floor is the plainest code that writes the same 600 places and two limits; both are timed here."""
    chart = long_line()
    places = [(p.x, p.y) for p in chart.series[0].points]

    def by_hand() -> str:
        line = " ".join(f"{10 + x * 1.2:.1f},{300 - y * 4:.1f}" for x, y in places)
        return (
            f'<svg viewBox="0 0 760 320" role="img"><title>t</title><polyline points="{line}"/>'
            '<path d="M0,10H760"/><path d="M0,20H760"/></svg>'
        )

    assert min(_best(lambda: draw(chart, SITE)) / _best(by_hand) for _ in range(3)) <= 3
