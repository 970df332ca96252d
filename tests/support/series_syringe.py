"""Write the sampled evidence of the syringe case. Nothing here was ever weighed: the case is invented.

Run `python -m tests.support.series_syringe` in the repository to write it all again, then `fill_digests` for the case.
The same program gives the same bytes: what scatters comes from a generator of numbers with a fixed start.
"""

from __future__ import annotations

import math
import random
import sys
from pathlib import Path

FOLDER = "cases/syringe-emptied/evidence/series"
PER_GRAM = 1.003288
"""mL of water for a gram on the balance at 22 degC, buoyancy put right."""
BLANK = 1.6e-3
"""g that leave the vessel in an hour."""
HOURS = ((4.0, 64.0, 5.090), (69.0, 129.0, 5.081), (134.0, 194.0, 5.088))
"""The three hours of the readings: from, to in min since the start, mean flow in mL/h."""


def _table(head: str, rows: list[str]) -> str:
    return "\n".join([head, *rows]) + "\n"


def run() -> str:
    """194 min at 5.0 mL/h, a reading every half minute: a start of minutes, the ripple of a lead screw, scatter."""
    noise = random.Random(20260320)
    flows = []
    for n in range(388):
        at = 0.5 * (n + 0.5)
        ripple = 0.05 * math.sin(2 * math.pi * at / 7.5) + 0.018 * math.sin(2 * math.pi * at / 2.5 + 0.7)
        flows.append((5.087 + ripple) * (1.0 - math.exp(-at / 0.9)) + noise.gauss(0.0, 0.03))
    # Each hour is brought to the mean that its reading tells.
    for start, end, mean in HOURS:
        first, last = round(start * 2), round(end * 2)
        shift = mean - sum(flows[first:last]) / (last - first)
        flows[first:last] = [flow + shift for flow in flows[first:last]]
    mass, rows = 12.4071, ["0.0,12.4071"]
    for n, flow in enumerate(flows, start=1):
        mass += flow / 120.0 / PER_GRAM - BLANK / 120.0
        rows.append(f"{n / 2:.1f},{mass:.4f}")
    return _table("time [min],mass [g]", rows)


def blank() -> str:
    """An hour with the pump stopped, a reading every two minutes."""
    noise = random.Random(20260319)
    rows = [f"{2 * n:.1f},{12.4093 - BLANK * n / 30 + noise.gauss(0.0, 0.0001):.4f}" for n in range(31)]
    return _table("time [min],mass [g]", rows)


def counter() -> str:
    """The counter of the pump every five minutes of the forty, cut after the first place as the pump shows it."""
    rows = [f"{n},{math.floor(n * 5.0 / 60.0 * 10.0 + 1e-9) / 10.0:.1f}" for n in range(0, 41, 5)]
    return _table("time [min],volume [mL]", rows)


def gravity() -> str:
    """Twenty minutes with the flange free at 75 cm, a reading every half minute."""
    noise = random.Random(20260322)
    mass, rows = 3.1140, ["0.0,3.1140"]
    for n in range(1, 41):
        # The column falls by a few millimetres as the barrel empties, and the flow with it.
        mass += (70.35 - 0.018 * n + noise.gauss(0.0, 0.25)) / 120.0 / PER_GRAM
        rows.append(f"{n / 2:.1f},{mass:.4f}")
    return _table("time [min],mass [g]", rows)


SERIES = {"run-5-ml-h": run, "blank": blank, "pump-counter": counter, "gravity-75-cm": gravity}
"""Series by file name."""


def main(root: Path) -> None:
    """Write every series below the repository's root."""
    (root / FOLDER).mkdir(parents=True, exist_ok=True)
    for name, made in SERIES.items():
        (root / FOLDER / f"{name}.csv").write_text(made(), encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path())
