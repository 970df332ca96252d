"""Logs of an incubator: whether the probe followed the doors, how the air came back, what the heater did; and how heat
under a radiant warmer goes with its height."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate

from msgspec import Struct

from asfound.measure.budget import LEVEL_95_45, coverage_factor
from asfound.measure.fits import line
from asfound.physics.ascending import must_ascend
from asfound.physics.energy import positive
from asfound.physics.probe import door_answer


class Fall(Struct, frozen=True):
    """How far a logged temperature falls at openings, against how far it falls by itself between them.

    at_doors  K, mean over the openings of the lowest value within the window less the value at the opening
    between   K, the same for windows without an opening: what noise and drift alone give
    beyond    K, the difference of the two: below 0 where it falls at doors
    doubt     K, expanded (95.45 %, Student's t) of `beyond`; None where there
              are too few windows between
    windows   how many windows without an opening, side by side, it rests on
    chance    how often openings placed elsewhere give a fall at least as deep, from 0 to 1
    """

    at_doors: float
    between: float
    beyond: float
    doubt: float | None
    windows: int
    chance: float

    @property
    def dof(self) -> float:
        """Degrees of freedom behind the doubt; infinite where there is none."""
        return math.inf if self.doubt is None else self.windows - 1.0

    @property
    def seen(self) -> bool:
        """Whether it falls by more than its doubt."""
        return self.doubt is not None and self.beyond < -self.doubt


def fall(values: Sequence[float], openings: Sequence[int], window: int) -> Fall:
    """How a log answers to its openings: values evenly spaced in degC, openings and window in samples.

    The spread comes from windows without an opening, laid side by side so that none shares a sample: two openings have
    hardly a spread of their own. Raises ValueError where no opening can be used.
    """
    found = door_answer(values, openings, window)
    n = len(values)
    usable = sorted({at for at in openings if 0 <= at < n - window})
    free: list[float] = []
    at = 0
    while at < n - window:
        # A window and the opening before it must not touch: what comes back after a door is no noise.
        near = [one for one in openings if at - 2 * window < one < at + window]
        if near:
            at += 1
            continue
        free.append(min(values[at + 1 : at + 1 + window]) - values[at])
        at += window + 1
    if len(free) < 3:
        between = math.fsum(free) / len(free) if free else 0.0
        return Fall(found.fall, between, found.fall - between, None, len(free), found.chance)
    between = math.fsum(free) / len(free)
    s = math.sqrt(math.fsum((one - between) ** 2 for one in free) / (len(free) - 1))
    factor = coverage_factor(len(free) - 1, LEVEL_95_45)
    doubt = factor * s * math.sqrt(1.0 / len(usable) + 1.0 / len(free))
    return Fall(found.fall, between, found.fall - between, doubt, len(free), found.chance)


class Lag(Struct, frozen=True):
    """How a log goes along with another near the openings: at which delay it does so best, and how well.

    samples       by how many samples it comes later      correlation   from -1 to 1 at that delay
    """

    samples: int
    correlation: float


def lag(leads: Sequence[float], follows: Sequence[float], openings: Sequence[int], window: int) -> Lag | None:
    """The delay from 0 to `window` samples at which `follows` goes along best with `leads`, around the openings.

    Pearson's correlation over the samples from one window before each opening to two after it. None where one of them
    does not move at all there.
    """
    n = len(leads)
    if n != len(follows):
        raise ValueError("the two logs are not of one length")
    places = sorted({i for at in openings for i in range(at - window, at + 2 * window + 1) if 0 <= i < n})
    best: Lag | None = None
    for delay in range(window + 1):
        pairs = [(leads[i], follows[i + delay]) for i in places if i + delay < n]
        r = _pearson(pairs)
        if r is not None and (best is None or r > best.correlation):
            best = Lag(delay, r)
    return best


def _pearson(pairs: Sequence[tuple[float, float]]) -> float | None:
    if len(pairs) < 3:
        return None
    mean_x = math.fsum(x for x, _ in pairs) / len(pairs)
    mean_y = math.fsum(y for _, y in pairs) / len(pairs)
    xx = math.fsum((x - mean_x) ** 2 for x, _ in pairs)
    yy = math.fsum((y - mean_y) ** 2 for _, y in pairs)
    if xx <= 1e-18 or yy <= 1e-18:
        return None
    return max(-1.0, min(1.0, math.fsum((x - mean_x) * (y - mean_y) for x, y in pairs) / math.sqrt(xx * yy)))


class Recovery(Struct, frozen=True):
    """How a sampled air temperature behaves after a disturbance, all in the units of its times and in degC or K.

    lowest     the lowest value from the disturbance on
    overshoot  K, how far the highest value after the air had come back to the setting stands above the setting; 0 or
               above. None where it never came back
    back       time from the disturbance until it stays within the band; None where it does not by the end
    settled    mean over the last stretch      unsteady   K, largest departure from that mean in it
    """

    lowest: float
    overshoot: float | None
    back: float | None
    settled: float
    unsteady: float


def recovery(
    times: Sequence[float], air: Sequence[float], setting: float, since: float, band: float, settle: float
) -> Recovery:
    """Recovery of the air after `since`, a time of the log: back within `band` K of the setting, and how it settles.

    `settle` is the length of the last stretch, which is taken as settled. Times ascend. Raises ValueError for too few
    samples.
    """
    positive(band=band, settle=settle)
    if len(times) != len(air):
        raise ValueError("the times are not as many as the temperatures")
    must_ascend(times, "min")
    after = [(t, v) for t, v in zip(times, air, strict=True) if t >= since]
    if len(after) < 3:
        raise ValueError("fewer than three samples lie after that time")
    outside = [i for i, (_, v) in enumerate(after) if abs(v - setting) > band]
    back: float | None = 0.0
    if outside:
        back = after[outside[-1] + 1][0] - since if outside[-1] + 1 < len(after) else None
    came = next((i for i, (_, v) in enumerate(after) if v >= setting), None)
    over = None if came is None else max(0.0, max(v for _, v in after[came:]) - setting)
    last = [v for t, v in after if t >= times[-1] - settle]
    mean = math.fsum(last) / len(last)
    return Recovery(min(v for _, v in after), over, back, mean, max(abs(v - mean) for v in last))


class Duty(Struct, frozen=True):
    """How much of its time or power a heater worked, in the unit of the log.

    mean over all; first and last third; lowest and highest mean over a window of the given length
    """

    mean: float
    first: float
    last: float
    lowest: float
    highest: float


def duty(times: Sequence[float], heater: Sequence[float], window: float) -> Duty:
    """Duty of a heater from a log: each value holds until the next sample; the last one is not counted.

    Times ascend, in one unit with the window. Raises ValueError for a log shorter than the window.
    """
    positive(window=window)
    n = len(times)
    if n != len(heater):
        raise ValueError("the times are not as many as the values")
    must_ascend(times, "min")
    if n < 2 or times[-1] - times[0] < window:
        raise ValueError("the log is shorter than the window")
    total = list(accumulate((heater[i] * (times[i + 1] - times[i]) for i in range(n - 1)), initial=0.0))

    def up_to(moment: float) -> float:
        i = max(0, bisect_right(times, moment) - 1)
        return total[i] + (heater[i] * (moment - times[i]) if i < n - 1 else 0.0)

    def mean(a: float, b: float) -> float:
        return (up_to(b) - up_to(a)) / (b - a)

    start, end = times[0], times[-1]
    third = (end - start) / 3.0
    # The mean over a sliding window is piecewise linear in its place, so its ends are at samples of either edge.
    places = [t for t in times if t <= end - window] + [t - window for t in times if t - window >= start]
    means = [mean(t, t + window) for t in places]
    return Duty(mean(start, end), mean(start, start + third), mean(end - third, end), min(means), max(means))


class WithHeight(Struct, frozen=True):
    """How the rise at the mattress goes with the height of a heater: rise = k h^-n.

    n    the power: near 2 far from a small heater, below it near a long or wide one
    u    its standard doubt, with `dof` degrees of freedom
    """

    n: float
    u: float
    log_k: float
    worst: float
    dof: float

    def at(self, height: float) -> float:
        """Rise in K at a height, in the units of the fit."""
        positive(height=height)
        return math.exp(self.log_k - self.n * math.log(height))


def with_height(heights: Sequence[float], rises: Sequence[float]) -> WithHeight:
    """Fit a power of the height to rises in K at three heights or more; `worst` is the largest departure in K.

    Least squares of the logarithms. Raises ValueError for what is not above 0, and for too few heights.
    """
    for h, r in zip(heights, rises, strict=True):
        positive(height=h, rise=r)
    fit = line([math.log(h) for h in heights], [math.log(r) for r in rises])
    found = WithHeight(-fit.slope, fit.u_slope, fit.intercept, 0.0, fit.dof)
    worst = max(abs(found.at(h) - r) for h, r in zip(heights, rises, strict=True))
    return WithHeight(found.n, found.u, found.log_k, worst, found.dof)
