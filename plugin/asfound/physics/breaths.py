"""Breaths out of sampled pressure and flow: rate, volume, pressures, and how long a limit was not reached."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from asfound.physics.ascending import must_ascend

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float64]

START = 0.1
"""A breath begins where the flow rises through this share of its highest (99th centile), and is given until it falls
below half of that again: small swings of a sensor at rest are no breaths."""


class Breaths(Struct, frozen=True, eq=False):
    """Whole breaths, one value a breath: from the beginning of one to the beginning of the next.

    starts       s           volumes    mL, the flow into the circuit summed up; in the gas condition of the flow
    peaks        cmH2O       ends       cmH2O at the last sample before the next breath
    inspiration  s during which gas went in
    until        s, where the last of them ends
    cut          breaths at the ends of the trace that were not whole and were left out
    """

    starts: Samples
    volumes: Samples
    peaks: Samples
    ends: Samples
    inspiration: Samples
    rate: float
    until: float
    cut: int

    @property
    def count(self) -> int:
        """How many whole breaths there are."""
        return int(self.volumes.size)


def breaths(
    times: Sequence[float] | Samples, pressures: Sequence[float] | Samples, flows: Sequence[float] | Samples
) -> Breaths:
    """Take breaths out of times (s, ascending), pressures (cmH2O) and flows (L/min, into the circuit counted above 0).

    Flow out of the circuit, below 0, is not taken off a volume. Summed by trapezia. Raises ValueError for lengths that
    differ, times that do not ascend, values that are not finite, samples coarser than a fifth of an inspiration, and
    fewer than two beginnings of a breath, since the first whole breath ends with the second.
    """
    import numpy as np

    t, p, q = (np.asarray(one, dtype=np.float64) for one in (times, pressures, flows))
    if t.ndim != 1 or t.size < 3 or t.shape != p.shape or t.shape != q.shape:
        raise ValueError("each time needs one pressure and one flow, and a trace at least three")
    if not (np.isfinite(t).all() and np.isfinite(p).all() and np.isfinite(q).all()):
        raise ValueError("a sample is not a finite number")
    must_ascend(t, "s")
    high = START * float(np.percentile(q, 99.0))
    if high <= 0.0:
        raise ValueError("no gas goes into the circuit: there is no breath")
    edges, falls = _edges(q, high, high / 2.0)
    if len(edges) < 2:
        raise ValueError("a whole breath needs the beginning of the next; the trace holds fewer than two")
    into = np.maximum(q, 0.0) / 0.06
    steps = np.diff(t) * (into[1:] + into[:-1]) / 2.0
    summed = np.concatenate(([0.0], np.cumsum(steps)))
    begin, end = np.array(edges[:-1]), np.array(edges[1:])
    inspiration = t[np.array(falls[: len(begin)])] - t[begin]
    if float(np.median(np.diff(t))) * 5.0 > float(inspiration.min()):
        raise ValueError("the samples are too far apart: an inspiration has fewer than five")
    peaks = np.array([p[a:b].max() for a, b in zip(begin, end, strict=True)])
    period = (t[edges[-1]] - t[edges[0]]) / (len(edges) - 1)
    cut = int(q[: edges[0]].max(initial=0.0) > high) + 1
    return Breaths(
        t[begin],
        summed[end] - summed[begin],
        peaks,
        p[end - 1],
        inspiration,
        60.0 / float(period),
        float(t[edges[-1]]),
        cut,
    )


def _edges(flow: Samples, high: float, low: float) -> tuple[list[int], list[int]]:
    """First sample of each inspiration, and the first after it that is below `low`."""
    import numpy as np

    above, below = np.flatnonzero(flow > high), np.flatnonzero(flow < low)
    starts: list[int] = []
    falls: list[int] = []
    at = int(below[0]) if below.size and (not above.size or below[0] < above[0]) else -1
    if at < 0:
        # The trace begins within a breath, whose beginning is not known: wait for its end.
        at = int(below[0]) if below.size else flow.size
    while True:
        place = int(np.searchsorted(above, at))
        if place >= above.size:
            return starts, falls
        start = int(above[place])
        after = int(np.searchsorted(below, start))
        starts.append(start)
        if after >= below.size:
            falls.append(flow.size - 1)
            return starts, falls
        at = int(below[after])
        falls.append(at)


def longest_below(times: Sequence[float] | Samples, pressures: Sequence[float] | Samples, limit: float) -> float:
    """The longest time in s over which the pressure stood below the limit, sample by sample without a break.

    From the last sample at or above the limit to the next such one, so that it is never told too short; the whole trace
    where it never stood that high. Times ascend.
    """
    import numpy as np

    t, p = np.asarray(times, dtype=np.float64), np.asarray(pressures, dtype=np.float64)
    if t.size < 2 or t.shape != p.shape:
        raise ValueError("each time needs one pressure, and a trace at least two")
    reached = np.flatnonzero(p >= limit)
    marks = np.concatenate(([0], reached, [t.size - 1]))
    gaps = t[marks[1:]] - t[marks[:-1]]
    # Neighbours that both reach the limit have nothing between them.
    gaps[np.diff(marks) <= 1] = 0.0
    return float(gaps.max())
