"""Pictures of the case of the shock that did not come: the bay, the unit, cable and pads, the bench. All drawn."""

from __future__ import annotations

from collections.abc import Callable

from tests.support.drawing import (
    BAG,
    BLACK,
    CASE,
    CASE_DARK,
    CLOTH,
    CLOTH_DARK,
    FAINT,
    FOAM,
    GEL,
    GEL_WET,
    GLASS,
    GREY,
    INK,
    LIT,
    MARK,
    MID,
    PAPER,
    SHADE,
    STEEL,
    STEEL_DARK,
    UNLIT,
    WHITE,
    Board,
)  # fmt: skip

CORD, CORD_EDGE = "#5f6a72", "#3c444a"
TRACE = "#cfe3c4"


def _wave(b: Board, x: float, y: float, w: float, high: float, ink: str = TRACE) -> None:
    """A trace without order, as a screen shows it from some way off."""
    steps = (0, 14, -9, 18, -16, 6, 21, -19, -4, 13, -12, 17, -20, 9, 15, -14, 4, 19, -8, -17, 11, 2, -13, 16, -5, 8)
    pairs = [(x + w * n / (len(steps) - 1), y - high * s / 21) for n, s in enumerate(steps)]
    b.curve(pairs, ink, 2.5)


def _unit(b: Board, x: float, y: float, w: float, h: float, words: str) -> None:
    """The unit: a case with a handle, a screen, a dial and two keys."""
    b.box(x + w * 0.2, y - 42, w * 0.6, 54, CASE_DARK, INK, 22, 2)
    b.box(x + w * 0.25, y - 26, w * 0.5, 40, SHADE, None, 12)
    b.box(x, y, w, h, CASE, INK, 18, 2.5)
    b.box(x + w * 0.06, y + h * 0.1, w * 0.54, h * 0.56, GLASS, INK, 8, 2)
    _wave(b, x + w * 0.09, y + h * 0.3, w * 0.48, h * 0.1)
    b.text(x + w * 0.33, y + h * 0.54, words, w * 0.045, LIT, "mm")
    b.disc(x + w * 0.74, y + h * 0.26, w * 0.075, fill=STEEL, ink=STEEL_DARK, width=2)
    b.line([(x + w * 0.74, y + h * 0.26), (x + w * 0.74, y + h * 0.26 - w * 0.06)], INK, 4)
    b.box(x + w * 0.66, y + h * 0.5, w * 0.16, h * 0.12, "#e3c45c", INK, 6, 2)
    b.disc(x + w * 0.74, y + h * 0.8, w * 0.05, fill=MARK, ink=INK, width=2)
    b.disc(x + w * 0.89, y + h * 0.24, w * 0.018, fill=UNLIT, ink=INK, width=1.5)
    b.box(x + w * 0.06, y + h * 0.76, w * 0.3, h * 0.16, CASE_DARK, INK, 6, 2)


def bay_overall(b: Board) -> None:
    """The bay: the cart with the unit, the cable to the pouch on the bed, the charger's cord not plugged in."""
    b.ground(650)
    b.box(60, 430, 560, 76, CLOTH, CLOTH_DARK, 18, 2)
    b.hatch(66, 436, 548, 64, 26, CLOTH_DARK)
    for x in (74, 590):
        b.box(x, 330, 22, 350, STEEL, STEEL_DARK, 6)
    b.box(90, 376, 140, 56, WHITE, MID, 22, 2)
    b.box(780, 430, 330, 26, STEEL, STEEL_DARK, 6)
    b.box(800, 456, 290, 190, "#d3d7d3", INK, 10, 2)
    for y in (516, 580):
        b.line([(800, y), (1090, y)], MID, 2)
        b.box(920, y - 30, 50, 8, STEEL_DARK, None, 4)
    for x in (830, 1060):
        b.disc(x, 664, 16, fill=BLACK)
    _unit(b, 810, 246, 270, 180, "CHECK PADS")
    b.curve([(832, 400), (760, 430), (690, 560), (560, 610), (420, 560), (360, 470), (330, 430)], CORD, 9, CORD_EDGE)
    b.box(270, 404, 96, 30, BAG, MID, 6, 1.5)
    b.text(318, 420, "pads", 16, INK, "mm")
    b.curve([(1100, 440), (1150, 470), (1120, 520), (1150, 560), (1110, 590), (1142, 612)], BLACK, 7)
    b.box(1126, 606, 34, 24, BLACK, None, 4)
    b.box(1120, 190, 52, 52, WHITE, MID, 6, 2)
    for x in (1138, 1154):
        b.box(x - 3, 206, 6, 16, INK, None)
    b.text(1146, 262, "socket free", 18, MID, "mm")
    b.box(60, 70, 170, 96, WHITE, MID, 8, 2)
    b.text(145, 104, "resuscitation", 20, INK, "mm")
    b.text(145, 134, "bay", 20, INK, "mm")


