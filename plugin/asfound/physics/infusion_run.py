"""A run of a pump on a balance that was read at even times: flow, worst stretch, start, blank.

The samples of half a minute and the hour that is left out are those of IEC 60601-2-24:1998, 50.102, and 2012,
201.12.1.102 (from memory). What a run means for one event is a question of the length of that event, so windows may
have any length.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from asfound.measure import fits
from asfound.measure.budget import coverage_factor
from asfound.physics.energy import positive
from asfound.physics.water import volume_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

EVEN = 0.02
"""How far one step of time may stray from the others, as a share of it, before the flows would be wrong by as much."""


class Run(Struct, frozen=True):
    """A run on a balance.

    times    min since the first reading, one for each reading
    volumes  mL given since then, with what evaporated put back
    sample   min from one reading to the next
    """

    times: NDArray[np.float64]
    volumes: NDArray[np.float64]
    sample: float

    @property
    def flows(self) -> NDArray[np.float64]:
        """Flow of each sample in mL/h; one fewer than readings."""
        import numpy as np

        return np.diff(self.volumes) * (60.0 / self.sample)

    @property
    def length(self) -> float:
        """Length of the run in min."""
        return float(self.times[-1])

    def mean(self, start: float = 0.0, end: float | None = None) -> float:
        """Mean flow in mL/h from one time to another, both in min and at a reading; to the end where none is given."""
        first = round(start / self.sample)
        last = self.times.size - 1 if end is None else round(end / self.sample)
        if not 0 <= first < last < self.times.size:
            raise ValueError(f"the run is {self.length:g} min long and holds no stretch from {start:g} min to that end")
        return float(self.volumes[last] - self.volumes[first]) * 60.0 / ((last - first) * self.sample)

    def after(self, start: float) -> Run:
        """What follows `start` min, as a run of its own. ValueError where nothing follows."""
        first = round(start / self.sample)
        if first >= self.times.size - 1:
            raise ValueError(f"the run is {self.length:g} min long: nothing follows the first {start:g} min")
        return Run(self.times[first:] - self.times[first], self.volumes[first:] - self.volumes[first], self.sample)


def run_of(
    times: Sequence[float] | NDArray[np.float64],
    masses: Sequence[float] | NDArray[np.float64],
    temperature: float,
    blank: float = 0.0,
    scale: float = 1.0,
) -> Run:
    """A run from times in min and masses in g on the balance, water at `temperature` degC.

    `blank` g/h leave the vessel with no flow and are added; masses are multiplied by `scale` before. Buoyancy
    of the air is put right (ISO 8655-6, from memory).
    Raises ValueError where the readings are not finite, fewer than two, or not evenly spaced in time within 2 %.
    """
    import numpy as np

    t, m = np.asarray(times, dtype=np.float64), np.asarray(masses, dtype=np.float64)
    if t.ndim != 1 or t.shape != m.shape or t.size < 2 or not (np.isfinite(t).all() and np.isfinite(m).all()):
        raise ValueError("each time needs one mass, finite numbers, two at least")
    steps = np.diff(t)
    sample = float(t[-1] - t[0]) / (t.size - 1)
    if sample <= 0.0:
        raise ValueError("the times do not run forward")
    off = np.abs(steps - sample)
    if float(off.max()) > EVEN * sample:
        at = int(off.argmax())
        raise ValueError(
            f"the balance was not read at even times: {steps[at]:.6g} min between readings {at + 1} and {at + 2}, "
            f"{sample:.6g} min in the mean"
        )
    hours = (t - t[0]) / 60.0
    per_gram = volume_of(1.0, temperature)
    return Run(t - t[0], ((m - m[0]) * scale + blank * hours) * per_gram, sample)


class Stretch(Struct, frozen=True):
    """Mean flows in mL/h over every stretch of one length: the largest, the smallest, where each begins, how many."""

    highest: float
    highest_from: float
    lowest: float
    lowest_from: float
    count: int


def stretches(run: Run, minutes: float) -> Stretch:
    """Every stretch of `minutes` in a run, slid by one sample. ValueError where none fits or it is no whole number of
    samples."""
    positive(minutes=minutes)
    exact = minutes / run.sample
    length = round(exact)
    if length < 1 or abs(exact - length) > EVEN:
        raise ValueError(f"{minutes:g} min are no whole number of samples of {run.sample:g} min")
    if length >= run.times.size:
        raise ValueError(f"the run is {run.length:g} min long: no stretch of {minutes:g} min fits")
    means = (run.volumes[length:] - run.volumes[:-length]) * (60.0 / (length * run.sample))
    top, low = int(means.argmax()), int(means.argmin())
    return Stretch(float(means[top]), top * run.sample, float(means[low]), low * run.sample, int(means.size))


class StartUp(Struct, frozen=True):
    """How a run began.

    minutes  until the smoothed flow stays within the share to the end; None where it never does
    short    mL by which less was given until then than the rate asks for; to the end where it never settles
    """

    minutes: float | None
    short: float


def start_up(run: Run, rate: float, share: float = 10.0, smooth: float = 5.0) -> StartUp:
    """Time until the flow, as a mean over `smooth` min, stays within `share` per cent of the set rate mL/h to the end.

    Counted to the end of the first stretch of `smooth` min from which on all are inside. No standard sets the share:
    it is said with the answer.
    """
    import numpy as np

    positive(rate=rate, share=share, smooth=smooth)
    length = round(smooth / run.sample)
    if length < 1 or length >= run.times.size:
        raise ValueError(f"a mean over {smooth:g} min does not fit the samples or the run")
    means = (run.volumes[length:] - run.volumes[:-length]) * (60.0 / (length * run.sample))
    outside = np.flatnonzero(np.abs(means - rate) > rate * share / 100.0)
    first = int(outside[-1]) + 1 if outside.size else 0
    if first >= means.size:
        return StartUp(None, rate * run.length / 60.0 - float(run.volumes[-1]))
    at = float(run.times[first + length])
    return StartUp(at, rate * at / 60.0 - float(run.volumes[first + length]))


class Blank(Struct, frozen=True):
    """What leaves the vessel with no flow: `rate` g/h, its doubt (95.45 %), and the line it was read from."""

    rate: float
    doubt: float
    fit: fits.Line


def blank_of(times: Sequence[float], masses: Sequence[float]) -> Blank:
    """Evaporation from times in min and masses in g with the pump stopped: minus the slope of a line through them.

    Doubt by Student's t (JCGM 100:2008, H.3 and G.3). It can come out below 0, by scatter or by a leak into the vessel;
    nothing is clipped. ValueError for fewer than three readings.
    """
    fit = fits.line([one / 60.0 for one in times], list(masses))
    return Blank(-fit.slope, coverage_factor(fit.dof) * fit.u_slope, fit)


class LogWindow(Struct, frozen=True):
    """One window of a record: from, to (min), mL counted in it, and the rate in mL/h that implies."""

    start: float
    end: float
    volume: float
    rate: float


def log_windows(times: Sequence[float], volumes: Sequence[float]) -> tuple[LogWindow, ...]:
    """Windows between the entries of a record that counts volume: times in min, mL counted up to each.

    A count that falls is told and not mended: the counter was cleared there, and the record has to be split.
    """
    if len(times) != len(volumes) or len(times) < 2:
        raise ValueError("each time needs one volume, and a window two entries")
    made = []
    for n in range(1, len(times)):
        start, end = float(times[n - 1]), float(times[n])
        if end <= start:
            raise ValueError(f"entry {n + 1} of the record is not later than the one before it")
        volume = float(volumes[n]) - float(volumes[n - 1])
        if volume < 0.0:
            raise ValueError(f"the count falls at entry {n + 1}: it was cleared there; take each count by itself")
        made.append(LogWindow(start, end, volume, volume * 60.0 / (end - start)))
    return tuple(made)


class Occlusion(Struct, frozen=True):
    """A closed line and what it let go.

    bolus    mL that came at once      pumped   mL the drive moved until the alarm
    kept     mL of it that did not come at once: taken back by the pump, or still held by the line
    give     mL for each mmHg, where a pressure was read
    """

    bolus: float
    pumped: float
    kept: float
    give: float | None


def occlusion(mass: float, temperature: float, rate: float, seconds: float, pressure: float | None = None) -> Occlusion:
    """Bolus from its mass in g at `temperature` degC; what was pumped from the set rate mL/h and the time to the
    alarm in s; the give of line and container from the pressure in mmHg at the alarm."""
    positive(rate=rate, seconds=seconds)
    bolus, pumped = volume_of(mass, temperature), rate * seconds / 3600.0
    return Occlusion(bolus, pumped, pumped - bolus, pumped / pressure if pressure else None)
