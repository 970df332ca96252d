"""Write the records of the case of two round lesions: activations, alarms, traced outlines.

All of it is invented; nothing was ever logged or traced. Run `python -m tests.support.series_monitor` in the repository
to write the files again: the bytes are the same.
"""

from __future__ import annotations

import sys
from pathlib import Path

from tests.support.pictures_monitor import wet_outline

FOLDER = "cases/monitor-electrodes/evidence/logs"
FIRST = 8 * 3600 + 31 * 60 + 5
"""08:31:05 by the generator's clock: the first activation."""
ACTIVATIONS = (
    # s after the first, s on, mode
    (0, 3, "cut"), (9, 2, "cut"), (31, 4, "coagulation"), (44, 3, "coagulation"), (240, 5, "coagulation"),
    (252, 4, "coagulation"), (530, 6, "coagulation"), (549, 3, "coagulation"), (905, 2, "cut"), (914, 4, "cut"),
    (1290, 7, "coagulation"), (1304, 5, "coagulation"), (1645, 4, "coagulation"), (1865, 12, "coagulation"),
    (1885, 16, "coagulation"), (1905, 12, "coagulation"), (2130, 6, "coagulation"), (2149, 4, "coagulation"),
    (2610, 3, "coagulation"), (2940, 5, "coagulation"), (2958, 3, "coagulation"),
)  # fmt: skip
"""The longest cluster: 12, 16 and 12 s from 09:02:10."""
ALARMS = (
    ("08:24:10", "leads joined", "", ""),
    ("08:31:06", "interference on the leads", "technical", "ended by itself after 3 s"),
    ("08:35:05", "interference on the leads", "technical", "ended by itself after 5 s"),
    ("09:02:11", "interference on the leads", "technical", "ended by itself after 53 s"),
    ("09:06:36", "interference on the leads", "technical", "ended by itself after 6 s"),
    ("10:09:40", "lead off", "technical", "silenced by key"),
)
MIDDLES = ((412.0, 388.0), (405.0, 396.0), (418.0, 391.0))
"""Where on the enlarged picture each of three hands had the middle of the arm's gel, in pixels."""
PER_CM = 260.0


def _clock(seconds: int) -> str:
    at = FIRST + seconds
    return f"{at // 3600:02d}:{at // 60 % 60:02d}:{at % 60:02d}"


def generator() -> str:
    """The generator's record, a row an activation."""
    rows = ["entry,clock,start [s],on [s],mode,setting [W]"]
    for number, (start, on, mode) in enumerate(ACTIVATIONS, start=1):
        rows.append(f"{number},{_clock(start)},{start},{on},{mode},{60 if mode == 'cut' else 80}")
    return "\n".join(rows) + "\n"


def alarms() -> str:
    """The monitor's history of the morning, a row an entry."""
    rows = ["entry,clock,what,kind,remark"]
    rows += [f"{number},{','.join(one)}" for number, one in enumerate(ALARMS, start=1)]
    return "\n".join(rows) + "\n"


def outlines() -> str:
    """Three outlines of the wet gel of the arm's electrode, in pixels of the picture."""
    rows = ["outline,x,y"]
    for number, (mx, my) in enumerate(MIDDLES, start=1):
        rows += [f"{number},{round(mx + PER_CM * x)},{round(my + PER_CM * y)}" for x, y in wet_outline(number - 1)]
    return "\n".join(rows) + "\n"


def main(root: Path) -> None:
    """Write every file below the repository's root."""
    folder = root / FOLDER
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in (("generator", generator()), ("alarms", alarms()), ("electrode-outlines", outlines())):
        (folder / f"{name}.csv").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path())
