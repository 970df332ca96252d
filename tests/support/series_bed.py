"""Write the log of the 59 trials of the powered-bed case. All of it is invented; nothing was ever logged.

Run `python -m tests.support.series_bed` in the repository to write it again: the bytes are the same.
"""

from __future__ import annotations

import sys
from pathlib import Path

from tests.support.series_incubator import Noise

FILE = "cases/bed-moved/evidence/logs/trials.csv"
TRIALS, EACH, FIRST = 59, 3, 10 * 60 + 5
"""Trials, minutes of each, and the minute of the day at which the first began."""


def rows() -> str:
    """One line a trial: its number, its start, how long, whether the bed moved, and the climate of the room."""
    noise = Noise(59)
    lines = ["trial,start,minutes,moved,temperature degC,humidity %"]
    for n in range(TRIALS):
        at = FIRST + EACH * n
        warm, damp = 23.0 + 0.12 * noise.normal(), 45.0 + 0.5 * noise.normal()
        lines.append(f"{n + 1},2026-05-08 {at // 60:02d}:{at % 60:02d},{EACH},no,{warm:.1f},{damp:.0f}")
    return "\n".join(lines) + "\n"


def main(root: Path) -> None:
    """Write the log below the repository's root."""
    (root / FILE).parent.mkdir(parents=True, exist_ok=True)
    (root / FILE).write_text(rows(), encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path())
