"""Energy of a defibrillation pulse: from what was sampled, and in closed form for the circuits it can be checked by.

The energy a load takes up is the integral of v squared over R. Formulas from circuit theory; IEC 60601-2-4 asks for
the energy into loads from 25 to 175 ohm (from memory). No function here holds a limit.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float64]

CHUNK = 1 << 16
"""Samples taken at a time, so that a long series needs no second copy of itself."""
EDGE = 0.05
"""Part of the peak above which a sample belongs to the pulse."""
FEW = 50
"""Fewer samples than this within a pulse are reported."""


def positive(**given: float) -> None:
    """Raise ValueError for whatever is not a finite number above 0, by its name."""
    wrong = [name.replace("_", " ") for name, value in given.items() if not (math.isfinite(value) and value > 0.0)]
    if wrong:
        raise ValueError(f"{' and '.join(wrong)} must be above 0")


# --- closed forms


@dataclass(frozen=True, slots=True)
class Discharge:
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


def half_sine(peak_current: float, load: float, duration: float) -> float:
    """Energy in J of half a sine: R I^2 T / 2; A, ohm, s."""
    positive(peak_current=peak_current, load=load, duration=duration)
    return 0.5 * load * peak_current * peak_current * duration


# --- what was sampled


@dataclass(frozen=True, slots=True)
class Phase:
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


@dataclass(frozen=True, slots=True)
class Pulse:
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
    than two samples, for different lengths, for times that do not ascend and for what is not finite.
    """
    import numpy as np

    positive(load=load)
    t, v = np.asarray(times, dtype=np.float64), np.asarray(volts, dtype=np.float64)
    if t.ndim != 1 or t.shape != v.shape or t.size < 2:
        raise ValueError("a pulse needs at least two samples, and one voltage for each time")
    sums = _Sums()
    for start in range(0, t.size - 1, CHUNK):
        sums.take(t[start : start + CHUNK + 1], v[start : start + CHUNK + 1])
    if (t.size - 1) % CHUNK == 0:
        sums.seconds += float(v[-1]) ** 2  # the last sample begins no piece of its own
    if not math.isfinite(sums.squares) or not math.isfinite(sums.longest):
        raise ValueError("a sample is not a finite number")
    if not sums.shortest > 0.0:
        raise ValueError("the times of the samples do not ascend")
    high, low = max(sums.highs), min(sums.lows)
    peak = high if high >= -low else low
    if peak == 0.0:
        raise ValueError("every sample is 0: there is no pulse")
    chunk = (sums.highs if peak == high else sums.lows).index(peak) * CHUNK
    part = v[chunk : chunk + CHUNK + 1]
    top = chunk + int(part.argmax() if peak == high else part.argmin())
    phases, inside = _phases(t, v, abs(peak), sums)
    faults = tuple(_faults(v, peak, inside, sums))
    sampling = 0.0
    if sums.even and t.size > 4:
        step = (float(t[-1]) - float(t[0])) / (t.size - 1)
        # Every second sample, and where their number leaves one step over, that step as it stands.
        last = t.size - 1 - (t.size - 1) % 2
        ends = (float(v[0]) ** 2 + float(v[last]) ** 2) / 2.0
        other = 2.0 * step * (sums.seconds - ends)
        if last < t.size - 1:
            other += step * (float(v[last]) ** 2 + float(v[-1]) ** 2) / 2.0
        sampling = abs(sums.squares - other) / 3.0 / load
    return Pulse(sums.squares / load, sampling, peak, float(t[top]), peak / load, phases, faults)


class _Sums:
    """What one pass over the pieces of a record gives. Neighbouring pieces share a sample; a piece has an even start.

    squares   V2s by the trapezium rule      seconds   sum of the squares of every second sample
    """

    def __init__(self) -> None:
        self.squares, self.seconds = 0.0, 0.0
        self.shortest, self.longest = math.inf, 0.0
        self.highs: list[float] = []
        self.lows: list[float] = []

    @property
    def even(self) -> bool:
        return self.longest <= self.shortest * 1.01

    def take(self, times: Samples, volts: Samples) -> None:
        import numpy as np

        steps, squares = np.diff(times), volts * volts
        pairs = squares[1:] + squares[:-1]
        pairs *= steps
        self.squares += 0.5 * float(pairs.sum())
        # The last sample comes again as the first of the next piece.
        own = squares if times.size <= CHUNK else squares[:-1]
        self.seconds += float(own[::2].sum())
        shortest, longest = float(steps.min()), float(steps.max())
        self.shortest = shortest if shortest < self.shortest or math.isnan(shortest) else self.shortest
        self.longest = longest if longest > self.longest or math.isnan(longest) else self.longest
        self.highs.append(float(volts.max()))
        self.lows.append(float(volts.min()))


def _phases(t: Samples, v: Samples, peak: float, sums: _Sums) -> tuple[tuple[Phase, ...], int]:
    import numpy as np

    found: list[tuple[int, int]] = []
    inside = 0
    edge = EDGE * peak
    for sign in (1.0, -1.0):
        bounds: list[int] = []
        was = False
        for piece, start in enumerate(range(0, v.size, CHUNK)):
            # The last piece of the sums may end one sample before the record does not: it is then looked at whole.
            ends = (sums.highs[piece], sums.lows[piece]) if piece < len(sums.highs) else (math.inf, -math.inf)
            if (ends[0] <= edge) if sign > 0 else (ends[1] >= -edge):
                if was:
                    bounds.append(start)
                    was = False
                continue
            part = v[start : start + CHUNK]
            above = part > edge if sign > 0 else part < -edge
            inside += int(np.count_nonzero(above))
            if bool(above[0]) is not was:
                bounds.append(start)
            bounds += (np.flatnonzero(above[1:] != above[:-1]) + start + 1).tolist()
            was = bool(above[-1])
        if was:
            bounds.append(int(v.size))
        found += zip(bounds[::2], bounds[1::2], strict=True)
    made = []
    for start, stop in sorted(found):
        part = v[start:stop]
        # The voltage at the beginning is that at the phase's own peak: the edge itself is a matter of sampling.
        first = float(part.max() if part[0] > 0.0 else part.min())
        made.append(Phase(float(t[start]), float(t[stop - 1] - t[start]), first, float(part[-1])))
    return tuple(made), inside


def _faults(v: Samples, peak: float, inside: int, sums: _Sums) -> Iterator[str]:
    import numpy as np

    if inside < FEW:
        yield f"Only {inside} samples lie within the pulse; fewer than {FEW} show its shape poorly."
    if not sums.even:
        steps = f"from {sums.shortest:.3g} s to {sums.longest:.3g} s"
        yield f"The samples are not evenly spaced: the steps go {steps}."
    flat = 0
    for piece, ends in enumerate(zip(sums.highs, sums.lows, strict=True)):
        if peak in ends:
            flat += int(np.count_nonzero(v[piece * CHUNK : piece * CHUNK + CHUNK] == peak))
    if flat >= 3 and flat > inside // 20:
        yield f"{flat} samples stand at the very same peak of {peak:.6g} V: the recorder may have been at its end."
    for name, end in (("begins", v[0]), ("ends", v[-1])):
        if abs(float(end)) > EDGE * abs(peak):
            yield f"The record {name} within the pulse, so part of the energy is missing."
