"""Pictures of the powered-bed case: the corridor, the rail, the hand control with the trolley, the plug, the bench."""

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
    MARK,
    MID,
    STEEL,
    STEEL_DARK,
    WHITE,
    Board,
)  # fmt: skip

FOLDER = "cases/bed-moved/evidence/photographs"
RAIL, SHELL, LINEN, CABLE, CRUST = "#cdd6da", "#e3e5e0", "#f6f3ea", "#5a6166", "#c7b27c"
KEYS = ("up", "down", "back +", "back -", "knee +", "knee -")


def control(b: Board, x: float, y: float, s: float) -> None:
    """The hand control, 190 by 330 at size 1, keys outwards, with the hook at its back."""
    b.box(x + 60 * s, y - 26 * s, 70 * s, 40 * s, STEEL_DARK, INK, 8 * s)
    b.box(x, y, 190 * s, 330 * s, SHELL, INK, 26 * s, 2.5)
    for n, words in enumerate(KEYS):
        row, at = divmod(n, 2)
        kx, ky = x + (20 + at * 80) * s, y + (30 + row * 94) * s
        b.box(kx, ky, 70 * s, 76 * s, "#c7d3cf" if n else "#e7c9a0", INK, 12 * s, 2)
        b.text(kx + 35 * s, ky + 38 * s, words, 19 * s, INK, "mm")


def trolley(b: Board, x: float, y: float, s: float) -> None:
    """The linen trolley, 360 by 420 at size 1; its left upper edge is at (x, y)."""
    b.box(x, y, 360 * s, 18 * s, STEEL, STEEL_DARK, 3)
    b.box(x + 14 * s, y + 18 * s, 332 * s, 330 * s, LINEN, FAINT, 20 * s)
    for n in range(5):
        b.curve(
            [
                (x + 30 * s, y + (60 + n * 56) * s),
                (x + 180 * s, y + (78 + n * 56) * s),
                (x + 330 * s, y + (58 + n * 56) * s),
            ],
            "#d9d3c3",
            3,
        )
    for dx in (40, 320):
        b.box(x + (dx - 6) * s, y + 348 * s, 12 * s, 44 * s, STEEL, STEEL_DARK)
        b.disc(x + dx * s, y + 406 * s, 18 * s, fill=BLACK)


def corridor(b: Board) -> None:
    """The corridor: the bed with its rail, the hand control on it, the linen trolley against it."""
    b.ground(610)
    b.line([(0, 560), (1200, 560)], FAINT, 5)
    b.box(90, 250, 30, 300, RAIL, STEEL_DARK, 10)
    b.box(700, 300, 26, 250, RAIL, STEEL_DARK, 10)
    b.box(120, 430, 590, 46, CLOTH, CLOTH_DARK, 14)
    b.box(120, 380, 590, 54, LINEN, FAINT, 22)
    b.box(140, 352, 130, 40, WHITE, FAINT, 18)
    b.box(110, 476, 620, 26, STEEL, STEEL_DARK, 6)
    b.shape([(240, 502), (280, 502), (520, 640), (480, 640)], STEEL_DARK)
    b.shape([(560, 502), (600, 502), (330, 640), (290, 640)], STEEL_DARK)
    b.box(160, 640, 520, 22, STEEL, STEEL_DARK, 6)
    for x in (190, 650):
        b.disc(x, 684, 20, fill=BLACK)
    for x in (330, 420, 510, 600):
        b.box(x, 340, 10, 100, RAIL, STEEL_DARK, 3)
    b.box(310, 330, 330, 16, RAIL, STEEL_DARK, 8)
    control(b, 566, 348, 0.34)
    trolley(b, 634, 366, 0.8)
    b.curve([(600, 458), (560, 540), (470, 490)], CABLE, 5)
    b.curve([(150, 500), (70, 600), (20, 520), (16, 470)], BLACK, 5)
    b.box(0, 420, 34, 52, WHITE, MID, 5)
    b.text(790, 336, "linen trolley", 20, MID, "mm")
    b.text(440, 300, "rail with the hand control", 20, MID, "mm")


def rail(b: Board) -> None:
    """The side rail with the hand control and the attendant's lock at the foot end, off."""
    b.box(60, 150, 760, 34, RAIL, STEEL_DARK, 16, 3)
    for x in (110, 300, 490, 680):
        b.box(x, 184, 26, 430, RAIL, STEEL_DARK, 6)
    b.box(60, 600, 760, 34, RAIL, STEEL_DARK, 16, 3)
    control(b, 380, 200, 1.0)
    b.curve([(475, 530), (470, 640), (560, 720), (760, 730), (900, 640)], CABLE, 16, INK)
    for x in (180, 236):
        b.line([(x, 628), (x + 40, 633)], "#8f7a66", 4)
    b.text(230, 664, "scuffed", 20, MID, "mm")
    b.box(880, 140, 270, 300, CASE, INK, 18, 3)
    b.text(1015, 176, "attendant", 24, INK, "mm")
    for n, words in enumerate(("height", "back", "knee")):
        y = 230 + n * 68
        b.text(905, y, words, 22, INK)
        b.box(1020, y - 20, 104, 40, CASE_DARK, INK, 20)
        b.disc(1042, y, 18, fill=WHITE)
        b.text(1086, y, "off", 18, INK, "mm")