def unit_front(b: Board) -> None:
    """The front of the unit as found, the plug of the therapy cable seated and latched in its port."""
    b.ground(690)
    _unit(b, 250, 190, 720, 470, "CHECK PADS")
    b.box(300, 556, 190, 62, "#2f3537", INK, 10, 2)
    b.box(318, 536, 150, 102, BLACK, INK, 16, 2)
    b.box(372, 526, 42, 16, MARK, INK, 4, 2)
    b.curve([(330, 590), (220, 610), (130, 560), (80, 640), (40, 720)], CORD, 24, CORD_EDGE)
    b.text(720, 630, "therapy port: latch closed", 20, MID, "mm")


def cable_end(b: Board) -> None:
    """The plug and the first twenty centimetres of the cable, beside a rule; the jacket is whole."""
    b.ground(150)
    b.box(90, 330, 170, 130, BLACK, INK, 18, 3)
    for y in (362, 428):
        b.box(52, y - 9, 46, 18, STEEL, STEEL_DARK, 4, 2)
    b.box(150, 306, 54, 30, MARK, INK, 6, 2)
    for n in range(7):
        b.box(258 + n * 13, 366 + n * 2, 9, 58 - n * 4, "#4d565c", INK, 3, 1.5)
    b.curve([(345, 396), (520, 398), (700, 404), (830, 436), (960, 440), (1230, 424)], CORD, 34, CORD_EDGE)
    b.scale(262, 590, 44, 20)
    b.line([(790, 470), (790, 552)], INK, 2.5)
    b.text(790, 500, "  12 cm", 22, INK)


def display(b: Board) -> None:
    """The display as found: energy 200 J, the lamp of the synchronised mode dark, and the words check pads."""
    b.box(70, 70, 1060, 640, CASE, INK, 22, 3)
    b.box(120, 120, 760, 480, GLASS, INK, 12, 3)
    _wave(b, 150, 250, 700, 40)
    b.text(150, 150, "PADS", 24, TRACE)
    b.text(850, 150, "04:05", 24, TRACE, "rm")
    b.text(500, 400, "CHECK PADS", 54, LIT, "mm")
    b.text(150, 538, "200 J", 46, LIT)
    b.text(850, 540, "BATTERY", 24, TRACE, "rm")
    b.box(640, 520, 86, 38, None, TRACE, 4, 3)
    b.box(726, 532, 8, 14, TRACE, None)
    b.box(646, 526, 26, 26, LIT, None)
    b.disc(1000, 190, 18, fill=UNLIT, ink=INK, width=2)
    b.text(1000, 228, "SYNC", 22, INK, "mm")
    b.box(930, 290, 140, 84, "#e3c45c", INK, 10, 3)
    b.disc(1000, 480, 62, fill=MARK, ink=INK, width=3)


