"""Write the record and the traces of the ventilator case. Every value is invented; nothing was ever measured.

Run `python -m tests.support.series_ventilator` in the repository to write them all again: the same bytes each time.
"""

from __future__ import annotations

import math
import random
import sys
from collections.abc import Iterator
from pathlib import Path

FOLDER = "cases/ventilator-disconnect/evidence"
RATE, INTO, FLOW = 10, 3.0, 8.2
"""Breaths in a minute, seconds of inspiration, L/min dry at the room's temperature: 402 mL a breath."""
STEP = 0.04
START = 9 * 3600 + 40 * 60
"""The unit's clock at its start, seconds after midnight."""


def clock(second: int) -> str:
    """Time by the unit, from seconds since its start."""
    at = START + second
    return f"2026-04-20 {at // 3600:02d}:{at // 60 % 60:02d}:{at % 60:02d}"


def entries() -> Iterator[tuple[int, int, str]]:
    """(seconds since the start, code, words) in order: settings, a state every half minute, the fall, standby."""
    for at, code, words in (
        (0, 100, "start"),
        (1, 110, "volume 450 mL"),
        (1, 111, "rate 10 per min; inspiration 3.0 s"),
        (2, 120, "low pressure alarm on; limit 5 cmH2O"),
        (2, 121, "low minute volume alarm off"),
        (2, 122, "alarm sound 2 of 10"),
        (3, 130, "mode volume control"),
        (4, 140, "gas supply 4.2 bar"),
        (4, 141, "battery 91 %"),
    ):
        yield at, code, words
    draw = random.Random(20260420)
    fall, stand = 25 * 60 + 20, 28 * 60 + 50
    for at in range(30, stand, 30):
        if at - 30 < fall <= at:
            yield fall, 210, "peak pressure 18 to 8 cmH2O"
        peak = 18.0 + draw.uniform(-0.4, 0.4) if at < fall else 8.0 + draw.uniform(-0.2, 0.2)
        gas = 4.2 - 0.1 * (at > 900)
        yield at, 200, f"peak {peak:.1f} cmH2O; gas {gas:.1f} bar"
    yield stand, 900, "standby by key"


def unit_log() -> str:
    """The record of the unit; numbers go on from whatever it wrote before."""
    rows = [
        f"{number},{clock(at)},{at},{code},{words}" for number, (at, code, words) in enumerate(entries(), start=40_212)
    ]
    return "number,time by the unit,running [s],code,entry\n" + "\n".join(rows) + "\n"


def trace(peak: float, rest: float, open_: bool) -> str:
    """A minute of breaths at the patient connection: closed on a test lung, or open through the tube."""
    draw = random.Random(f"trace {peak} {open_}")
    rows = []
    for n in range(round(63.0 / STEP)):
        t = n * STEP
        within = (t + 1.0) % (60.0 / RATE)
        rise = min(1.0, within / 0.08) if within < INTO else 0.0
        flow = FLOW * rise
        if within < INTO:
            # Into a lung the pressure climbs with the volume; through an open tube it is that of the flow, at once.
            pressure = rest + (peak - rest) * (rise if open_ else (0.15 * rise + 0.85 * within / INTO))
        else:
            pressure = rest + (0.0 if open_ else (peak - rest) * math.exp(-(within - INTO) / 0.45))
            flow = 0.0 if open_ else -FLOW * 2.2 * math.exp(-(within - INTO) / 0.45)
        pressure += draw.gauss(0.0, 0.015)
        flow += draw.gauss(0.0, 0.03)
        rows.append(f"{t:.2f},{pressure:.2f},{flow:.2f}")
    return "time [s],pressure [cmH2O],flow [L/min]\n" + "\n".join(rows) + "\n"


def decay() -> str:
    """The circuit of the event closed at 30 cmH2O: 12 mL/min at 1.10 mL/cmH2O, in proportion to the pressure."""
    draw = random.Random(7)
    constant = 1.10 * 30.0 / (12.0 / 60.0)
    rows = [f"{t:.1f},{31.0 * math.exp(-t / constant) + draw.gauss(0.0, 0.02):.2f}" for t in range(0, 61, 2)]
    return "time [s],pressure [cmH2O]\n" + "\n".join(rows) + "\n"


def files() -> dict[str, str]:
    """Every file, by its path below the evidence."""
    return {
        "logs/unit.csv": unit_log(),
        "series/connected.csv": trace(18.0, 3.0, open_=False),
        "series/open-through-tube.csv": trace(7.8, 0.0, open_=True),
        "series/circuit-closed.csv": decay(),
    }


def main(root: Path) -> None:
    """Write the files below the repository's root."""
    for name, text in files().items():
        path = root / FOLDER / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path())
