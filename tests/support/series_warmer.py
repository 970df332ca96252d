"""Write the sampled logs of the warming case. All of it is invented; nothing was ever logged.

Run `python -m tests.support.series_warmer` in the repository to write them again: the bytes are the same, since the
noise comes from a small generator that is seeded here.
"""

from __future__ import annotations

import math
import sys
from pathlib import Path

from tests.support.series_incubator import Noise

FOLDER = "cases/warmer-calf/evidence/logs"
SPOTS = ((1, 48.9), (2, 48.8), (3, 49.0))
"""Run and where it stood after 130 min, degC."""
OUTLETS = (("blanket", 43.6), ("nothing", 49.7))


def spot(run: int, stands: float) -> str:
    """One run of 130 min, a row every ten seconds: the spot under the end of the hose, and the air of the room."""
    noise = Noise(500 + run)
    rows = ["time [s],spot [°C],room [°C]"]
    for second in range(0, 7801, 10):
        # The face of the simulant is warm within minutes; its depth follows over half an hour.
        risen = 1.0 - 0.72 * math.exp(-second / 75.0) - 0.28 * math.exp(-second / 780.0)
        quiet = 0.0 if second in (0, 7800) else 0.05 * noise.normal()
        rows.append(f"{second},{33.0 + (stands - 33.0) * risen + quiet:.1f},{22.0 + 0.08 * noise.normal():.1f}")
    return "\n".join(rows) + "\n"


def outlet() -> str:
    """The air at the outlet over 40 min, a row every ten seconds: with a blanket fitted, and with nothing."""
    noise = Noise(51)
    rows = ["time [s],blanket [°C],nothing [°C]"]
    for second in range(0, 2401, 10):
        # The control swings a little about its level, slower with a blanket.
        values = [
            22.0 + (stands - 22.0) * (1.0 - math.exp(-second / warm))
            + (0.25 * math.sin(2.0 * math.pi * second / swing) if second < 2400 else 0.0)
            + (0.04 * noise.normal() if second < 2400 else 0.0)
            for (_, stands), warm, swing in zip(OUTLETS, (170.0, 130.0), (240.0, 180.0), strict=True)
        ]  # fmt: skip
        rows.append(f"{second},{values[0]:.1f},{values[1]:.1f}")
    return "\n".join(rows) + "\n"


def cut_out() -> str:
    """The air while warm air was led to the inlet, a row a second about the cut-out; its lamp, and the heater."""
    noise = Noise(52)
    rows = ["time [s],air [°C],lamp of the cut-out,heater"]
    trip, off = 300, 306
    for second in range(241):
        at = second + 180
        air = 52.1 + (at - trip) * 0.0125 if at <= off else 52.2 - 7.5 * (1.0 - math.exp(-(at - off) / 40.0))
        quiet = 0.0 if at == trip else 0.01 * noise.normal()
        lamp, heater = ("lit" if at >= trip else "dark"), ("on" if at < off else "off")
        rows.append(f"{second},{air + quiet:.2f},{lamp},{heater}")
    return "\n".join(rows) + "\n"


def files() -> dict[str, str]:
    """Every log by its file name."""
    return {f"spot-{run}.csv": spot(run, stands) for run, stands in SPOTS} | {
        "outlet.csv": outlet(),
        "cut-out.csv": cut_out(),
    }


def main(root: Path) -> None:
    """Write every log below the repository's root."""
    (root / FOLDER).mkdir(parents=True, exist_ok=True)
    for name, text in files().items():
        (root / FOLDER / name).write_bytes(text.encode())


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path())