def against_key(b: Board) -> None:
    """The hand control, the edge of the trolley against the key that raises the bed, a rule."""
    b.box(-20, 60, 420, 40, RAIL, STEEL_DARK, 16, 3)
    b.box(-20, 660, 420, 40, RAIL, STEEL_DARK, 16, 3)
    b.box(100, 100, 34, 560, RAIL, STEEL_DARK, 6)
    b.box(150, 110, 80, 520, STEEL_DARK, INK, 10)
    b.box(196, 100, 150, 540, SHELL, INK, 34, 3)
    for n, words in enumerate(("up", "back +", "knee +")):
        b.box(340, 150 + n * 160, 34, 116, "#e7c9a0" if n == 0 else "#c7d3cf", INK, 10, 2.5)
        b.text(270, 208 + n * 160, words, 26, MID, "mm")
    b.box(374, 180, 830, 44, STEEL, STEEL_DARK, 6, 3)
    b.box(400, 224, 800, 420, LINEN, FAINT, 30)
    for n in range(5):
        b.curve([(430, 290 + n * 70), (760, 320 + n * 70), (1180, 286 + n * 70)], "#d9d3c3", 4)
    b.text(780, 202, "edge of the trolley", 24, INK, "mm")
    b.disc(372, 204, 62, ink=MARK, width=4)
    b.scale(520, 740, 60, 5)


def plug(b: Board) -> None:
    """The plug of the hand control, not unmated, dried residue at the seam; the capped connector beside it."""
    b.box(-20, -20, 1240, 560, CASE, None)
    b.text(340, 70, "hand control", 28, INK, "mm")
    b.text(860, 70, "second panel", 28, INK, "mm")
    b.box(190, 120, 300, 190, BLACK, INK, 22, 3)
    b.box(220, 180, 240, 270, GREY, INK, 26, 3)
    for n in range(4):
        b.line([(256 + n * 42, 230), (256 + n * 42, 420)], "#6b6d6c", 6)
    b.curve([(214, 304), (262, 318), (320, 308), (380, 322), (440, 309), (468, 314)], CRUST, 13)
    b.curve([(300, 318), (306, 352), (300, 380)], CRUST, 9)
    b.curve([(392, 320), (398, 346)], CRUST, 7)
    b.line([(520, 322), (478, 314)], MID, 2)
    b.text(528, 326, "dried residue", 22, MID, "lm")
    b.curve([(340, 450), (338, 560), (280, 690), (90, 810)], CABLE, 40, INK)
    b.box(740, 120, 240, 190, BLACK, INK, 22, 3)
    b.disc(860, 215, 72, fill="#8b3f34", width=3)
    b.text(860, 215, "cap", 26, WHITE, "mm")
    b.scale(560, 640, 60, 5)
    b.tag(920, 560, ("I-2", "plug left mated"), 240)


def bench(b: Board) -> None:
    """The resistor box on the exemplar: at 21.5 kohm the second bed moves."""
    b.ground(600)
    b.shadow(340, 600, 260, 14)
    b.box(100, 330, 480, 260, CASE, INK, 18, 3)
    b.text(340, 368, "resistance, kohm", 24, INK, "mm")
    for n, digit in enumerate("0215"):
        b.disc(168 + n * 114, 470, 44, fill=GREY, width=3)
        b.box(142 + n * 114, 392, 52, 36, WHITE, MID, 4)
        b.text(168 + n * 114, 410, digit, 30, INK, "mm")
    b.text(168 + 2.5 * 114, 414, ".", 34, INK, "mm")
    b.curve([(560, 520), (660, 590), (740, 540), (800, 520)], "#a33f3f", 8)
    b.curve([(560, 550), (670, 640), (760, 580), (800, 550)], BLACK, 8)
    b.box(800, 440, 260, 160, CASE_DARK, INK, 12, 3)
    b.text(930, 480, "second bed", 24, INK, "mm")
    b.box(840, 510, 180, 60, GLASS, INK, 6)
    b.text(930, 540, "moves", 32, LIT, "mm")
    b.tag(790, 640, ("I-5", "exemplar, not the bed of the event"), 380)


PICTURES: dict[str, Callable[[Board], None]] = {
    "corridor": corridor,
    "rail-and-lock": rail,
    "trolley-against-key": against_key,
    "plug-residue": plug,
    "bench-resistor-box": bench,
}
