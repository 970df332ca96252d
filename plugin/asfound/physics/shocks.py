"""What records of a defibrillator's shocks show: rest before the pulse, two paths, time to ready, synchroniser.

Formulas from circuit theory. IEC 60601-2-4 (from memory) names the loads, and counts the synchroniser's delay from the
peak of the R wave to the peak of the pulse. No function here holds a limit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from msgspec import Struct

from asfound.physics.ascending import must_ascend
from asfound.physics.energy import EDGE, Pulse, positive, pulse
from asfound.physics.sampled import Sampled, place, stretches

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float64]

LOADS = (25.0, 50.0, 75.0, 100.0, 125.0, 150.0, 175.0)
"""Loads in ohm into which energy is measured: IEC 60601-2-4, 201.12.1 (from memory)."""
REST = 20
"""Fewer samples than this before a pulse do not show where the record rests."""
OFF = 0.005
"""Part of the peak by which a record may rest beside zero before it is reported."""


class Rest(Struct, frozen=True):
    """Where a record rests before its pulse.

    count   samples before the pulse      level   their mean, V      noise   their standard deviation, V
    """

    count: int
    level: float
    noise: float


def rest_before(record: Sampled, found: Pulse) -> Rest:
    """The stretch before the first sample that belongs to a pulse. V; level and noise are 0 where there is none."""
    count = place(record, found.phases[0].start) if found.phases else 0
    if not count:
        return Rest(0, 0.0, 0.0)
    # The foot of the pulse is still below the edge: the last tenth of what lies before it is left out.
    end = max(1, count - count // 10)
    level = math.fsum(float(v.sum()) for _, _, v in stretches(record, 0, end)) / end
    squares = math.fsum(float(((v - level) ** 2).sum()) for _, _, v in stretches(record, 0, end))
    return Rest(count, level, math.sqrt(squares / end))


def faults(record: Sampled, found: Pulse) -> tuple[str, ...]:
    """Everything that is wrong with a record of a pulse, in sentences: those of the pulse, its rest, its other end."""
    return (*found.faults, *_other_end(record, found), *_rest(record, found))


def _other_end(record: Sampled, found: Pulse) -> Iterator[str]:
    """A recorder that is at its end for one sign only shows it in the phase of that sign."""
    import numpy as np

    ends = [float(v.min() if found.peak_voltage > 0 else v.max()) for _, _, v in stretches(record)]
    end = min(ends) if found.peak_voltage > 0 else max(ends)
    if abs(end) <= EDGE * abs(found.peak_voltage):
        return
    flat = inside = 0
    for _, _, v in stretches(record):
        flat += int(np.count_nonzero(v == end))
        inside += int(np.count_nonzero(v < EDGE * end if end < 0 else v > EDGE * end)) if end else 0
    if flat >= 3 and flat > inside // 20:
        yield f"{flat} samples stand at the very same {end:.6g} V: the recorder may have been at its end."


def _rest(record: Sampled, found: Pulse) -> Iterator[str]:
    rest = rest_before(record, found)
    if rest.count < REST:
        yield (
            f"Only {rest.count} samples lie before the pulse, so that it is not seen where the record rests; an "
            "offset would go unnoticed."
        )
        return
    peak = abs(found.peak_voltage)
    if abs(rest.level) > OFF * peak:
        yield (
            f"Before the pulse the record rests at {rest.level:.4g} V and not at 0; with that taken off the energy is "
            f"{_without(record, found, rest.level):.4g} J."
        )


def _without(record: Sampled, found: Pulse, level: float) -> float:
    """Energy with an offset taken off: E - (2 a int v dt - a^2 T) / R, so that no second record is made."""
    import numpy as np

    load = found.peak_voltage / found.peak_current
    area = math.fsum(float(np.trapezoid(v, t)) for _, t, v in stretches(record, more=1))
    length = float(record.part(record.size - 1, record.size)[0][0]) - float(record.part(0, 1)[0][0])
    return found.energy - (2.0 * level * area - level * level * length) / load


def gathered(
    record: Sampled, load: float, places: int = 400, start: int = 0, stop: int | None = None
) -> tuple[tuple[float, float], ...]:
    """Energy that has gone into the load until each of `places` times, (s, J), by the trapezium rule over all samples.

    From sample `start` up to but not with `stop`. Raises ValueError for a load that is not above 0 and for fewer than
    two samples.
    """
    import numpy as np

    positive(load=load)
    end = record.size if stop is None else stop
    if end - start < 2:
        raise ValueError("a pulse needs at least two samples")
    ends = np.unique(np.linspace(start, end - 1, min(places, end - start)).astype(int)).tolist()
    made, total = [(float(record.part(start, start + 1)[0][0]), 0.0)], 0.0
    for first, last in pairwise(ends):
        for _, t, v in stretches(record, first, last + 1, more=1):
            total += float(np.trapezoid(v * v, t)) / load
        made.append((float(record.part(last, last + 1)[0][0]), total))
    return tuple(made)


class Pair(Struct, frozen=True):
    """Two pulses, one by each of two paths.

    first, second    as `energy.pulse` gives them
    share            energy of the first over that of the second
    peaks            peak of the first over that of the second
    series           ohm that would stand in the first path beyond the second for its peak to be as much lower
    apart            V, largest difference at one time, both counted from where they rise
    """

    first: Pulse
    second: Pulse
    share: float
    peaks: float
    series: float
    apart: float


def pair(
    times: Sequence[float] | Samples,
    first: Sequence[float] | Samples,
    second: Sequence[float] | Samples,
    load: float,
    inside: float = 0.0,
) -> Pair:
    """Two pulses into one load (ohm), sampled at the same times (s). `inside`: resistance within the unit, ohm.

    A capacitor charged to one voltage gives V R / (R + Ri + r) at first, so that the peaks of two paths are apart by
    the resistance r one has beyond the other: r = (R + Ri) (V2 / V1 - 1). Below 0 where the first is the higher one; a
    difference of the two charges goes into it whole. Raises ValueError as `energy.pulse` does.
    """
    import numpy as np

    if not (math.isfinite(inside) and inside >= 0.0):
        raise ValueError("the resistance within the unit must not be below 0")
    a, b = pulse(times, first, load), pulse(times, second, load)
    t = np.asarray(times, dtype=np.float64)
    rise = [one.phases[0].start if one.phases else one.peak_time for one in (a, b)]
    moved = np.interp(t - rise[0], t - rise[1], np.asarray(second, dtype=np.float64))
    # The steep ends differ by a sample's jitter: what is compared is the inside of the phases of both.
    within = np.zeros(t.size, dtype=bool)
    for one in a.phases:
        margin = one.duration * 0.05
        within |= (t >= one.start + margin) & (t <= one.start + one.duration - margin)
    gaps = np.abs(np.asarray(first, dtype=np.float64) - moved)[within]
    peaks = abs(a.peak_voltage / b.peak_voltage)
    return Pair(
        a, b, a.energy / b.energy, peaks, (load + inside) * (1.0 / peaks - 1.0), float(gaps.max()) if gaps.size else 0.0
    )


def truncated_at(
    capacitance: float, voltage: float, inside: float, load: float, phases: Sequence[float]
) -> tuple[float, tuple[float, ...]]:
    """Energy in J into a load, and the tilt of each phase, of one capacitor that is turned round between phases.

    F, V, ohm, ohm, and the length of each phase in s. E = C V^2 / 2 x R / (R + Ri) x (1 - exp(-2 T / ((R + Ri) C))),
    phase after phase from what the one before left. Circuit theory. Raises ValueError for what is not above 0.
    """
    positive(capacitance=capacitance, voltage=voltage, load=load)
    if not phases or not all(math.isfinite(one) and one > 0.0 for one in phases):
        raise ValueError("each phase must last longer than 0")
    if not (math.isfinite(inside) and inside >= 0.0):
        raise ValueError("the resistance within the unit must not be below 0")
    constant = (load + inside) * capacitance
    joules, left, tilts = 0.0, voltage, []
    for length in phases:
        joules -= 0.5 * capacitance * left * left * load / (load + inside) * math.expm1(-2.0 * length / constant)
        tilts.append(-math.expm1(-length / constant))
        left *= math.exp(-length / constant)
    return joules, tuple(tilts)


class Charge(Struct, frozen=True):
    """Times of one charge, s of the record.

    key     first sample at which the key is down      ready   first sample at which the unit says it is ready
    step    time between samples, the doubt of each of both ends
    """

    key: float
    ready: float
    step: float

    @property
    def took(self) -> float:
        """Time from the key to ready, s."""
        return self.ready - self.key


def charge(
    times: Sequence[float] | Samples, key: Sequence[float] | Samples, ready: Sequence[float] | Samples
) -> Charge:
    """From the key to ready, by a record of both, in any unit; times in s, ascending.

    Each channel counts as on where it stands above the middle between its lowest and its highest sample. Ready counts
    from where it comes on after the key. Raises ValueError where a channel does not move, where the key was down from
    the first sample on, where nothing follows it, and for times that do not ascend.
    """
    import numpy as np

    t = np.asarray(times, dtype=np.float64)
    pressed, lit = _on(key, "the key"), _on(ready, "ready")
    if not t.size == pressed.size == lit.size:
        raise ValueError("one sample of the key and of ready is needed for each time")
    must_ascend(t, "s")
    steps = np.diff(t)
    if pressed[0]:
        raise ValueError("the key is down from the first sample on, so that it is not seen when it was pressed")
    start = int(pressed.argmax())
    came = np.flatnonzero(lit[1:] & ~lit[:-1]) + 1
    after = came[came > start]
    if not after.size:
        raise ValueError("ready does not come on after the key was pressed")
    return Charge(float(t[start]), float(t[after[0]]), float(steps.max()))


def _on(given: Sequence[float] | Samples, name: str) -> NDArray[np.bool_]:
    import numpy as np

    values = np.asarray(given, dtype=np.float64)
    low, high = (float(values.min()), float(values.max())) if values.size else (0.0, 0.0)
    if not (math.isfinite(low) and math.isfinite(high) and high > low):
        raise ValueError(f"the channel of {name} does not move")
    return values > 0.5 * (low + high)


class Synchronised(Struct, frozen=True):
    """A shock and the beat it waited for.

    beat     s, peak of the last R wave before the pulse      shock   s, peak of the pulse
    height   of the R wave above the middle of the trace, in its own unit
    others   how many peaks as high stood in the stretch looked at before that one
    step     time between samples, s
    """

    beat: float
    shock: float
    height: float
    others: int
    step: float

    @property
    def delay(self) -> float:
        """From the peak of the R wave to the peak of the pulse, s."""
        return self.shock - self.beat


def synchronised(
    times: Sequence[float] | Samples,
    heart: Sequence[float] | Samples,
    volts: Sequence[float] | Samples,
    look: float = 2.0,
    least: float = 0.5,
) -> Synchronised:
    """The delay of a synchronised shock, by a record of the trace and of the pulse on one time base.

    times in s, ascending; `heart` in any unit, upright; `volts` V across the load. Looked at are the `look` seconds
    before the pulse. R waves are the runs that stand above the middle (median) of that stretch by more than `least` of
    its highest sample; of each its highest sample counts, and the last one is the beat. What the trace does from the
    pulse on is not looked at, since the shock disturbs it. Raises ValueError where there is no pulse or no beat before
    it.
    """
    import numpy as np

    t, ecg = np.asarray(times, dtype=np.float64), np.asarray(heart, dtype=np.float64)
    if t.shape != ecg.shape:
        raise ValueError("one sample of the trace is needed for each time")
    if not (0.0 < least < 1.0 and look > 0.0):
        raise ValueError("the share of an R wave lies between 0 and 1, and the stretch looked at is above 0")
    found = pulse(t, volts, 1.0)
    start = found.phases[0].start if found.phases else found.peak_time
    first, stop = int(np.searchsorted(t, start - look)), int(np.searchsorted(t, start))
    part = ecg[first:stop]
    if part.size < 3 or not np.isfinite(part).all():
        raise ValueError("no trace stands before the pulse")
    middle = float(np.median(part))
    top = float(part.max()) - middle
    if top <= 0.0:
        raise ValueError("the trace does not move before the pulse")
    above = part - middle > least * top
    edges = np.flatnonzero(np.diff(np.concatenate(([False], above, [False])).astype(np.int8)))
    runs = list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))
    begin, end = runs[-1]
    at = begin + int(part[begin:end].argmax())
    step = float(np.diff(t[first : stop + 1]).max())
    return Synchronised(float(t[first + at]), found.peak_time, float(part[at]) - middle, len(runs) - 1, step)
