"""Write the sampled logs of the incubator case. All of it is invented; nothing was ever logged.

Run `python -m tests.support.series_incubator` in the repository to write them again: the bytes are the same, since the
noise comes from a small generator of its own that is seeded here.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from pathlib import Path

FOLDER = "cases/incubator-probe/evidence/logs"
DOORS = ((450, 454), (530, 535))
"""Minutes of the incubator's clock from which and until which a door was open: 07:30 to 07:34, 08:50 to 08:55."""


class Noise:
    """A small linear congruential generator (Numerical Recipes' constants), so that no library decides the bytes."""

    def __init__(self, seed: int) -> None:
        self.state = seed

    def even(self) -> float:
        """A number from 0 to 1."""
        self.state = (1664525 * self.state + 1013904223) % 2**32
        return self.state / 2**32

    def normal(self) -> float:
        """About a standard normal: twelve evens less six."""
        return sum(self.even() for _ in range(12)) - 6.0


def _dip(minute: int, depth: float, doors: tuple[tuple[int, int], ...], fall: float = 2.0, back: float = 6.0) -> float:
    """How far the air stands below its course, K, some minutes after a door."""
    total = 0.0
    for start, stop in doors:
        if start < minute <= stop:
            total += depth * (1.0 - math.exp(-(minute - start) / fall))
        elif minute > stop:
            total += depth * (1.0 - math.exp(-(stop - start) / fall)) * math.exp(-(minute - stop) / back)
    return total


def trend() -> str:
    """The incubator's own record, a row a minute from midnight to the event: skin, air, heater, door."""
    noise = Noise(5)
    fixed = {449: 36.0, 452: 36.0, 532: 36.1, 601: 35.9}
    rows = ["clock,time [min],probe [°C],set [°C],air [°C],heater [%],door"]
    for minute in range(606):
        rise = 1.4 / (1.0 + math.exp(-(minute - 330) / 70.0))
        dip = _dip(minute, 2.8, DOORS)
        air = 33.1 + rise - dip + 0.07 * noise.normal()
        pick = noise.even()
        probe = fixed.get(minute, 35.9 if pick < 0.11 else 36.1 if pick > 0.89 else 36.0)
        heater = min(100.0, max(0.0, 26.0 + 6.5 * rise + 14.0 * dip + 1.2 * noise.normal()))
        door = int(any(start <= minute < stop for start, stop in DOORS))
        clock = f"{minute // 60:02d}:{minute % 60:02d}"
        rows.append(f"{clock},{minute},{probe:.1f},36.0,{air:.1f},{heater:.0f},{door}")
    return "\n".join(rows) + "\n"


def thermograph() -> str:
    """The ward's thermograph, a row each ten minutes: between 24.8 and 25.3 degC."""
    rows = ["clock,time [min],ward [°C]"]
    for minute in range(0, 721, 10):
        slow = 25.05 + 0.25 * math.sin((minute - 420) / 720 * math.pi)
        rows.append(f"{minute // 60:02d}:{minute % 60:02d},{minute},{min(25.3, max(24.8, slow)):.1f}")
    return "\n".join(rows) + "\n"


def air_run() -> str:
    """The air at the bench under air control, a row a minute: warmed, over by 0.4 K, settled, three doors."""
    noise = Noise(11)
    doors = ((306, 308), (346, 348), (386, 388))
    rows = ["time [min],air [°C],door"]
    for minute in range(421):
        course = 36.1 - 14.1 * math.exp(-minute / 14.0)
        if minute >= 50:
            course += 0.40 * math.exp(-(((minute - 70) / 14.0) ** 2))
        air = course - _dip(minute, 4.6, doors) + (0.012 * noise.normal() if minute > 100 else 0.0)
        door = int(any(start <= minute < stop for start, stop in doors))
        rows.append(f"{minute},{air:.2f},{door}")
    return "\n".join(rows) + "\n"


FILES: dict[str, Callable[[], str]] = {
    "trend.csv": trend,
    "thermograph.csv": thermograph,
    "air-run.csv": air_run,
}
"""Logs by the name of their file."""


def main(root: Path) -> None:
    """Write every log below the repository's root."""
    (root / FOLDER).mkdir(parents=True, exist_ok=True)
    for name, made in FILES.items():
        (root / FOLDER / name).write_bytes(made().encode())


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path())
