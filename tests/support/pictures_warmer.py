"""Pictures of the warming case: the theatre, the warmer, its lamps, the end of the hose, the wrapper, both benches."""

from __future__ import annotations

from collections.abc import Callable

from tests.support.drawing import (
    BAG,
    BLACK,
    CASE,
    CASE_DARK,
    CLOTH,
    CLOTH_DARK,
    GREY,
    INK,
    LIT,
    MID,
    SHADE,
    STEEL,
    STEEL_DARK,
    UNLIT,
    WHITE,
    Board,
    Point,
)  # fmt: skip

FOLDER = "cases/warmer-calf/evidence/photographs"
HOSE, HOSE_RIB, SIMULANT = "#cfd6d8", "#9aa6aa", "#e3cdb4"
LAMPS = ("standby", "low", "medium", "high")


def hose(b: Board, points: list[Point], width: float) -> None:
    """A ribbed hose along a curve."""
    b.curve(points, HOSE, width, INK)
    b.curve(points, "#dde3e4", width * 0.45)


def warmer(b: Board, x: float, y: float, s: float) -> None:
    """The unit: cabinet, four lamps, outlet with the label of a blanket, feet. (x, y) is its top left."""
    b.box(x, y, 330 * s, 260 * s, CASE, INK, 22 * s, 3)
    b.box(x + 24 * s, y + 26 * s, 190 * s, 84 * s, CASE_DARK, INK, 10 * s)
    for i, name in enumerate(LAMPS):
        b.disc(x + (50 + i * 46) * s, y + 54 * s, 9 * s, fill=LIT if name == "high" else UNLIT, ink=MID, width=1.5)
        b.text(x + (50 + i * 46) * s, y + 88 * s, name, 12 * s, INK, "mm")
    b.disc(x + 262 * s, y + 178 * s, 46 * s, fill=CASE_DARK, ink=INK)
    b.disc(x + 262 * s, y + 178 * s, 36 * s, fill=BLACK, ink=INK)
    b.box(x + 40 * s, y + 142 * s, 136 * s, 84 * s, WHITE, MID, 6 * s)
    b.shape([(x + (56 + dx) * s, y + (158 + dy) * s) for dx, dy in ((0, 0), (78, 0), (92, 50), (12, 50))], BAG, MID)
    for i in range(4):
        b.disc(x + (80 + i * 16) * s, y + 184 * s, 3 * s, fill=MID, ink=None)
    for dx in (40, 270):
        b.box(x + dx * s, y + 260 * s, 24 * s, 14 * s, BLACK, INK, 4 * s)


def theatre_overall(b: Board) -> None:
    """The theatre at the end of the operation: table, drape taken off, warmer and hose, bipolar generator."""
    b.ground(640)
    b.box(360, 360, 640, 46, STEEL, STEEL_DARK, 10, 3)
    b.box(640, 406, 60, 220, STEEL_DARK, INK, 6)
    b.box(540, 618, 260, 26, STEEL_DARK, INK, 8)
    b.box(372, 322, 616, 42, CLOTH, CLOTH_DARK, 16, 2)
    b.text(880, 300, "foot end", 20, MID, "mm")
    b.shape([(420, 640), (560, 560), (610, 650), (470, 690)], CLOTH_DARK, INK, 2)
    b.text(520, 720, "drape, taken off", 20, MID, "mm")
    warmer(b, 60, 400, 0.85)
    hose(b, [(283, 551), (350, 500), (390, 300), (560, 250), (720, 290), (760, 318)], 30)
    b.disc(762, 316, 17, 21, BLACK, INK)
    b.box(1040, 430, 120, 190, SHADE, MID, 6)
    b.box(1030, 380, 140, 66, CASE_DARK, INK, 8)
    b.text(1100, 412, "30 W", 26, INK, "mm")
    b.text(1100, 470, "bipolar", 18, MID, "mm")


def warmer_front(b: Board) -> None:
    """The front of the warmer as found: lamps, outlet with its hose, the label that shows a blanket."""
    b.ground(690)
    warmer(b, 230, 90, 2.2)
    hose(b, [(806, 482), (940, 560), (1060, 640), (1240, 600)], 84)


def hose_end(b: Board) -> None:
    """The open end of the hose beside the place of the calf as the nurse showed it, with a rule, from above."""
    b.ground(0, CLOTH)
    b.shape([(690, -10), (1210, -10), (1210, 810), (760, 810), (700, 520), (682, 260)], "#dfe6e4", CLOTH_DARK, 3)
    b.text(960, 250, "place of the left calf,", 28, MID, "mm")
    b.text(960, 290, "as shown", 28, MID, "mm")
    b.line([(690, 340), (690, 460)], INK, 3)
    hose(b, [(-60, 480), (160, 420), (360, 402), (484, 400)], 168)
    for i in range(9):
        b.line([(70 + i * 55, 330 + 60 / (i + 2)), (70 + i * 55, 492 + 60 / (i + 2))], HOSE_RIB, 4)
    b.disc(570, 400, 34, 92, BLACK, INK, 4)
    b.disc(572, 400, 22, 70, "#1d1d1c", GREY, 2)
    per_cm = 60.0
    b.scale(570, 590, per_cm, 5)
    b.line([(570, 500), (570, 570)], MID, 2)
    b.line([(690, 470), (690, 570)], MID, 2)
    b.text(300, 190, "no blanket, nothing that spreads the air", 26, INK, "mm")
    b.line([(420, 212), (548, 330)], MID, 2)
    b.tag(60, 640, ["item I-2", "2026-03-30 10:39"], 300, 22)


