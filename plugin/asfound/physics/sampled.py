"""A sampled pulse that is gone through a stretch at a time, whether it stands in memory or in a file.

What is worked out of one asks for stretches by the numbers of their samples and never for the whole, so that ten
million samples need no more room than one stretch, and come to the same figures wherever they stand.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Protocol, runtime_checkable

from msgspec import Struct

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float64]

CHUNK = 1 << 16
"""Samples taken at a time."""


@runtime_checkable
class Stored(Protocol):
    """Columns of one length that stand outside memory: `size` rows, and any stretch of a column by its name."""

    @property
    def size(self) -> int:
        """How many rows there are."""
        ...

    def stretch(self, name: str, start: int, stop: int) -> Samples:
        """Rows from `start` up to but not with `stop` of a column, as doubles; fewer where it ends before."""
        ...


class Sampled(Protocol):
    """Times in s and volts, of one length."""

    @property
    def size(self) -> int:
        """How many samples there are."""
        ...

    def part(self, start: int, stop: int) -> tuple[Samples, Samples]:
        """Times and volts of the samples from `start` up to but not with `stop`; fewer where the record ends before."""
        ...


class Held(Struct, frozen=True, eq=False):
    """A record that stands in two arrays of doubles; its stretches are seen, not copied."""

    times: Samples
    volts: Samples

    @property
    def size(self) -> int:
        """How many samples there are."""
        return int(self.times.size)

    def part(self, start: int, stop: int) -> tuple[Samples, Samples]:
        """A stretch of both."""
        return self.times[start:stop], self.volts[start:stop]


class Columns(Struct, frozen=True, eq=False):
    """Two columns of what is stored, by their names."""

    stored: Stored
    times: str
    volts: str

    @property
    def size(self) -> int:
        """How many samples there are."""
        return self.stored.size

    def part(self, start: int, stop: int) -> tuple[Samples, Samples]:
        """A stretch of both."""
        return self.stored.stretch(self.times, start, stop), self.stored.stretch(self.volts, start, stop)


class Moved(Struct, frozen=True, eq=False):
    """A record whose volts are multiplied by `factor`, and of which `level` (V) is then taken off."""

    of: Sampled
    factor: float = 1.0
    level: float = 0.0

    @property
    def size(self) -> int:
        """How many samples there are."""
        return self.of.size

    def part(self, start: int, stop: int) -> tuple[Samples, Samples]:
        """A stretch of both."""
        times, volts = self.of.part(start, stop)
        if self.factor != 1.0:
            volts = volts * self.factor
        return times, volts - self.level if self.level else volts


def held(times: Sequence[float] | Samples, volts: Sequence[float] | Samples) -> Held:
    """A record out of two series. Raises ValueError where they are not of one length, or fewer than two samples."""
    import numpy as np

    t, v = np.asarray(times, dtype=np.float64), np.asarray(volts, dtype=np.float64)
    if t.ndim != 1 or t.shape != v.shape or t.size < 2:
        raise ValueError("a pulse needs at least two samples, and one voltage for each time")
    return Held(t, v)


def sampled(rows: Mapping[str, Any], times: str, volts: str) -> Sampled:
    """A record out of the columns of a calculation, in memory or stored. Raises ValueError as `held` does."""
    if isinstance(rows, Stored):
        if rows.size < 2:
            raise ValueError("a pulse needs at least two samples, and one voltage for each time")
        return Columns(rows, times, volts)
    return held(rows[times], rows[volts])


def stretches(
    record: Sampled, start: int = 0, stop: int | None = None, more: int = 0
) -> Iterator[tuple[int, Samples, Samples]]:
    """Number of its first sample, times and volts of each stretch of CHUNK samples, one after another.

    `more` samples of the next stretch stand at the end of each, up to `stop`, so that nothing between two is missed.
    """
    end = record.size if stop is None else stop
    for first in range(start, end, CHUNK):
        yield first, *record.part(first, min(first + CHUNK + more, end))


def place(record: Sampled, time: float, after: bool = False) -> int:
    """Number of the first sample that is not before `time` (s); with `after`, of the first that is after it.

    The times ascend.
    """
    find = bisect_right if after else bisect_left
    return find(range(record.size), time, key=lambda at: float(record.part(at, at + 1)[0][0]))
