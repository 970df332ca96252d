"""The map of what touched what: nothing is lost, nothing lies on anything else, whatever hangs on whatever."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.figures import PAPER
from asfound.figures.diagram import diagram, drawn, still_diagram
from asfound.figures.lettering import text_width
from asfound.figures.map_spec import Kept, Node, Part, SceneMap, Tie
from asfound.figures.map_tree import groups
from asfound.figures.parts import SIZE

NS = "{http://www.w3.org/2000/svg}"
NODES = (
    Node("I-1", "Electrosurgical generator", Part.DEVICE, Kept.IMPOUNDED),
    Node("I-3", "Cable of the return pad", Part.ATTACHED, Kept.IMPOUNDED),
    Node("I-8", "Power cord", Part.ATTACHED, Kept.LEFT, "thrown away"),
    Node("U-1", "Wall socket 3", Part.ROOM),
    Node("", "Patient", Part.TOUCHED),
    Node("I-7", "Lead set & <three> electrodes", Part.ATTACHED, Kept.IMPOUNDED),
    Node("I-11", "Bottle", Part.ATTACHED, Kept.IMPOUNDED),
)
TIES = (
    Tie("L-1", 2, 3, "plug"),
    Tie("L-2", 2, 0, "inlet"),
    Tie("L-3", 1, 0, "pad port", noted=True),
    Tie("L-4", 1, 4, "left thigh, as told by the circulating assistant"),
    Tie("L-5", 5, 4, "three electrodes on the chest"),
)
MAP = SceneMap("map", "What touched what", "All but I-8 were impounded.", NODES, TIES, "Drawn from the record.")


def nowhere(ref: str) -> str:
    return ""


def words(svg: str) -> list[tuple[str, float, float, float, float]]:
    """Each line of words with its box, by the width the drawing reckons with."""
    found = []
    for one in ElementTree.fromstring(svg).iter(f"{NS}text"):
        said = "".join(one.itertext())
        x, y = float(one.get("x", "")), float(one.get("y", ""))
        found.append((said, x, y - SIZE * 0.7, x + text_width(said, SIZE), y + SIZE * 0.2))
    return found


def meets(svg: str, width: float) -> list[str]:
    """Words that lie on others, or beyond the edge."""
    every = words(svg)
    bad = [f"{a!r} leaves the sheet" for a, left, _, right, _ in every if left < -1 or right > width + 6]
    for i, (a, l1, t1, r1, b1) in enumerate(every):
        for b, l2, t2, r2, b2 in every[i + 1 :]:
            if min(r1, r2) > max(l1, l2) + 0.5 and min(b1, b2) > max(t1, t2):
                bad.append(f"{a!r} meets {b!r}")
    return bad


def test_each_thing_stands_once_and_a_person_at_each_thing_that_touched_them() -> None:
    svg = drawn(MAP, PAPER, 760, nowhere)
    said = [line for line, *_ in words(svg)]
    for node in NODES:
        assert sum(line.startswith(f"{node.ref} ".strip() or node.name) for line in said) >= 1, node
    hung, alone = groups(MAP)
    assert [NODES[group.middle.node].ref for group in hung] == ["I-1", "I-7"]
    assert [NODES[one.node].ref for one in hung[0].before] == ["I-8"], "what leads to the socket stands before"
    assert [NODES[i].ref for i in alone] == ["I-11"]
    assert said.count("impounded") == 5, "four things, and the key"
    assert said.count("not impounded") == 2, "one thing, and the key"


def test_what_was_impounded_is_told_by_edge_and_word_and_not_by_colour() -> None:
    one = SceneMap("one", "t", "r", (Node("I-1", "Pump", Part.DEVICE, Kept.LEFT),), ())
    other = SceneMap("two", "t", "r", (Node("I-1", "Pump", Part.DEVICE, Kept.IMPOUNDED),), ())
    left, kept = (re.sub(r"#[0-9a-f]{6}", "", drawn(it, PAPER, 380, nowhere)) for it in (one, other))
    assert left.count("stroke-dasharray") == 2 and "not impounded" in left
    assert "stroke-dasharray" not in kept and kept.count("<rect") == 2 * left.count("<rect")


def test_boxes_lead_to_their_records_and_the_table_to_the_connections() -> None:
    made = diagram(MAP, lambda ref: f"#{ref}" if ref != "I-11" else "")
    for ref in ("I-1", "U-1", "L-4"):
        assert f'href="#{ref}"' in made
    assert "#I-11" not in made
    assert "<td>I-8 Power cord, not impounded</td>" in made
    assert "details" not in still_diagram(MAP, nowhere, table=False)
    assert "Lead set &amp; &lt;three&gt;" in made and "<three>" not in made


@pytest.mark.parametrize("width", [380, 760])
def test_paper_is_drawn_without_variables_and_with_its_font_named(width: float) -> None:
    svg = drawn(MAP, PAPER, width, nowhere)
    assert "var(" not in svg and "Source Sans 3" in svg
    assert svg == drawn(MAP, PAPER, width, nowhere)
    assert meets(svg, width) == []
    root = ElementTree.fromstring(svg)
    assert root.find(f"{NS}title") is not None and root.find(f"{NS}desc") is not None


def test_a_ring_is_drawn_once_and_named_where_it_closes() -> None:
    ring = SceneMap("ring", "t", "r", NODES[:3], (Tie("L-1", 0, 1), Tie("L-2", 1, 2), Tie("L-3", 2, 0)))
    said = " ".join(line for line, *_ in words(drawn(ring, PAPER, 760, nowhere)))
    assert said.count("L-1") == said.count("L-2") == said.count("L-3") == 1
    assert "drawn before" in said


@st.composite
def scenes(draw: st.DrawFn) -> SceneMap:
    """Any number of things of any kind, tied anyhow."""
    names = st.sampled_from(["Pump", "Lead set of the patient monitor, with three electrodes", "Earth bar"])
    parts = draw(st.lists(st.sampled_from(list(Part)), min_size=1, max_size=12))
    nodes = tuple(
        Node("" if part is Part.TOUCHED else f"I-{i}", draw(names), part,
             draw(st.sampled_from(list(Kept))) if part in (Part.DEVICE, Part.ATTACHED) else Kept.NEITHER)
        for i, part in enumerate(parts)
    )  # fmt: skip
    ends = st.tuples(*[st.integers(0, len(nodes) - 1)] * 2).filter(lambda pair: pair[0] != pair[1])
    pairs = draw(st.lists(ends, max_size=14)) if len(nodes) > 1 else []
    said = st.sampled_from(["", "pad port", "outer side of the left thigh, as told by the circulating assistant"])
    ties = tuple(Tie(f"L-{i}", a, b, draw(said), draw(st.booleans())) for i, (a, b) in enumerate(pairs))
    return SceneMap("any", "t", "r", nodes, ties)


@given(scenes(), st.sampled_from([380.0, 760.0]))
@settings(max_examples=150, deadline=None)
def test_whatever_is_tied_to_whatever_no_words_meet_and_no_tie_is_lost(scene: SceneMap, width: float) -> None:
    svg = drawn(scene, PAPER, width, nowhere)
    assert meets(svg, width) == []
    said = " ".join(line for line, *_ in words(svg))
    for tie in scene.ties:
        assert re.search(rf"{tie.ref}(?!\d)", said), tie


def test_a_tie_to_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="L-9"):
        SceneMap("map", "t", "r", NODES, (Tie("L-9", 0, 99),))
    with pytest.raises(ValueError, match="map id"):
        SceneMap("9", "t", "r", NODES, ())