def setting_lamp(b: Board) -> None:
    """The lamps of the warmer, close: high lit."""
    b.box(-20, -20, 1240, 840, CASE, None)
    b.box(90, 130, 1020, 420, CASE_DARK, INK, 30, 4)
    for i, name in enumerate(LAMPS):
        x = 220 + i * 255
        lit = name == "high"
        if lit:
            b.disc(x, 290, 74, fill="#f6d9a8", ink=None)
        b.disc(x, 290, 44, fill=LIT if lit else UNLIT, ink=INK, width=3)
        b.text(x, 410, name, 40, INK, "mm")
        b.box(x - 50, 450, 100, 56, CASE, MID, 12, 2)
    b.text(600, 640, "temperature of the air", 34, MID, "mm")


def wrapper(b: Board) -> None:
    """The torn wrapper of the blanket with its label."""
    b.ground(0)
    torn = [(120, 90), (420, 70), (560, 110), (700, 60), (1080, 100), (1100, 700), (640, 730), (100, 690)]
    b.shape(torn, BAG, MID, 3)
    b.line([(560, 112), (600, 210), (570, 300)], MID, 3)
    b.box(200, 320, 800, 320, WHITE, INK, 12, 2)
    for i, words in enumerate(("Blanket for the lower body", "single use", "LOT  W-5512")):
        b.text(240, 375 + i * 58, words, 38 if i != 1 else 30)
    b.box(240, 540, 720, 70, SHADE, MID, 8, 2)
    b.text(600, 575, "for the warmer FW-1 and its hose", 32, INK, "mm")
    b.scale(760, 270, 40)


def logger(b: Board, x: float, y: float, shown: str, word: str) -> None:
    """The logging thermometer."""
    b.box(x, y, 250, 170, BLACK, INK, 16, 3)
    b.text(x + 125, y + 70, shown, 66, LIT, "mm")
    b.text(x + 125, y + 132, word, 24, "#b7bdbb", "mm")


def spot_bench(b: Board) -> None:
    """The bench of the spot: the hose of the event in a clamp, 2 cm from a skin simulant, a thin probe, the logger."""
    b.ground(600)
    b.box(610, 560, 420, 44, STEEL, STEEL_DARK, 6)
    b.box(640, 300, 120, 262, SIMULANT, INK, 14, 3)
    b.text(700, 590, "skin simulant", 22, INK, "mm")
    hose(b, [(-40, 330), (180, 410), (360, 432), (488, 432)], 112)
    b.disc(543, 432, 24, 62, BLACK, INK, 3)
    b.box(330, 500, 40, 104, STEEL_DARK, INK, 4)
    b.box(300, 480, 100, 24, STEEL_DARK, INK, 4)
    b.line([(545, 250), (545, 350)], MID, 2)
    b.line([(640, 250), (640, 296)], MID, 2)
    b.line([(545, 262), (640, 262)], INK, 2)
    b.text(592, 238, "2 cm", 28, INK, "mm")
    b.curve([(644, 432), (600, 350), (720, 200), (900, 190)], GREY, 5)
    logger(b, 880, 150, "48.9", "spot, °C")
    b.tag(70, 60, ["item I-2, as found", "set high, no blanket", "130 min"], 330, 22)
    b.scale(140, 740, 48)


def cut_out_bench(b: Board) -> None:
    """The bench of the cut-out: warm air led to the inlet of the closed unit, the probe in the end of its hose."""
    b.ground(620)
    warmer(b, 360, 320, 1.05)
    hose(b, [(635, 507), (760, 540), (880, 480), (930, 420)], 60)
    hose(b, [(-40, 480), (120, 470), (240, 500), (362, 520)], 80)
    b.text(170, 410, "warm air to the inlet", 26, INK, "mm")
    b.curve([(930, 420), (990, 360), (960, 300), (980, 250)], GREY, 5)
    logger(b, 880, 80, "52.1", "air, °C")
    b.text(1010, 46, "as the cut-out acted", 24, MID, "mm")
    b.tag(80, 80, ["item I-1", "case closed", "2026-04-05 12:40"], 300, 22)


PICTURES: dict[str, Callable[[Board], None]] = {
    "theatre-overall": theatre_overall,
    "warmer-front": warmer_front,
    "hose-end": hose_end,
    "setting-lamp": setting_lamp,
    "wrapper": wrapper,
    "spot-bench": spot_bench,
    "cut-out-bench": cut_out_bench,
}
