"""A drawing in fewer elements paints the same: the same words at the same places, the same marks, the same looks."""

from __future__ import annotations

import re
from collections import Counter
from xml.etree import ElementTree

import pytest

from asfound.figures import SITE, draw
from asfound.figures.gathered import DOT, gathered

from .examples import ALL

INHERITED = ("fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linecap", "text-anchor", "font-weight")
ROUND = re.compile(r"M(-?[0-9.]+),(-?[0-9.]+)a4\.3,4\.3 0 1 0 8\.6,0a4\.3,4\.3 0 1 0 -8\.6,0Z")
STROKE = re.compile(r"M(-?[0-9.]+),(-?[0-9.]+)h0")


def painted(drawing: str) -> Counter[tuple[object, ...]]:
    """What is painted: words with their place, paths piece by piece, each with the looks it has or inherits. A round
    mark of ink and a stroke of no length with a round cap of its width are both a disc (SVG 1.1, 11.4; confirmed)."""
    found: Counter[tuple[object, ...]] = Counter()

    def walk(element: ElementTree.Element, looks: dict[str, str], shift: tuple[float, float]) -> None:
        looks = looks | {name: value for name, value in element.attrib.items() if name in INHERITED}
        moved = re.fullmatch(r"translate\((-?[0-9.]+)(?:,(-?[0-9.]+))?\)", element.get("transform", ""))
        if moved:
            shift = shift[0] + float(moved[1]), shift[1] + float(moved[2] or 0)
        said = tuple(sorted(looks.items()))
        if element.tag.endswith("text"):
            at = float(element.get("x", "0")) + shift[0], float(element.get("y", "0")) + shift[1]
            found["words", element.text, round(at[0], 1), round(at[1], 1), said] += 1
        for piece in re.findall(r"M[^M]+", element.get("d", "")):
            mark, stroke = ROUND.fullmatch(piece), STROKE.fullmatch(piece)
            if mark and looks.get("stroke") is None:
                found["disc", round(float(mark[1]) + DOT / 2, 1), float(mark[2]), looks["fill"]] += 1
            elif stroke:
                assert (looks["stroke-width"], looks["stroke-linecap"]) == (f"{DOT}", "round")
                found["disc", round(float(stroke[1]), 1), float(stroke[2]), looks["stroke"]] += 1
            else:
                found["path", piece, said] += 1
        for inner in element:
            walk(inner, looks, shift)

    walk(ElementTree.fromstring(drawing), {}, (0.0, 0.0))
    return found


@pytest.mark.parametrize("make", ALL)
@pytest.mark.parametrize("width", [760, 380])
def test_it_paints_the_same_in_fewer_bytes(make, width: int) -> None:
    drawing = re.sub("<title>[^<]*</title>", "", draw(make(), SITE, width))
    small = gathered(drawing)
    assert painted(small) == painted(drawing)
    assert len(small) <= len(drawing)
    assert small.count("<") <= drawing.count("<")


def test_a_mark_of_another_colour_stays_itself() -> None:
    ring = "M5.7,9.0a4.3,4.3 0 1 0 8.6,0a4.3,4.3 0 1 0 -8.6,0Z"
    drawing = f'<svg fill="{SITE.ink}"><path d="{ring}" fill="red"></path><path d="{ring}"></path></svg>'
    small = gathered(drawing)
    assert small.startswith(f'<svg fill="{SITE.ink}"><path d="{ring}" fill="red"/><path d="M10.0,9.0h0"')


def test_marks_in_a_group_keep_the_look_of_the_group() -> None:
    drawing = '<svg><g fill="red"><path d="M5.7,9.0a4.3,4.3 0 1 0 8.6,0a4.3,4.3 0 1 0 -8.6,0Z"></path></g></svg>'
    assert gathered(drawing) == drawing.replace("></path>", "/>")


def test_words_in_a_column_or_a_row_share_it() -> None:
    column = "".join(f'<text x="7.0" y="{n}.0" text-anchor="end">{n}</text>' for n in range(4))
    assert gathered(f'<svg><g fill="red">{column}</g></svg>') == (
        '<svg><g fill="red" text-anchor="end" transform="translate(7)">'
        + "".join(f'<text y="{n}.0">{n}</text>' for n in range(4))
        + "</g></svg>"
    )
    row = "".join(f'<text x="{n}.0" y="9.5">{n}</text>' for n in range(4))
    assert 'transform="translate(0,9.5)"><text x="0.0">0</text>' in gathered(f'<svg><g fill="red">{row}</g></svg>')


def test_groups_within_groups_are_left_alone() -> None:
    drawing = '<svg><g fill="red"><g fill="blue"><text x="1" y="2">a</text></g></g></svg>'
    assert gathered(drawing) == drawing
