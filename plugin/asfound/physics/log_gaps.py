"""Whether a device's log is whole: numbers that are missing, time that goes backwards, gaps, entries written over."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float64]
    Places = NDArray[np.intp]


class Gap(Struct, frozen=True):
    """A place between two entries: after which number, before which; when it begins, and how many seconds it lasts."""

    after: int
    before: int
    start: float
    seconds: float


class LogState(Struct, frozen=True):
    """How whole a log is.

    rows       entries                       first, last  their times, s on the log's own clock
    missing    numbers left out, each place, in order of number
    twice      numbers that stand more than once
    backwards  places at which the time goes back from one number to the next
    usual      the middle interval, s        gaps         intervals longer than was allowed, longest first
    """

    rows: int
    first: float
    last: float
    missing: tuple[Gap, ...]
    twice: tuple[int, ...]
    backwards: tuple[Gap, ...]
    usual: float
    gaps: tuple[Gap, ...]

    @property
    def left_out(self) -> int:
        """How many numbers are missing."""
        return sum(gap.before - gap.after - 1 for gap in self.missing)

    def around(self, event: float) -> Gap | None:
        """The gap an event lies in, by the log's own clock; None where it lies in none."""
        return next((gap for gap in self.gaps if gap.start < event < gap.start + gap.seconds), None)


def log_state(
    numbers: Sequence[float] | Samples, times: Sequence[float] | Samples, longest: float = 0.0, factor: float = 3.0
) -> LogState:
    """Look through a log of numbered entries; times in s on its own clock.

    The order is that of the numbers, whatever the order of the rows: a read-out often begins with the newest. An
    interval is a gap where it is longer than `longest`, or, where that is 0, than `factor` times the middle interval.
    Raises ValueError for fewer than three entries, lengths that differ, numbers that are not whole, and what is not
    finite.
    """
    import numpy as np

    n, t = np.asarray(numbers, dtype=np.float64), np.asarray(times, dtype=np.float64)
    if n.ndim != 1 or n.shape != t.shape or n.size < 3:
        raise ValueError("each number needs one time, and a log at least three")
    if not (np.isfinite(n).all() and np.isfinite(t).all()):
        raise ValueError("a number or a time is not finite")
    if (n != np.floor(n)).any():
        raise ValueError("the numbers of entries are whole")
    order = np.argsort(n, kind="stable")
    n, t = n[order], t[order]
    ahead, between = np.diff(n), np.diff(t)

    def gaps(places: Places) -> tuple[Gap, ...]:
        return tuple(Gap(int(n[at]), int(n[at + 1]), float(t[at]), float(between[at])) for at in places)

    forward = between[between >= 0.0]
    usual = float(np.median(forward)) if forward.size else 0.0
    most = longest if longest > 0.0 else factor * usual
    wide = np.flatnonzero(between > most)
    wide = wide[np.argsort(-between[wide], kind="stable")]
    return LogState(
        int(n.size),
        float(t.min()),
        float(t.max()),
        gaps(np.flatnonzero(ahead > 1.0)),
        tuple(int(one) for one in np.unique(n[1:][ahead == 0.0])),
        gaps(np.flatnonzero(between < 0.0)),
        usual,
        gaps(wide),
    )


def reaches_back(state: LogState, capacity: float, since: float) -> tuple[float, bool]:
    """How many s before `since` (on the log's clock) the record begins, and whether it may have been written over.

    capacity  how many entries the store holds; 0 where it is not known. A store that holds as many entries as it can
              may have been written over, so that nothing older than its first can be asked of it.
    """
    return since - state.first, bool(capacity) and state.rows >= capacity
