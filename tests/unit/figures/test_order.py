"""The order of work as drawn: clearance by the pattern of a line, broken order crossed and worded."""

from __future__ import annotations

import re

import pytest

from asfound.figures import PAPER
from asfound.figures.diagram import diagram, drawn
from asfound.figures.order_spec import Act, Cleared, Deed, Order

from .test_map import meets, nowhere, words

DAY = "2026-03-12 (Thu), \u221205:00"
THINGS = tuple(f"I-{i}" for i in range(1, 14))
START = (Cleared.NOT_YET,) * 13
ACTS = (
    Act("G-5", DAY, "09:00", "Impounded", Deed.GATE, tuple(range(12)), cleared=Cleared.IMPOUNDED),
    Act("C-9", DAY, "09:10", "Seals 40116, 40117 and 40118 opened", Deed.OPENED, (0, 1, 2)),
    Act("S-earth", DAY, "09:20", "Protective earth <at rest>, three readings", Deed.READ, (0,), (7,),
        broken="I-1 was energised at 09:20, and was inspected only at 10:00"),
    Act("V-1", DAY, "09:30", "Inspection, 37 places looked at, until 09:58", Deed.LOOKED, tuple(range(13))),
    Act("G-6", "2026-03-13 (Fri), \u221205:00", "10:00", "Inspected", Deed.GATE, (0, 1), cleared=Cleared.INSPECTED),
    Act("B-1", "2026-03-13 (Fri), \u221205:00", "10:20", "Cover opened (reversible)", Deed.ALTERED, (1,)),
    Act("G-7", "2026-03-13 (Fri), \u221205:00", "10:30", "Safe to connect: yes", Deed.GATE, (0,), cleared=Cleared.SAFE),
    Act("S-out", "2026-03-13 (Fri), \u221205:00", "11:00", "Output power, 36 readings", Deed.READ, (0,), (2, 12),
        allowed="G-6 inspected and G-7 safe to connect"),
)  # fmt: skip
ORDER = Order(
    "order", "Order of work", "The order of work was broken at S-earth.", THINGS, START, ACTS, "Time runs down."
)


@pytest.mark.parametrize("width", [380.0, 760.0])
def test_every_act_is_said_and_no_words_meet(width: float) -> None:
    svg = drawn(ORDER, PAPER, width, nowhere)
    said = " ".join(line for line, *_ in words(svg))
    for act in ACTS:
        assert act.ref in said and act.clock in said
    assert "allowed by G-6" in said
    # Heads stand in the middle of their column, which the reckoning of `meets` takes for their left end.
    left = [re.sub(r'<text [^>]*text-anchor="(?:middle|end)".*?</text>', "", svg)]
    assert meets(left[0], width) == []
    assert "var(" not in svg and svg == drawn(ORDER, PAPER, width, nowhere)


@pytest.mark.parametrize("width", [380.0, 760.0])
def test_broken_order_is_crossed_and_worded_and_only_there(width: float) -> None:
    svg = drawn(ORDER, PAPER, width, nowhere)
    assert "out of order" in svg and svg.count("l16,-16") == 2, "the thing, and what was fitted to it"
    whole = Order("order", "t", "r", THINGS, START, tuple(act for act in ACTS if not act.broken))
    assert "out of order" not in drawn(whole, PAPER, width, nowhere)
    assert "l16,-16" not in drawn(whole, PAPER, width, nowhere)


def test_how_far_a_thing_was_cleared_is_told_by_the_pattern_of_its_line() -> None:
    svg = drawn(ORDER, PAPER, 760, nowhere)
    key = {str(state): state for state in Cleared}
    assert all(name in svg for name in key)
    looks = re.findall(r'<path d="M[^"]*V[^"]*" fill="none" stroke="#565b61"([^/]*)/>', svg)
    assert len({look for look in looks if "stroke-width" in look}) == 3, (
        "dotted, broken, whole; safe is a whole line twice"
    )
    only = Order("order", "t", "r", ("I-1",), (Cleared.IMPOUNDED,), ACTS[6:7])
    assert re.search(r"M([\d.]+),[\d.]+V[\d.]+M([\d.]+),[\d.]+V", drawn(only, PAPER, 760, nowhere))


def test_the_table_says_the_same() -> None:
    made = diagram(ORDER, lambda ref: f"#{ref}")
    assert '<a href="#S-earth">' in made and "out of order: I-1 was energised" in made
    assert "I-1, I-3, I-13" in made and "G-6 inspected and G-7 safe to connect" in made
    assert "&lt;at rest&gt;" in made and "<at rest>" not in made


def test_an_act_on_no_column_is_refused() -> None:
    with pytest.raises(ValueError, match="column"):
        Order("order", "t", "r", ("I-1",), (Cleared.SAFE,), (Act("S-1", DAY, "1", "x", Deed.READ, (1,)),))
    with pytest.raises(ValueError, match="states"):
        Order("order", "t", "r", ("I-1",), (), ())
