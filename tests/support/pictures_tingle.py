"""Pictures of the isolated-power case: room, warmer, plate, panel, cord, and the map of the sockets."""

from __future__ import annotations

from collections.abc import Callable

from tests.support.drawing import (
    BLACK,
    CASE,
    CASE_DARK,
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

FOLDER = "cases/tingle-isolated-room/evidence/photographs"
GREEN, SHEET, TIDE, CORD, BARE = "#6fa987", "#eef1ee", "#b79a5b", "#4a4d50", "#d5dadb"
DEVICES = (
    "monitor", "pump", "pump", "suction", "ultrasound", "WARMER", "blanket", "lamp", "bed", "screen"
)  # fmt: skip
"""What stood in sockets 1 to 10."""


def outlet(b: Board, x: float, y: float, s: float, number: str, plug: bool) -> None:
    """One outlet of the isolated supply, three slots, with or without a plug. `s` scales 80 by 96 points."""
    b.box(x, y, 80 * s, 96 * s, WHITE, MID, 8 * s, 2)
    if plug:
        b.disc(x + 40 * s, y + 50 * s, 27 * s, fill=BLACK)
    else:
        for dx in (24, 50):
            b.box(x + dx * s, y + 30 * s, 6 * s, 22 * s, INK, None)
        b.disc(x + 40 * s, y + 70 * s, 7 * s, fill=INK)
    if s > 1.0:
        b.text(x + 40 * s, y + 13 * s, number, 17 * s, MID, "mm")


def warmer(b: Board, x: float, y: float, s: float, shown: str = "41", lit: bool = True) -> None:
    """The warmer from the front, 240 by 300 at size 1."""
    b.box(x, y, 240 * s, 300 * s, CASE, INK, 16 * s, 2)
    b.box(x + 24 * s, y + 24 * s, 192 * s, 90 * s, GLASS, INK, 8 * s)
    b.text(x + 104 * s, y + 70 * s, shown if lit else "", 60 * s, LIT, "mm")
    b.text(x + 176 * s, y + 76 * s, "°C" if lit else "", 30 * s, LIT, "mm")
    for n in range(3):
        b.disc(x + (50 + n * 70) * s, y + 150 * s, 17 * s, fill=GREY)
    b.box(x + 24 * s, y + 190 * s, 192 * s, 86 * s, CASE_DARK, MID, 10 * s)
    for n in range(5):
        b.line([(x + 40 * s, y + (204 + n * 14) * s), (x + 200 * s, y + (204 + n * 14) * s)], SHEET, 3 * s)


def pole(b: Board, x: float, top: float, foot: float, width: float = 16) -> None:
    """A pole of bare steel with a hook, brighter at the height of a hand."""
    b.box(x - width / 2, top, width, foot - top, STEEL, STEEL_DARK, 4)
    b.curve([(x, top + 4), (x + 50, top - 16), (x + 70, top + 18)], STEEL_DARK, 7)
    b.disc(x, foot, 120, 20, STEEL_DARK)


def room(b: Board) -> None:
    """The room: bed with its arm board, warmer on its pole, ten outlets, the panel on the wall."""
    b.ground(590)
    for n in range(10):
        outlet(b, 560 + n * 62, 330, 0.62, str(n + 1), True)
    b.box(930, 90, 200, 160, CASE, INK, 10)
    b.box(956, 118, 148, 54, GLASS, INK, 6)
    b.text(1030, 145, "2.1 mA", 32, LIT, "mm")
    b.disc(976, 212, 13, fill=GREEN)
    b.disc(1026, 212, 13, fill=UNLIT)
    for n in range(4):
        b.line([(1060 + n * 12, 198), (1060 + n * 12, 226)], MID, 4)
    b.text(1030, 272, "line-isolation monitor", 17, MID, "mm")
    b.shape([(60, 440), (520, 440), (540, 530), (40, 530)], CLOTH, CLOTH_DARK)
    b.box(86, 400, 130, 40, SHEET, MID, 16)
    for x in (90, 470):
        b.box(x, 530, 16, 130, STEEL, STEEL_DARK)
    b.shape([(330, 440), (560, 404), (566, 424), (340, 466)], "#cfd6da", STEEL_DARK)
    b.text(455, 396, "arm board", 16, MID, "mm")
    pole(b, 640, 120, 690)
    warmer(b, 584, 440, 0.46)
    b.curve([(640, 578), (760, 650), (890, 560), (892, 366)], CORD, 7)
    b.box(680, 150, 46, 76, "#dfeaec", "#9bb7bf", 12)
    for x in (584, 712, 956, 1084):
        b.line([(x, 366), (x, 560)], CORD, 4)
    b.text(960, 640, "cord of the warmer: socket 6", 18, MID, "mm")


def warmer_front(b: Board) -> None:
    """The warmer on its pole, with the clamp and its metal screw."""
    b.ground(720)
    b.box(566, -20, 68, 780, STEEL, STEEL_DARK, 4)
    b.box(572, -20, 14, 320, BARE, None)
    b.text(690, 110, "bright at the height of a hand", 22, MID, "lm")
    b.line([(678, 110), (606, 130)], MID, 2)
    warmer(b, 420, 240, 1.5)
    b.box(545, 196, 110, 60, STEEL_DARK, INK, 8, 3)
    b.screw(600, 226, 0.4)
    b.text(690, 222, "clamp", 22, MID, "lm")
    b.line([(684, 222), (658, 224)], MID, 2)
    b.tag(60, 560, ("I-1", "pole and warmer", "seal 92511"), 260)


def plate(b: Board) -> None:
    """The heater's plate, its hard seal, the tide line below it, a rule."""
    b.box(120, 110, 960, 520, CASE, INK, 26, 3)
    b.box(200, 170, 800, 340, STEEL, INK, 20, 3)
    for n in range(7):
        b.line([(240, 206 + n * 44), (960, 206 + n * 44)], STEEL_DARK, 3)
    b.box(186, 156, 828, 368, None, BLACK, 28, 12)
    for x in (330, 420, 505, 640):
        b.line([(x, 512), (x + 12, 531)], WHITE, 3)
    b.curve([(250, 556), (370, 584), (520, 572), (660, 592), (780, 568)], TIDE, 8)
    b.curve([(270, 574), (390, 600), (530, 590), (650, 606), (760, 586)], "#cdb783", 4)
    b.text(820, 586, "tide line", 22, MID, "lm")
    b.text(560, 140, "seal, hard, with fine cracks", 22, MID, "mm")
    b.scale(180, 720, 60, 5)


def display(b: Board) -> None:
    """The warmer's display, close: 41 °C set."""
    b.box(-20, -20, 1240, 840, CASE, None)
    b.box(140, 120, 920, 420, GLASS, INK, 30, 4)
    b.text(510, 330, "41", 260, LIT, "mm")
    b.text(850, 370, "°C", 130, LIT, "mm")
    b.text(600, 180, "set", 40, "#b7bdbb", "mm")
    for n, word in enumerate(("-", "+", "on / off")):
        b.disc(330 + n * 270, 660, 62, fill=GREY, width=3)
        b.text(330 + n * 270, 660, word, 44 if n < 2 else 24, WHITE, "mm")


def panel(b: Board) -> None:
    """The line-isolation monitor as found: 2.1 mA, lamp green, sound on."""
    b.box(160, 60, 880, 660, CASE, INK, 26, 4)
    b.text(600, 116, "TOTAL HAZARD CURRENT", 30, INK, "mm")
    b.box(250, 150, 700, 210, GLASS, INK, 16, 4)
    b.text(560, 256, "2.1", 170, LIT, "mm")
    b.text(800, 290, "mA", 70, LIT, "mm")
    b.disc(330, 470, 46, fill=GREEN, width=3)
    b.text(330, 545, "safe", 26, INK, "mm")
    b.disc(540, 470, 46, fill=UNLIT, width=3)
    b.text(540, 545, "hazard", 26, INK, "mm")
    for n in range(7):
        b.line([(690 + n * 22, 430), (690 + n * 22, 512)], MID, 8)
    b.text(756, 545, "sound on", 26, INK, "mm")
    b.disc(900, 470, 34, fill=GREY, width=3)
    b.text(900, 545, "test", 26, INK, "mm")
    for x, y in ((192, 92), (1008, 92), (192, 688), (1008, 688)):
        b.screw(x, y)
    b.box(430, 600, 340, 74, "#f7e6b0", MID, 6)
    b.text(600, 637, "seal 92520", 32, INK, "mm")


def strain_relief(b: Board) -> None:
    """The connector of the cord with its strain relief: jacket whole, a soft place."""
    b.ground(640)
    b.shadow(600, 512, 520, 16)
    b.box(90, 330, 290, 170, BLACK, INK, 22, 3)
    for y in (372, 415, 458):
        b.box(62, y - 12, 34, 24, "#c9a85c", INK, 3)
    b.shape([(380, 352), (640, 388), (640, 442), (380, 478)], "#57595c", INK, 3)
    for n in range(7):
        b.line([(412 + n * 32, 360 + n * 4), (412 + n * 32, 470 - n * 4)], INK, 4)
    b.curve([(638, 415), (720, 416), (790, 436), (900, 420), (1240, 428)], CORD, 46, INK)
    b.disc(706, 416, 50, 38, ink="#a3552f", width=3)
    b.text(706, 344, "soft place; jacket whole", 24, "#a3552f", "mm")
    b.scale(330, 600, 60, 5)
    b.tag(880, 560, ("I-2", "cord, connector end"), 270)


def socket_map(b: Board) -> None:
    """The map of the sockets, drawn on site with every plug still in."""
    b.text(60, 56, "Block room: sockets as found, plugs in", 30)
    b.text(60, 134, "circuit A", 20, MID)
    b.text(60, 408, "circuit B", 20, MID)
    for n, words in enumerate(DEVICES):
        row, at = divmod(n, 5)
        x, y = 70 + at * 218, 170 + row * 270
        mark = words == "WARMER"
        b.box(
            x - 14, y - 16, 196, 226, "#fbefe6" if mark else None, "#a3552f" if mark else FAINT, 10, 3 if mark else 1.5
        )
        b.text(x + 84, y + 48, str(n + 1), 50, INK, "mm")
        b.text(x + 84, y + 150, words.lower(), 23, INK, "mm")
    b.box(70, 700, 24, 24, "#fbefe6", "#a3552f", 4)
    b.text(108, 712, "device of the event; no strip and no adapter on any socket", 20, INK)


PICTURES: dict[str, Callable[[Board], None]] = {
    "room-overall": room,
    "warmer-front": warmer_front,
    "heater-plate": plate,
    "warmer-display": display,
    "monitor-panel": panel,
    "strain-relief": strain_relief,
    "socket-map": socket_map,
}
