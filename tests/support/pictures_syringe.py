"""Pictures of the syringe case: the bay, the pump with its syringe, the flange, the bench. All drawn, nothing seen."""

from __future__ import annotations

from collections.abc import Callable

from tests.support.drawing import (
    BLACK,
    CASE,
    CLOTH,
    CLOTH_DARK,
    FAINT,
    GLASS,
    GREY,
    INK,
    LIT,
    MID,
    STEEL,
    STEEL_DARK,
    UNLIT,
    WHITE,
    Board,
)  # fmt: skip

CLEAR, FLUID, RUBBER = "#eef3f3", "#cfe2ea", "#4a4a48"
LINE = "#d9e4e6"


def _small_pump(b: Board, x: float, y: float, shown: str, full: float) -> None:
    """A syringe pump from some way off; `full` is the share of the barrel still filled."""
    b.box(x, y, 190, 92, CASE, INK, 10, 2)
    b.box(x + 12, y + 10, 84, 32, GLASS, INK, 4, 1.5)
    b.text(x + 54, y + 27, shown, 20, LIT, "mm")
    b.box(x + 12, y + 56, 130, 22, CLEAR, MID, 5, 1.5)
    if full > 0:
        b.box(x + 13, y + 57, 128 * full, 20, FLUID, None, 4)
    b.box(x + 12 + 130 * full, y + 55, 8, 24, RUBBER, None, 2)
    b.box(x + 150, y + 60, 34, 14, STEEL, STEEL_DARK, 3, 1.5)


def bay_overall(b: Board) -> None:
    """The bay from its foot end: the bed, the pole with both pumps, a rule from the mattress to the syringe's tip."""
    b.ground(640)
    b.line([(0, 160), (1200, 160)], FAINT, 4)
    b.box(70, 300, 26, 370, STEEL, STEEL_DARK, 6)
    b.box(660, 380, 26, 290, STEEL, STEEL_DARK, 6)
    b.box(84, 440, 590, 70, CLOTH, CLOTH_DARK, 18, 2)
    b.hatch(90, 446, 578, 58, 26, CLOTH_DARK)
    b.box(100, 386, 150, 60, WHITE, MID, 24, 2)
    b.line([(900, 60), (900, 690)], STEEL_DARK, 14)
    for x in (820, 900, 980):
        b.disc(x, 700, 14, fill=BLACK)
    b.line([(820, 694), (980, 694)], STEEL_DARK, 10)
    _small_pump(b, 806, 96, "5.0", 0.08)
    _small_pump(b, 806, 246, "2.0", 0.62)
    b.curve([(818, 164), (760, 210), (720, 330), (560, 400), (420, 436)], LINE, 6, MID)
    b.curve([(818, 314), (770, 360), (700, 420), (600, 440)], LINE, 6, MID)
    b.line([(720, 440), (800, 440)], MID, 2)
    b.line([(720, 164), (806, 164)], MID, 2)
    b.line([(740, 164), (740, 440)], INK, 3)
    for y, way in ((164, 12), (440, -12)):
        b.line([(734, y + way), (740, y), (746, y + way)], INK, 3)
    b.box(690, 280, 100, 38, WHITE, MID, 6, 1.5)
    b.text(740, 299, "75 cm", 24, INK, "mm")
    b.box(1010, 300, 150, 96, WHITE, MID, 8, 2)
    b.text(1085, 330, "bay 6", 24, INK, "mm")
    b.box(1046, 352, 30, 30, "#e6e2d6", MID, 6, 1.5)
    b.curve([(1062, 368), (1010, 420), (960, 330), (990, 190), (996, 150)], BLACK, 6)
    b.box(893, 84, 14, 20, "#c9574a", None)
    b.text(1010, 92, "tape at the clamp", 18, MID)
    b.line([(1004, 92), (910, 94)], MID, 1.5)


def _driver(b: Board, x: float, y: float) -> None:
    """The holder of a pump: bed, slot for the flange, barrel clamp and pusher rail, at `x, y`."""
    b.box(x, y, 900, 250, "#c2c8c5", MID, 12, 3)


