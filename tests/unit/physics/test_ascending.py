"""Where times stand still or go back, the sample is named as it is counted in its file."""

from __future__ import annotations

import math

import numpy as np
import pytest

from asfound.physics import energy, exposure, incubator, logs
from asfound.physics.ascending import must_ascend
from asfound.physics.sampled import CHUNK


def test_the_sample_is_named_with_both_times() -> None:
    said = "sample 3 stands at 0.002 s, and the one before it at 0.002 98 s".replace(" 98", "\u202f98")
    with pytest.raises(ValueError, match=said):
        must_ascend([0.0, 0.00298, 0.002, 0.003], "s")
    must_ascend([0.0, 1.0, 2.0], "s")
    must_ascend([], "s")


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_a_time_that_is_no_number_is_none(bad: float) -> None:
    with pytest.raises(ValueError, match="time of sample 2 is not a finite number"):
        must_ascend([0.0, bad], "s")


def test_the_place_in_a_long_record_is_that_of_the_whole() -> None:
    """Records are gone through in stretches; the number counts from the first sample of all."""
    t = np.arange(CHUNK + 500) * 1e-6
    t[CHUNK + 100] = t[CHUNK + 99]
    v = np.where((t > 1e-4) & (t < 5e-3), 1000.0, 0.0)
    with pytest.raises(ValueError, match=f"do not ascend: sample {CHUNK + 101} stands"):
        energy.pulse(t, v, 50.0)
    with pytest.raises(ValueError, match=f"do not ascend: sample {CHUNK + 101} stands"):
        exposure.used(t, np.full(t.size, 45.0), exposure.FIT)


def test_logs_say_where_they_are_uneven() -> None:
    with pytest.raises(ValueError, match=r"1\.25 min apart in the mean, and sample 4 comes 2 min after"):
        logs.evenly([0.0, 1.0, 2.0, 4.0, 5.0])
    with pytest.raises(ValueError, match="sample 3 stands at 1 min"):
        logs.evenly([0.0, 1.0, 1.0, 2.0])
    with pytest.raises(ValueError, match="sample 2 stands at 0 min"):
        incubator.duty([0.0, 0.0, 1.0], [1.0, 1.0, 1.0], 0.5)
    with pytest.raises(ValueError, match="not as many"):
        incubator.duty([0.0, 1.0], [1.0], 0.5)
