"""Text breaks at its room; neighbours are moved apart and never out of bounds."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from asfound.figures.lettering import spread, text_width, wrap


def test_width_grows_with_text_and_size() -> None:
    assert text_width("", 10) == 0
    assert text_width("0", 1000) == 497
    assert text_width("ab", 20) == 2 * text_width("ab", 10)
    assert text_width("ab", 10, bold=True) > text_width("ab", 10)


@given(st.text(alphabet="abcdef ", max_size=60), st.floats(20, 300))
def test_wrapping_loses_nothing_and_keeps_to_its_room(text: str, room: float) -> None:
    lines = wrap(text, 13, room)
    assert " ".join(lines).split() == text.split()
    assert all(text_width(line, 13) <= room or " " not in line.strip() for line in lines)


@given(st.lists(st.floats(0, 400), min_size=1, max_size=12))
def test_spread_keeps_distance_order_and_bounds(wanted: list[float]) -> None:
    placed = spread(wanted, 16, 0, 400)
    assert all(-1e-6 <= p <= 400 + 1e-6 for p in placed)
    ordered = sorted(placed)
    assert all(b - a >= 16 - 1e-6 for a, b in pairwise(ordered))
    pairs = list(zip(wanted, placed, strict=True))
    assert all(p <= q + 1e-6 for a, p in pairs for b, q in pairs if a < b)


def test_what_has_room_stays() -> None:
    assert spread([10, 100, 200], 16, 0, 400) == [10, 100, 200]
    assert spread([], 16, 0, 400) == []


def test_too_many_are_set_evenly() -> None:
    assert spread([5, 5, 5], 16, 0, 20) == [0, 10, 20]
