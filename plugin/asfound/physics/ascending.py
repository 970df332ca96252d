"""Times of samples go on: where they do not, the place is named, so that it can be looked for in the file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from asfound.measure.show import short

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

DIGITS = 9
"""Significant digits of a time in a message: two neighbours of a long record still differ in print."""


def must_ascend(times: Sequence[float] | NDArray[np.float64], unit: str, first: int = 0) -> None:
    """Raise ValueError where a time is no number, or not later than the one before it.

    times  in `unit`; `first` is how many samples went before them, so that the place named is that in the whole record.
    Samples are counted from one, as the rows below the names of a file are.
    """
    import numpy as np

    t = np.asarray(times, dtype=np.float64)
    known = np.isfinite(t)
    if not known.all():
        raise ValueError(f"the time of sample {first + int(known.argmin()) + 1} is not a finite number")
    back = np.flatnonzero(t[1:] <= t[:-1])
    if not back.size:
        return
    at = int(back[0]) + 1
    here, before = float(t[at]), float(t[at - 1])
    raise ValueError(
        f"the times of the samples do not ascend: sample {first + at + 1} stands at {short(here, DIGITS)} {unit}, and "
        f"the one before it at {short(before, DIGITS)} {unit}"
    )
