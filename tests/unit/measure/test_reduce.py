"""A long series for a chart: nothing that stands out is lost, nothing is made up."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.measure.reduce import KEPT, Reduced, reduce_extremes, reduce_stretches

values = st.lists(st.floats(-1e9, 1e9), min_size=1, max_size=400)
counts = st.integers(1, 40)


def _pieces(size: int, buckets: int) -> list[np.ndarray]:
    """numpy's own way of cutting into nearly equal runs, as oracle."""
    return np.array_split(np.arange(size), buckets)


@given(values, counts)
def test_extremes_of_every_bucket_and_its_ends_are_kept(y: list[float], buckets: int) -> None:
    x = [float(at) for at in range(len(y))]
    found = reduce_extremes(x, y, buckets)
    kept = {int(at) for at in found.x}
    assert found.of == len(y)
    if not found.buckets:
        assert found.points == tuple(zip(x, y, strict=True))
        return
    for run in _pieces(len(y), buckets):
        part = np.asarray(y)[run]
        assert {int(run[0]), int(run[-1]), int(run[part.argmin()]), int(run[part.argmax()])} <= kept
    assert len(kept) <= KEPT * buckets


@given(values, counts)
def test_what_is_left_are_samples_in_their_order(y: list[float], buckets: int) -> None:
    x = [at / 8.0 for at in range(len(y))]
    found = reduce_extremes(x, y, buckets)
    assert set(found.points) <= set(zip(x, y, strict=True))
    assert (np.diff(found.x) > 0).all()
    assert (found.y.min(), found.y.max()) == (np.min(y), np.max(y))
    assert (found.points[0], found.points[-1]) == ((x[0], y[0]), (x[-1], y[-1]))


@given(st.integers(0, 99_999), st.floats(1.5, 1e6), st.booleans())
def test_a_single_spike_in_a_long_flat_series_stays(at: int, height: float, up: bool) -> None:
    x, y = np.arange(100_000.0), np.ones(100_000)
    y[at] = height if up else -height
    assert (float(at), y[at]) in reduce_extremes(x, y, 300).points


def test_it_can_be_done_again_without_a_further_loss() -> None:
    """What was reduced finely and then coarsely has the extremes of what was reduced coarsely at once."""
    rng = np.random.default_rng(20260328)
    x, y = np.arange(1_000_000.0), rng.standard_normal(1_000_000).cumsum()
    twice = reduce_extremes(*(lambda r: (r.x, r.y))(reduce_extremes(x, y, 5_000)), 50)
    assert (twice.y.min(), twice.y.max()) == (y.min(), y.max())


def test_equal_times_and_uneven_steps_are_taken() -> None:
    found = reduce_extremes([0, 0, 0, 5, 5, 90, 91], [1, 9, -9, 2, 2, 3, 4], 1)
    assert found.points == ((0, 1), (0, 9), (0, -9), (91, 4))


def test_what_a_caption_says() -> None:
    assert reduce_extremes([0, 1], [1, 2], 5).sentence == "All 2 samples are drawn."
    said = reduce_extremes(np.arange(12_345.0), np.zeros(12_345), 1_000).sentence
    assert said.startswith("Drawn from 12\u202f345 samples in 1000 buckets of neighbours; of each the first,")


@pytest.mark.parametrize(
    ("x", "y", "buckets", "said"),
    [
        ([], [], 3, "at least one sample"),
        ([0.0, 1.0], [0.0], 3, "one y for each x"),
        ([0.0], [0.0], 0, "at least one bucket"),
        ([0.0, float("nan")], [0.0, 1.0], 3, "finite"),
        ([0.0, 1.0], [0.0, float("inf")], 3, "finite"),
        ([1.0, 0.0], [0.0, 1.0], 3, "descends"),
    ],
)
def test_what_cannot_be_drawn(x: list[float], y: list[float], buckets: int, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        reduce_extremes(x, y, buckets)


def test_descending_is_seen_at_the_seam_of_two_pieces() -> None:
    x = np.arange(600_000.0)
    x[1 << 18] = 0.0
    with pytest.raises(ValueError, match="descends"):
        reduce_extremes(x, x, 3)


def test_arrays_of_doubles_are_not_copied_where_they_stay_whole() -> None:
    x = np.arange(10.0)
    found = reduce_extremes(x, x, 5)
    assert isinstance(found, Reduced) and found.x is x


@pytest.mark.parametrize("size", [1, 39, 40, 41, 57, 100, 1_003])
def test_a_series_asked_for_in_stretches_keeps_the_same_samples(size: int) -> None:
    made = np.random.default_rng(size)
    x, y = np.cumsum(made.uniform(0.0, 1.0, size)), np.round(made.normal(0.0, 1.0, size), 1)
    asked: list[int] = []

    def stretch(start: int, stop: int) -> tuple[np.ndarray, np.ndarray]:
        asked.append(stop - start)
        return x[start:stop], y[start:stop]

    whole, parts = reduce_extremes(x, y, 10), reduce_stretches(stretch, size, 10)
    assert parts.points == whole.points and (parts.of, parts.buckets) == (whole.of, whole.buckets)
    assert max(asked) <= max(40, size // 10 + 1)


def test_descending_is_seen_between_two_stretches() -> None:
    x = np.r_[np.arange(50.0), np.arange(50.0)]
    with pytest.raises(ValueError, match="descends"):
        reduce_stretches(lambda start, stop: (x[start:stop], x[start:stop]), 100, 10)