def pump_front(b: Board) -> None:
    """The front of the pump as found: display, syringe nearly empty, clamp of the barrel closed."""
    b.box(120, 120, 960, 600, CASE, INK, 26, 3)
    b.box(170, 160, 420, 170, GLASS, INK, 12, 3)
    b.text(320, 228, "5.0", 80, LIT, "mm")
    b.text(480, 252, "mL/h", 34, LIT, "mm")
    b.text(190, 306, "TOTAL 3.5 mL", 22, LIT)
    for i in range(6):
        b.box(640 + (i % 3) * 132, 170 + (i // 3) * 84, 110, 64, CASE, MID, 10, 2)
    for i, words in enumerate(("", "", "rate", "dose", "", "")):
        b.text(695 + (i % 3) * 132, 202 + (i // 3) * 84, words, 18, MID, "mm")
    _driver(b, 150, 400)
    b.box(230, 478, 470, 94, CLEAR, MID, 14, 3)
    b.box(232, 480, 38, 90, FLUID, None, 10)
    b.box(270, 481, 22, 88, RUBBER, INK, 4, 1.5)
    b.box(292, 510, 516, 30, "#dfe4e4", MID, 4, 2)
    b.shape([(230, 500), (196, 514), (196, 536), (230, 550)], CLEAR, MID, 2)
    b.curve([(198, 525), (150, 540), (90, 660), (60, 800)], LINE, 16, MID)
    for i in range(6):
        b.line([(276 + i * 80, 478), (276 + i * 80, 498)], MID, 2)
    b.box(400, 440, 90, 150, "#9aa3a1", INK, 12, 2.5)
    b.text(445, 612, "clamp", 20, INK, "mm")
    b.box(700, 452, 16, 146, CLEAR, MID, 4, 2.5)
    b.box(742, 436, 30, 178, "#7f8886", INK, 4, 2.5)
    b.text(757, 640, "slot", 20, INK, "mm")
    b.box(808, 480, 22, 90, "#dfe4e4", MID, 4, 2)
    b.box(830, 446, 120, 158, STEEL, STEEL_DARK, 10, 3)
    b.text(890, 525, "pusher", 20, INK, "mm")
    b.text(900, 695, "SP-50", 22, MID)


def flange_close(b: Board) -> None:
    """Close from above: the flange of the syringe stands in front of the slot of the driver, a rule beside it."""
    b.box(-10, 90, 1220, 620, "#c2c8c5", MID, 0, 2)
    b.box(-20, 250, 640, 300, CLEAR, MID, 0, 4)
    for i in range(8):
        b.line([(110 + i * 66, 252), (110 + i * 66, 300 if i % 2 else 322)], MID, 3)
    b.text(176, 348, "40", 30, MID, "mm")
    b.text(440, 348, "50 mL", 30, MID, "mm")
    b.box(620, 190, 44, 420, CLEAR, INK, 12, 3.5)
    b.text(642, 160, "flange", 28, INK, "mm")
    b.box(720, 140, 90, 520, "#7f8886", INK, 8, 3.5)
    b.box(748, 140, 34, 520, "#4d5553", INK, 2, 2.5)
    b.text(765, 118, "slot, empty", 28, INK, "mm")
    b.box(664, 345, 560, 110, "#dfe4e4", MID, 6, 3)
    b.line([(664, 640), (748, 640)], INK, 3)
    for x, way in ((664, 12), (748, -12)):
        b.line([(x + way, 632), (x, 640), (x + way, 648)], INK, 3)
    b.text(930, 642, "gap of about 8 mm", 26, INK, "mm")
    b.scale(340, 748, 96)


def display(b: Board) -> None:
    """The display, close."""
    b.box(-20, -20, 1240, 840, CASE, None)
    b.box(110, 110, 980, 520, GLASS, INK, 30, 4)
    b.text(480, 300, "5.0", 190, LIT, "mm")
    b.text(800, 340, "mL/h", 70, LIT, "mm")
    b.text(160, 500, "STOPPED", 36, LIT)
    b.text(560, 500, "TOTAL 3.5 mL", 36, LIT)
    b.text(160, 570, "SYRINGE 50 mL   LEVEL 2", 30, LIT)
    for i, words in enumerate(("mains", "battery", "alarm")):
        x = 260 + i * 300
        b.disc(x, 712, 16, fill=LIT if i == 0 else UNLIT)
        b.text(x + 34, 712, words, 28)


def line_clamp(b: Board) -> None:
    """The line with its clamp closed, and its connector: no valve along it."""
    b.ground(0)
    b.curve([(40, 120), (200, 260), (420, 250), (600, 380), (820, 430), (1000, 560), (1160, 700)], LINE, 22, MID)
    b.box(520, 320, 190, 110, WHITE, INK, 14, 3)
    b.box(596, 300, 38, 150, "#7fa0b8", INK, 6, 3)
    b.text(615, 478, "clamp, closed", 26, INK, "mm")
    b.box(60, 90, 76, 60, CLEAR, INK, 10, 3)
    b.text(100, 190, "to the syringe", 22, MID, "mm")
    b.box(1090, 640, 76, 66, CLEAR, INK, 10, 3)
    b.text(1010, 740, "to the forearm", 22, MID, "mm")
    b.tag(760, 120, ["item I-3", "line, 1.5 m", "lot L-2201", "as found, 10:44"], 320, 24)
    b.scale(80, 720, 50)


def syringe_left(b: Board) -> None:
    """The syringe at the bench, as received: 4.0 mL left, tip capped, with a scale."""
    b.ground(0)
    b.shadow(610, 468, 470, 24)
    b.box(200, 290, 760, 150, CLEAR, INK, 20, 3)
    b.box(203, 293, 58, 144, FLUID, None, 16)
    b.box(261, 292, 36, 146, RUBBER, INK, 6, 2)
    b.box(297, 340, 740, 50, "#dfe4e4", MID, 6, 2.5)
    b.shape([(200, 330), (150, 350), (150, 380), (200, 400)], CLEAR, INK, 3)
    b.box(112, 342, 42, 46, "#c9574a", INK, 6, 2)
    b.box(960, 220, 28, 290, CLEAR, INK, 8, 3)
    b.box(1037, 290, 28, 150, "#dfe4e4", INK, 6, 3)
    for i in range(26):
        x = 214 + i * 29.0
        b.line([(x, 292), (x, 336 if i % 5 == 0 else 314)], MID, 2)
        if i % 5 == 0:
            b.text(x, 272, str(i * 2), 22, INK, "mm")
    b.text(610, 250, "mL", 22, MID, "mm")
    b.tag(720, 570, ["item I-2", "syringe 50 mL", "lot S-7731", "not cleaned"], 300, 24)
    b.scale(120, 720, 58)
    b.line([(261, 470), (261, 540)], INK, 2)
    b.text(261, 562, "edge of the plunger: 4.0 mL", 24, INK, "mm")


def bench_gravity(b: Board) -> None:
    """The gravity trial: pump on its pole at the height found, the line to a covered vessel on the balance."""
    b.ground(650)
    b.line([(420, 40), (420, 700)], STEEL_DARK, 14)
    b.line([(340, 700), (500, 700)], STEEL_DARK, 12)
    _small_pump(b, 326, 80, "", 0.9)
    b.curve([(338, 146), (270, 260), (420, 470), (640, 520), (760, 430), (800, 428)], LINE, 7, MID)
    b.box(690, 560, 330, 92, CASE, INK, 12, 3)
    b.box(720, 590, 150, 40, GLASS, INK, 4, 2)
    b.text(795, 611, "4.2836 g", 22, LIT, "mm")
    b.box(730, 540, 200, 20, STEEL, STEEL_DARK, 4, 2)
    b.box(770, 420, 120, 120, CLEAR, MID, 6, 2.5)
    b.box(773, 490, 114, 48, FLUID, None, 4)
    b.box(762, 410, 136, 14, "#b9c6c8", INK, 4, 2)
    b.line([(180, 146), (330, 146)], MID, 2)
    b.line([(180, 428), (770, 428)], MID, 2)
    b.line([(220, 146), (220, 428)], INK, 3)
    for y, way in ((146, 12), (428, -12)):
        b.line([(214, y + way), (220, y), (226, y + way)], INK, 3)
    b.box(140, 268, 110, 40, WHITE, MID, 6, 1.5)
    b.text(195, 288, "75 cm", 24, INK, "mm")
    b.text(540, 100, "flange in front of its slot, as found", 24, INK)
    b.line([(534, 104), (480, 138)], MID, 2)
    b.text(1040, 470, "cover against", 22, MID)
    b.text(1040, 500, "evaporation", 22, MID)
    b.line([(1034, 480), (900, 418)], MID, 2)
    b.box(1060, 600, 110, 50, GREY, INK, 6, 2)
    b.curve([(1020, 620), (1040, 640), (1060, 625)], BLACK, 4)


PICTURES: dict[str, Callable[[Board], None]] = {
    "bay-overall": bay_overall,
    "pump-front": pump_front,
    "flange-in-front-of-slot": flange_close,
    "pump-display": display,
    "line-and-clamp": line_clamp,
    "syringe-as-received": syringe_left,
    "bench-gravity": bench_gravity,
}
"""Pictures of the case, by file name."""

FOLDER = "cases/syringe-emptied/evidence/photographs"
