"""A long series made short enough for a chart, with its extremes kept.

A chart of a thousand columns cannot show ten million samples, and one sample in ten thousand would lose the very spike
an investigation is about. Here the series is cut into buckets of neighbouring samples, and of each bucket four samples
stay: the first, the smallest, the largest and the last, in the order in which they were taken. What is left are samples
as they were read; nothing is averaged, smoothed or put between.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from msgspec import Struct

from asfound.measure.show import show_number

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float64]

    Stretch = Callable[[int, int], tuple[Samples, Samples]]

KEPT = 4
"""Samples kept of a bucket at most."""
DESCENDS = "x descends; a series is reduced in the order in which it was taken"


class Reduced(Struct, frozen=True, eq=False):
    """A series with its extremes kept.

    x, y     arrays of one length, in the units and the order they were given in; samples of the series, none made up
    of       how many samples the series had
    buckets  how many buckets it was cut into; 0 where it was short enough to stay whole
    """

    x: Samples
    y: Samples
    of: int
    buckets: int

    @property
    def points(self) -> tuple[tuple[float, float], ...]:
        """The pairs (x, y), as a curve of a plot takes them."""
        return tuple(zip(self.x.tolist(), self.y.tolist(), strict=True))

    @property
    def sentence(self) -> str:
        """What a caption says of it."""
        if not self.buckets:
            return f"All {_told(self.of)} samples are drawn."
        return (
            f"Drawn from {_told(self.of)} samples in {_told(self.buckets)} buckets of neighbours; of each the first, "
            "the smallest, the largest and the last sample are kept, so that no extreme is lost."
        )


def reduce_extremes(x: Sequence[float] | Samples, y: Sequence[float] | Samples, buckets: int) -> Reduced:
    """At most four samples of each of `buckets` runs of neighbouring samples: first, smallest, largest, last.

    `x` and `y` are of one length and in any unit; `x` does not descend. The runs are as nearly equal in their number of
    samples as can be (they differ by one at most), whatever their steps in `x`. Of equal extremes the first is kept. A
    series of no more than four samples a bucket is given back whole. The extremes of the whole, and of any union of
    buckets, are those of what is left. Arrays of doubles are not copied; the work is one pass for the smallest and one
    for the largest. Raises ValueError for lengths that differ, an empty series, fewer than one bucket, what is not
    finite, and `x` that descends.

    Source: the usual min-max reduction of a series for display; common practice, no source.
    """
    import numpy as np

    a, b = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    if a.ndim != 1 or a.shape != b.shape or not a.size:
        raise ValueError("a series needs at least one sample, and one y for each x")
    if buckets < 1:
        raise ValueError("at least one bucket is needed")
    _proper(a, b)
    if a.size <= KEPT * buckets:
        return Reduced(a, b, int(a.size), 0)
    size, longer = divmod(int(a.size), buckets)
    cut = longer * (size + 1)
    kept = []
    # The first runs have one sample more than the rest; each group is a table seen over the samples, and not a copy.
    for start, stop, width in ((0, cut, size + 1), (cut, a.size, size)):
        if stop == start:
            continue
        rows = b[start:stop].reshape(-1, width)
        first = np.arange(start, stop, width)
        kept.append(np.stack((first, first + rows.argmin(axis=1), first + rows.argmax(axis=1), first + width - 1), 1))
    places = np.unique(np.concatenate(kept))
    return Reduced(a[places], b[places], int(a.size), buckets)


def reduce_stretches(stretch: Stretch, size: int, buckets: int) -> Reduced:
    """The same of a series of `size` samples that is asked for stretch by stretch and never held whole.

    `stretch(start, stop)` gives x and y of the samples from `start` up to but not with `stop`. The samples kept are
    those that `reduce_extremes` keeps. Raises ValueError as it does.
    """
    import numpy as np

    if size < 1 or buckets < 1 or size <= KEPT * buckets:
        return reduce_extremes(*stretch(0, size), buckets)
    width, longer = divmod(size, buckets)
    x: list[float] = []
    y: list[float] = []
    for bucket in range(buckets):
        start = bucket * width + min(bucket, longer)
        a, b = stretch(start, start + width + (bucket < longer))
        _proper(a, b)
        if x and a[0] < x[-1]:
            raise ValueError(DESCENDS)
        places = np.unique((0, int(b.argmin()), int(b.argmax()), b.size - 1))
        x += a[places].tolist()
        y += b[places].tolist()
    return Reduced(np.asarray(x), np.asarray(y), size, buckets)


def _proper(x: Samples, y: Samples, piece: int = 1 << 18) -> None:
    """Raise ValueError for what cannot be drawn, a piece at a time, so that no second series is made for it."""
    import numpy as np

    for start in range(0, x.size, piece):
        part = x[start : start + piece + 1]
        if not (np.isfinite(part).all() and np.isfinite(y[start : start + piece]).all()):
            raise ValueError("a sample is not a finite number")
        if (part[1:] < part[:-1]).any():
            raise ValueError(DESCENDS)


def _told(number: int) -> str:
    return show_number(Decimal(number))
