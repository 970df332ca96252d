"""Write the traced outlines of the return-pad case. Nothing was ever traced: the case is invented.

Run `python -m tests.support.series_return_pad` in the repository to write the file again: the bytes are the same.
"""

from __future__ import annotations

import math
import sys
from pathlib import Path

from tests.support.drawing import area
from tests.support.things import print_outline

FILE = "cases/return-pad-lesion/evidence/tracings/gel-outlines.csv"
WHOLE = ((1, 46.0), (2, 45.0), (3, 47.0))
"""Each outline and about how many square centimetres it enclosed when its squares were counted."""
EVERY = 6
"""One point of the drawn curve in so many: what a hand sets along an edge of 30 cm."""


def outlines() -> str:
    """Three outlines in millimetres on the film, to half a millimetre."""
    drawn = print_outline()
    rows = ["outline,x,y"]
    for number, counted in WHOLE:
        grow = math.sqrt(counted / area(drawn))
        for i, (x, y) in enumerate(drawn[:-1:EVERY]):
            # Each hand strays along the edge by its own slow wave, half a millimetre at most.
            stray = 0.05 * math.sin(0.7 * i + 2.1 * number)
            across, down = 5.0 + (x - 5.0) * grow + stray, 9.0 + (y - 9.0) * grow + stray / 2
            rows.append(f"{number},{round(across * 20) / 2:g},{round(down * 20) / 2:g}")
    return "\n".join(rows) + "\n"


def main(root: Path) -> None:
    """Write the file below the repository's root."""
    path = root / FILE
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(outlines(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path())
