"""How wide a text will be, so that labels can be set beside each other without meeting.

The widths are the advance widths of Source Sans 3 at weight 400, in thousandths of the type size, read
from the font file that is shipped with the site (version 3.052). A label in another font is a little wider
or narrower; the room kept around labels covers that.
"""

from __future__ import annotations

from functools import lru_cache

_ASCII = (
    200, 289, 426, 497, 497, 824, 609, 249, 303, 303, 418, 497, 249, 311, 249, 350, 497, 497, 497, 497,
    497, 497, 497, 497, 497, 497, 249, 249, 497, 497, 497, 425, 847, 543, 588, 571, 615, 527, 494, 617,
    652, 263, 479, 579, 486, 727, 647, 664, 566, 664, 569, 534, 536, 645, 515, 786, 513, 476, 539, 303,
    350, 303, 497, 500, 542, 504, 553, 456, 555, 496, 292, 504, 544, 246, 247, 495, 255, 829, 547, 542,
    555, 555, 347, 419, 338, 544, 467, 719, 446, 467, 425, 303, 241, 303, 497,
)  # fmt: skip
_WIDTH = {chr(32 + i): width / 1000 for i, width in enumerate(_ASCII)}
_WIDTH.update({"\u00a0": 0.2, "\u2009": 0.2, "\u202f": 0.2, "Ω": 0.678, "·": 0.249, "°": 0.33, "…": 0.92, "—": 0.8})
_OTHER = 0.55
BOLD = 1.045
"""Weight 600 is about this much wider."""


@lru_cache(maxsize=1 << 14)
def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of one line of text set at ``size``, in the unit of ``size``."""
    width = _WIDTH
    total = sum([width.get(c, _OTHER) for c in text])
    return total * size * (BOLD if bold else 1.0)


def wrap(text: str, size: float, room: float) -> list[str]:
    """Break a text at spaces into lines no wider than ``room``; a single word that is wider stays whole."""
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if line and text_width(longer, size) > room:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line]


def spread(wanted: list[float], gap: float, low: float, high: float) -> list[float]:
    """Move places apart so that neighbours are at least ``gap`` apart and stay between ``low`` and ``high``.

    Order of the answer is the order of the question. Places that already have room stay where they are.
    Where there is not enough room for all, they are set evenly and overlap as little as can be.
    """
    if not wanted:
        return []
    order = sorted(range(len(wanted)), key=lambda i: (wanted[i], i))
    if gap * (len(wanted) - 1) > high - low:
        step = (high - low) / (len(wanted) - 1)
        return [low + order.index(i) * step for i in range(len(wanted))]
    # Groups that touch are merged and centred on the mean of what their members asked for.
    groups: list[tuple[list[int], float]] = []
    for i in order:
        members, centre = [i], wanted[i]
        while True:
            half = gap * (len(members) - 1) / 2
            centre = min(max(centre, low + half), high - half)
            if not groups:
                break
            before, middle = groups[-1]
            if centre - half - (middle + gap * (len(before) - 1) / 2) >= gap - 1e-9:
                break
            groups.pop()
            members = before + members
            centre = sum(wanted[m] - gap * k for k, m in enumerate(members)) / len(members)
            centre += gap * (len(members) - 1) / 2
        groups.append((members, centre))
    out = [0.0] * len(wanted)
    for members, centre in groups:
        top = centre - gap * (len(members) - 1) / 2
        for k, m in enumerate(members):
            out[m] = top + gap * k
    return out