def soft_place(b: Board) -> None:
    """The soft place: the cable hangs over two pegs and gives at 12 cm from the plug."""
    b.ground(640)
    for x in (250, 980):
        b.box(x - 14, 330, 28, 320, STEEL, STEEL_DARK, 6, 2)
        b.disc(x, 330, 24, fill=STEEL, ink=STEEL_DARK, width=2)
    b.box(60, 262, 130, 92, BLACK, INK, 14, 3)
    hung = [(180, 308), (250, 300), (400, 304), (540, 322), (604, 380), (668, 324), (800, 304), (980, 300), (1230, 330)]
    b.curve(hung, CORD, 36, CORD_EDGE)
    b.curve([(572, 366), (604, 402), (638, 366)], MARK, 3)
    b.line([(604, 420), (604, 520)], INK, 2)
    b.text(604, 546, "12 cm from the plug", 24, INK, "mm")
    b.scale(420, 610, 34, 11)
    b.text(604, 130, "lying on two pegs, not bent by hand", 22, MID, "mm")


def pads(b: Board) -> None:
    """Both pads beside their opened pouch; the gel of one is dry along one edge."""
    b.ground(90)
    b.box(60, 150, 330, 500, BAG, MID, 10, 2)
    b.shape([(60, 150), (90, 172), (130, 150), (180, 176), (240, 152), (300, 174), (390, 150), (390, 120), (60, 120)],
            PAPER, None)  # fmt: skip
    b.text(225, 352, "lot P-0931", 26, INK, "mm")
    b.text(225, 396, "use by 2026-11", 26, INK, "mm")
    for x in (450, 820):
        b.box(x, 190, 310, 400, FOAM, INK, 60, 2.5)
        b.box(x + 34, 224, 242, 332, GEL_WET, MID, 44, 2)
        b.curve([(x + 155, 590), (x + 150, 650), (x + 60, 700)], GREY, 8)
    b.box(1046, 236, 50, 308, GEL, MARK, 20, 2)
    b.hatch(1050, 250, 42, 280, 28, MARK)
    b.line([(1100, 390), (1150, 390)], INK, 2)
    b.text(1140, 362, "dry", 24, INK, "rm")
    b.scale(470, 750, 40, 5)
    b.tag(880, 640, ["I-3 pads, used", "not cleaned"], 250)


def bench_flexing(b: Board) -> None:
    """The flexing at the bench: the cable between two blocks, the meter in the picture, the count on a card."""
    b.ground(600)
    b.box(70, 210, 300, 210, "#e0c76a", INK, 16, 3)
    b.box(100, 240, 240, 90, TRACE, INK, 6, 2)
    b.text(220, 286, "over range", 38, INK, "mm")
    b.text(220, 376, "ohm, leads nulled", 22, INK, "mm")
    for x, ink in ((150, MARK), (290, BLACK)):
        b.curve([(x, 420), (x + 10, 500), (x + 180, 540), (520, 470)], ink, 6)
    for x in (500, 900):
        b.box(x, 430, 120, 170, "#c9b48c", INK, 6, 2)
        b.box(x - 8, 410, 136, 28, STEEL, STEEL_DARK, 6, 2)
        b.screw(x + 60, 424)
    b.curve([(470, 424), (560, 424), (640, 400), (752, 290), (860, 400), (960, 424), (1190, 430)], CORD, 30, CORD_EDGE)
    b.line([(752, 330), (752, 560)], FAINT, 3)
    b.text(752, 582, "12 cm", 24, INK, "mm")
    b.box(930, 110, 200, 150, WHITE, MID, 8, 2)
    b.text(1030, 160, "flex", 28, MID, "mm")
    b.text(1030, 212, "7 of 20", 44, INK, "mm")
    b.text(400, 690, "filmed; every flex counted; nothing cut", 24, MID, "mm")


FOLDER = "cases/no-shock/evidence/photographs"
PICTURES: dict[str, Callable[[Board], None]] = {
    "bay-overall": bay_overall,
    "unit-front": unit_front,
    "cable-end": cable_end,
    "display": display,
    "soft-place": soft_place,
    "pads-and-pouch": pads,
    "bench-flexing": bench_flexing,
}
"""Pictures of the case, by file name."""
