"""Write the sampled evidence of the case of the shock that did not come. Nothing here was ever recorded.

Run `python -m tests.support.series_no_shock` in the repository to write it all again, then `fill_digests` for the case.
The same program gives the same bytes: what scatters comes from a generator of numbers with a fixed start.
"""

from __future__ import annotations

import math
import random
import sys
from itertools import pairwise
from pathlib import Path

FOLDER = "cases/no-shock/evidence"
CAPACITANCE, INSIDE, LOAD = 150e-6, 5.0, 50.0
FIRST, GAP, SECOND = 6.0e-3, 0.4e-3, 4.0e-3
CABLE, ADAPTER = 195.9, 196.4
"""J by each path, as the analyser told it at the same shock."""


def _table(head: str, rows: list[str]) -> str:
    return "\n".join([head, *rows]) + "\n"


def _pulse(at: float, volts: float) -> float:
    """Voltage across the load of one capacitor turned round after its first phase; `at` in s from the rise."""
    whole = LOAD + INSIDE
    tau = whole * CAPACITANCE
    # A switch of real parts takes some tens of microseconds to close.
    if 0.0 <= at < FIRST:
        return volts * LOAD / whole * math.exp(-at / tau) * (1.0 - math.exp(-at / 12e-6))
    at -= FIRST + GAP
    if 0.0 <= at < SECOND:
        left = volts * math.exp(-FIRST / tau)
        return -left * LOAD / whole * math.exp(-at / tau) * (1.0 - math.exp(-at / 12e-6))
    return 0.0


def _record(times: list[float], joules: float, seed: int) -> list[float]:
    """Samples of half a volt with the noise of a recorder, the charge such that the trapezium rule gives `joules`."""
    noise = random.Random(seed)
    wander = [noise.gauss(0.0, 0.8) for _ in times]
    volts = 1776.0
    for _ in range(60):
        made = [round(2.0 * (_pulse(at - 2e-3, volts) + by)) / 2.0 for at, by in zip(times, wander, strict=True)]
        step = times[1] - times[0]
        sums = sum((a * a + b * b) / 2.0 for a, b in pairwise(made)) * step / LOAD
        volts *= math.sqrt(joules / sums)
    return made


def shock() -> str:
    """20 ms of a shock of 200 J into 50 ohm, a sample every 10 us, by the cable of the event and by the adapter."""
    times = [n * 1e-5 for n in range(2000)]
    cable, adapter = _record(times, CABLE, 1), _record(times, ADAPTER, 2)
    rows = [f"{at * 1e3:.2f},{a:.1f},{b:.1f}" for at, a, b in zip(times, cable, adapter, strict=True)]
    return _table("time [ms],through the cable [V],through the adapter [V]", rows)


def charge(took: float, length: float, seed: int, sag: float) -> str:
    """Key, lamp of ready and voltage at the contacts of the battery bay, a sample every 10 ms."""
    noise = random.Random(seed)
    rows = []
    for n in range(round(length * 100)):
        at = n / 100.0
        key = 4.98 if 1.0 <= at < 1.24 else 0.02
        ready = 4.75 if at >= 1.0 + took - 1e-9 else 0.05
        low = sag * (1.0 - math.exp(-(at - 1.0) / 0.3)) if 1.0 <= at < 1.0 + took else 0.0
        supply = 13.1 - low + noise.gauss(0.0, 0.01)
        rows.append(f"{at:.2f},{key + noise.gauss(0, 0.01):.2f},{ready + noise.gauss(0, 0.01):.2f},{supply:.2f}")
    return _table("time [s],key [V],ready [V],supply [V]", rows)


def synchronised() -> str:
    """Two beats of a simulator and the shock that waited for the second, a sample every half millisecond."""
    noise = random.Random(38)
    rows = []
    for n in range(2400):
        at = n * 5e-4
        trace = noise.gauss(0.0, 0.008)
        for beat in (0.3, 1.1):
            trace += 0.12 * math.exp(-(((at - beat + 0.16) / 0.022) ** 2))
            trace += 1.0 * math.exp(-(((at - beat) / 0.011) ** 2)) - 0.18 * math.exp(
                -(((at - beat - 0.026) / 0.009) ** 2)
            )
            trace += 0.28 * math.exp(-(((at - beat - 0.27) / 0.05) ** 2))
        pulse = _pulse(at - 1.138 + 5e-5, 1776.0)
        if 1.138 - 1e-9 <= at < 1.17:
            trace = 4.2  # the shock drives the input of the trace to its end
        rows.append(f"{at * 1e3:.1f},{trace:.3f},{pulse + noise.gauss(0, 0.5):.1f}")
    return _table("time [ms],ecg [mV],voltage [V]", rows)


def trace() -> str:
    """Sixteen seconds of the stored trace about the first key, at 125 samples a second: an unordered rhythm."""
    noise = random.Random(303)
    waves = [(3.9, 0.16), (4.7, 0.24), (5.3, 0.21), (6.1, 0.13), (7.4, 0.06)]
    phases = [noise.uniform(0.0, 2 * math.pi) for _ in waves]
    rows = []
    for n in range(16 * 125):
        at = n / 125.0
        swell = 0.75 + 0.25 * math.sin(2 * math.pi * at / 5.7)
        value = swell * sum(
            size * math.sin(2 * math.pi * rate * at + 1.4 * math.sin(0.9 * at + phase) + phase)
            for (rate, size), phase in zip(waves, phases, strict=True)
        )
        rows.append(f"{at:.3f},{value + 0.05 * math.sin(0.6 * at) + noise.gauss(0.0, 0.012):.3f}")
    return _table("time since 03:05:12 by the unit [s],pads [mV]", rows)


def flexes() -> str:
    """Twenty flexes: the meter before, its highest reading while bent, and after the cable was laid straight."""
    noise = random.Random(20)
    whole = {4, 11, 16}
    rows = []
    for number in range(1, 21):
        minute = 32 + (number - 1) * 3
        before, after = (0.08 + noise.choice((0.0, 0.0, 0.0, 0.01)) for _ in range(2))
        bent = f"{0.09 + noise.choice((0.0, 0.01, 0.03)):.2f}" if number in whole else "over range"
        opened = "no" if number in whole else "yes"
        rows.append(f"{number},{9 + minute // 60:02d}:{minute % 60:02d},{before:.2f},{bent},{opened},{after:.2f}")
    return _table("flex,time,straight before [ohm],highest while bent [ohm],open,straight after [ohm]", rows)


def self_tests() -> str:
    """Thirty mornings."""
    noise = random.Random(30)
    days = [f"2026-02-{day:02d}" for day in range(21, 29)] + [f"2026-03-{day:02d}" for day in range(1, 23)]
    rows = [
        f"{day} 04:00:{noise.choice((2, 3, 3, 4)):02d},mains,10,test plug at the port,"
        f"{9.9 + noise.gauss(0, 0.08):.1f},passed"
        for day in days
    ]
    return _table("time by the unit,fed from,energy set [J],path,energy [J],result", rows)


FILES = {
    "series/shock-200-j.csv": shock,
    "series/charge-battery.csv": lambda: charge(14.8, 18.0, 5, 3.4),
    "series/charge-mains.csv": lambda: charge(5.2, 8.0, 6, 0.4),
    "series/synchronised.csv": synchronised,
    "series/stored-trace.csv": trace,
    "logs/flexes.csv": flexes,
    "logs/self-tests.csv": self_tests,
}


def main(root: Path) -> None:
    """Write every file below the repository's root."""
    for name, made in FILES.items():
        path = root / FOLDER / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(made(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path())
