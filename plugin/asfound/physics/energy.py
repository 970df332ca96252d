"""Energy of a defibrillation pulse: from what was sampled, and in closed form for the circuits it can be checked by.

The energy a load takes up is the integral of v squared over R. Formulas from circuit theory; IEC 60601-2-4 asks for
the energy into loads from 25 to 175 ohm (from memory). No function here holds a limit.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from asfound.physics.ascending import must_ascend
from asfound.physics.sampled import CHUNK, Sampled, held, stretches

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from asfound.physics.sampled import Samples

EDGE = 0.05
"""Part of the peak above which a sample belongs to the pulse."""
FEW = 50
"""Fewer samples than this within a pulse are reported."""
PHASES = 200
"""More phases of one sign than this are no pulse."""


def positive(**given: float) -> None:
    """Raise ValueError for whatever is not a finite number above 0, by its name."""
    wrong = [name.replace("_", " ") for name, value in given.items() if not (math.isfinite(value) and value > 0.0)]
    if wrong:
        raise ValueError(f"{' and '.join(wrong)} must be above 0")


# --- closed forms


class Discharge(Struct, frozen=True):
    """A capacitor discharged through a coil and resistances into a load.

    stored, delivered   J      peak_time   s      peak_current   A      peak_voltage   V across the load
    """

    stored: float
    delivered: float
    peak_time: float
    peak_current: float
    peak_voltage: float


def rlc_discharge(
    capacitance: float, inductance: float, series: float, load: float, voltage: float, until: float = math.inf
) -> Discharge:
    """A damped sine pulse: C in F, L in H, series resistance and load in ohm, charged to `voltage` V.

    `until` (s) cuts the pulse off; without it the whole pulse is delivered and the energy is exactly C V0^2 / 2 x R /
    (R + Rs), whatever the coil. Raises ValueError for values that are not above 0 (series: below 0).
    """
    positive(capacitance=capacitance, inductance=inductance, load=load, voltage=voltage)
    if not (series >= 0.0 and until > 0.0):
        raise ValueError("the series resistance must not be below 0, and the time above it")
    stored = 0.5 * capacitance * voltage * voltage
    damping = (load + series) / (2.0 * inductance)
    root = cmath.sqrt(damping * damping - 1.0 / (inductance * capacitance))
    # Within a rounding of critical damping the difference of the two roots is noise; its limit is used instead.
    if abs(root) < 1e-7 * damping:
        peak_time = 1.0 / damping
        peak_current = voltage / inductance * peak_time * math.exp(-1.0)
    elif root.imag:
        peak_time = math.atan2(root.imag, damping) / root.imag
        peak_current = _current(peak_time, damping, root, voltage / inductance)
    else:
        peak_time = math.atanh(root.real / damping) / root.real
        peak_current = _current(peak_time, damping, root, voltage / inductance)
    if math.isinf(until):
        delivered = stored * load / (load + series)
    else:
        delivered = load * _squares(until, damping, root, voltage / inductance)
        if until < peak_time:
            peak_time, peak_current = until, _current(until, damping, root, voltage / inductance)
    return Discharge(stored, delivered, peak_time, peak_current, peak_current * load)


def _current(time: float, damping: float, root: complex, rise: float) -> float:
    if abs(root) < 1e-7 * damping:
        return rise * time * math.exp(-damping * time)
    return (rise / (2.0 * root) * (cmath.exp((root - damping) * time) - cmath.exp((-root - damping) * time))).real


def _squares(until: float, damping: float, root: complex, rise: float) -> float:
    """Integral of the squared current from 0 to `until`, in A2s."""
    if abs(root) < 1e-7 * damping:
        a = 2.0 * damping
        tail = math.exp(-a * until) * (until * until / a + 2.0 * until / a**2 + 2.0 / a**3)
        return rise * rise * (2.0 / a**3 - tail)
    first, second = root - damping, -root - damping

    def grown(rate: complex) -> complex:
        return (cmath.exp(rate * until) - 1.0) / rate

    both = grown(2.0 * first) - 2.0 * grown(first + second) + grown(2.0 * second)
    return ((rise / (2.0 * root)) ** 2 * both).real


def truncated_exponential(capacitance: float, voltage: float, load: float, duration: float) -> float:
    """Energy in J of a truncated exponential pulse: C V0^2 / 2 x (1 - exp(-2 T / R C)); F, V, ohm, s."""
    positive(capacitance=capacitance, voltage=voltage, load=load, duration=duration)
    return -0.5 * capacitance * voltage * voltage * math.expm1(-2.0 * duration / (load * capacitance))


# --- what was sampled


class Phase(Struct, frozen=True):
    """One phase of a pulse: from the first to the last sample above the edge, of one sign.

    start, duration   s      first, last   V at its two ends      tilt   (|first| - |last|) / |first|, from 0 to 1
    """

    start: float
    duration: float
    first: float
    last: float

    @property
    def tilt(self) -> float:
        """How much of the voltage at its beginning a phase loses until its end."""
        return (abs(self.first) - abs(self.last)) / abs(self.first)


class Pulse(Struct, frozen=True):
    """A sampled pulse.

    energy        J into the load, trapezium rule over all samples
    sampling      J: how far the energy moves when every second sample is left out, over 3 (Richardson); 0
    where it cannot
                  be told
    peak_voltage  V, with its sign      peak_time   s      peak_current   A
    phases        in order
    faults        what is wrong with the samples, in sentences; empty where nothing is
    """

    energy: float
    sampling: float
    peak_voltage: float
    peak_time: float
    peak_current: float
    phases: tuple[Phase, ...]
    faults: tuple[str, ...]


def pulse(times: Sequence[float] | Samples, volts: Sequence[float] | Samples, load: float) -> Pulse:
    """What a sampled voltage across a load (ohm) delivered. Times in s, ascending; as many of them as of volts.

    The arrays are read in pieces and not copied where they are arrays of doubles already. Raises ValueError for fewer
    than two samples, for different lengths, for times that do not ascend, for what is not finite, and for a record that
    goes through more than PHASES phases.
    """
    positive(load=load)
    return pulse_of(held(times, volts), load)


def pulse_of(record: Sampled, load: float) -> Pulse:
    """The same of a record that is gone through in stretches: once whole, then where the pulse is."""
    positive(load=load)
    sums = _Sums()
    for start in range(0, record.size - 1, CHUNK):
        sums.take(*record.part(start, start + CHUNK + 1))
    final = float(record.part(record.size - 1, record.size)[1][0])
    if (record.size - 1) % CHUNK == 0:
        sums.seconds += final**2  # the last sample begins no piece of its own
    if not math.isfinite(sums.squares) or not math.isfinite(sums.longest):
        raise ValueError("a sample is not a finite number")
    if not sums.shortest > 0.0:
        for start in range(0, record.size - 1, CHUNK):  # gone through once more, for the place
            must_ascend(record.part(start, start + CHUNK + 1)[0], "s", start)
    high, low = max(sums.highs), min(sums.lows)
    peak = high if high >= -low else low
    if peak == 0.0:
        raise ValueError("every sample is 0: there is no pulse")
    chunk = (sums.highs if peak == high else sums.lows).index(peak) * CHUNK
    t, v = record.part(chunk, chunk + CHUNK + 1)
    peak_time = float(t[int(v.argmax() if peak == high else v.argmin())])
    phases, inside = _phases(record, abs(peak), sums)
    faults = tuple(_faults(record, peak, inside, sums))
    return Pulse(
        sums.squares / load, _sampling(record, sums, final) / load, peak, peak_time, peak / load, phases, faults
    )


def _sampling(record: Sampled, sums: _Sums, final: float) -> float:
    """V2s by which the integral may be wrong for its step (Richardson); 0 where that cannot be told."""
    size = record.size
    if not sums.even or size <= 4:
        return 0.0
    (begin, *_), (first, *_) = record.part(0, 1)
    step = (float(record.part(size - 1, size)[0][0]) - float(begin)) / (size - 1)
    # Every second sample, and where their number leaves one step over, that step as it stands.
    last = size - 1 - (size - 1) % 2
    ended = float(record.part(last, last + 1)[1][0])
    other = 2.0 * step * (sums.seconds - (float(first) ** 2 + ended**2) / 2.0)
    if last < size - 1:
        other += step * (ended**2 + final**2) / 2.0
    return abs(sums.squares - other) / 3.0


class _Sums:
    """What one pass over the pieces of a record gives. Neighbouring pieces share a sample; a piece has an even start.

    squares   V2s by the trapezium rule      seconds   sum of the squares of every second sample
    """

    def __init__(self) -> None:
        self.squares, self.seconds = 0.0, 0.0
        self.shortest, self.longest = math.inf, 0.0
        self.highs: list[float] = []
        self.lows: list[float] = []
        self._room: NDArray[np.float64] | None = None

    @property
    def even(self) -> bool:
        return self.longest <= self.shortest * 1.01

    def take(self, times: Samples, volts: Samples) -> None:
        import numpy as np

        size = times.size
        if self._room is None or self._room.shape[1] < size:
            # Room made anew for each piece is new memory of the system's, and touching it costs more than the sums.
            self._room = np.empty((3, size))
        steps, squares, pairs = self._room[0, 1:size], self._room[1, :size], self._room[2, 1:size]
        np.subtract(times[1:], times[:-1], out=steps)
        np.multiply(volts, volts, out=squares)
        np.add(squares[1:], squares[:-1], out=pairs)
        pairs *= steps
        self.squares += 0.5 * float(pairs.sum())
        # The last sample comes again as the first of the next piece.
        own = squares if size <= CHUNK else squares[:-1]
        self.seconds += float(own[::2].sum())
        shortest, longest = float(steps.min()), float(steps.max())
        self.shortest = shortest if shortest < self.shortest or math.isnan(shortest) else self.shortest
        self.longest = longest if longest > self.longest or math.isnan(longest) else self.longest
        self.highs.append(float(volts.max()))
        self.lows.append(float(volts.min()))


def _phases(record: Sampled, peak: float, sums: _Sums) -> tuple[tuple[Phase, ...], int]:
    found: list[tuple[int, int]] = []
    inside = 0
    for sign in (1.0, -1.0):
        runs, count = _runs(record, sign, EDGE * peak, sums)
        found += runs
        inside += count
    return tuple(_phase(record, start, stop) for start, stop in sorted(found)), inside


def _runs(record: Sampled, sign: float, edge: float, sums: _Sums) -> tuple[list[tuple[int, int]], int]:
    """Stretches of one sign from the first to the last sample above the edge, and how many samples are above it.

    A dip that does not reach half the edge ends none: noise where a slow flank crosses the edge is no phase.
    """
    import numpy as np

    found: list[tuple[int, int]] = []
    inside, fell = 0, True
    for piece, start in enumerate(range(0, record.size, CHUNK)):
        # The last piece of the sums may end one sample before the record does not: it is then looked at whole.
        if piece < len(sums.highs):
            most, least = (sums.highs[piece], sums.lows[piece]) if sign > 0 else (-sums.lows[piece], -sums.highs[piece])
            if most <= edge:
                fell = fell or least <= edge / 2.0
                continue
        part = record.part(start, start + CHUNK)[1]
        above = part > edge if sign > 0 else part < -edge
        inside += int(np.count_nonzero(above))
        cuts = np.flatnonzero(above[1:] != above[:-1]) + 1
        if not cuts.size:
            # All of it is above the edge, or none.
            if above[0]:
                found.append((start if fell else found.pop()[0], start + part.size))
                fell = False
        else:
            fell = _cut(found, fell, part if sign > 0 else -part, start, edge, above, cuts)
        if len(found) > PHASES:
            raise ValueError(
                f"the record goes through more than {PHASES} phases above a twentieth of its peak: that is an "
                "alternating voltage or noise, and no pulse"
            )
    return found, inside


def _cut(
    found: list[tuple[int, int]], fell: bool, part: Samples, start: int, edge: float, above: Any, cuts: Any
) -> bool:
    """Put the stretches of a piece that crosses the edge behind those `found`; whether it has fallen at its end."""
    import numpy as np

    bounds = np.concatenate(([0] if above[0] else [], cuts, [part.size] if above[-1] else [])).astype(int)
    starts, stops = bounds[::2], bounds[1::2]
    # How many samples before each place are down at half the edge.
    down = np.zeros(part.size + 1, dtype=int)
    np.cumsum(part <= edge / 2.0, out=down[1:])
    apart = down[starts[1:]] > down[stops[:-1]]
    begins, ends = starts[np.r_[True, apart]] + start, stops[np.r_[apart, True]] + start
    runs = list(zip(begins.tolist(), ends.tolist(), strict=True))
    if not fell and not down[starts[0]]:
        runs[0] = (found.pop()[0], runs[0][1])
    found += runs
    return bool(down[-1] > down[stops[-1]])


def _phase(record: Sampled, start: int, stop: int) -> Phase:
    times, volts = record.part(start, start + 1)
    begin, positive_sign = float(times[0]), bool(volts[0] > 0.0)
    # The voltage at the beginning is that at the phase's own peak: the edge itself is a matter of sampling.
    tops = [part.max() if positive_sign else part.min() for _, _, part in stretches(record, start, stop)]
    times, volts = record.part(stop - 1, stop)
    first = float(max(tops) if positive_sign else min(tops))
    return Phase(begin, float(times[0] - begin), first, float(volts[0]))


def _faults(record: Sampled, peak: float, inside: int, sums: _Sums) -> Iterator[str]:
    import numpy as np

    if inside < FEW:
        yield f"Only {inside} samples lie within the pulse; fewer than {FEW} show its shape poorly."
    if not sums.even:
        steps = f"from {sums.shortest:.3g} s to {sums.longest:.3g} s"
        yield f"The samples are not evenly spaced: the steps go {steps}."
    flat = 0
    for piece, ends in enumerate(zip(sums.highs, sums.lows, strict=True)):
        if peak in ends:
            flat += int(np.count_nonzero(record.part(piece * CHUNK, piece * CHUNK + CHUNK)[1] == peak))
    if flat >= 3 and flat > inside // 20:
        yield f"{flat} samples stand at the very same peak of {peak:.6g} V: the recorder may have been at its end."
    for name, at in (("begins", 0), ("ends", record.size - 1)):
        if abs(float(record.part(at, at + 1)[1][0])) > EDGE * abs(peak):
            yield f"The record {name} within the pulse, so part of the energy is missing."
