"""Pictures of the incubator case: the place, the unit, its display, the connector with the green pin, the bath."""

from __future__ import annotations

from collections.abc import Callable

from tests.support.drawing import (
    BLACK,
    CASE,
    CASE_DARK,
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

FOLDER = "cases/incubator-probe/evidence/photographs"
HOOD, HOOD_EDGE, MATTRESS, LEAD = "#dfe8ea", "#a9bcc1", "#f6f1e6", "#4f7a78"
GREEN, GREEN_RIM, GOLD, BOOT, WATER = "#5f9a78", "#8fb8a0", "#c9a85c", "#d9e2e0", "#bcd6df"


def unit(b: Board, x: float, y: float, s: float, shown: str = "36.0", inside: bool = True) -> None:
    """The incubator: hood with two ports, mattress, panel, cabinet. `s` scales it, (x, y) is the hood's top left."""

    def box(
        dx: float, dy: float, w: float, h: float, fill: str, ink: str = INK, r: float = 8, width: float = 2
    ) -> None:
        b.box(x + dx * s, y + dy * s, w * s, h * s, fill, ink, r * s, width)

    b.shape(
        [(x + 30 * s, y), (x + 430 * s, y), (x + 460 * s, y + 200 * s), (x, y + 200 * s)], HOOD, HOOD_EDGE, 3
    )  # fmt: skip
    box(70, 168, 320, 22, MATTRESS, FAINT)
    if inside:
        b.curve([(x + 240 * s, y + 165 * s), (x + 330 * s, y + 120 * s), (x + 420 * s, y + 170 * s)], LEAD, 4 * s)
    for dx in (110, 270):
        b.disc(x + (dx + 40) * s, y + 110 * s, 46 * s, 40 * s, None, HOOD_EDGE, 4)
        b.disc(x + (dx + 40) * s, y + 110 * s, 38 * s, 32 * s, "#e9f0f1", HOOD_EDGE, 2)
    box(-10, 200, 480, 30, CASE_DARK)
    box(0, 230, 460, 150, CASE)
    box(24, 252, 190, 104, BLACK)
    b.text(x + 119 * s, y + 296 * s, shown, 46 * s, LIT, "mm")
    b.text(x + 119 * s, y + 336 * s, "skin °C", 17 * s, "#b7bdbb", "mm")
    box(240, 252, 90, 44, WHITE, MID, 4)
    b.text(x + 285 * s, y + 274 * s, "skin", 20 * s, INK, "mm")
    for i in range(3):
        b.disc(x + (260 + i * 32) * s, y + 330 * s, 9 * s, fill=LIT if i == 0 else UNLIT, ink=MID, width=1.5)
    b.disc(x + 405 * s, y + 290 * s, 24 * s, fill=GREY, ink=INK)
    b.disc(x + 405 * s, y + 290 * s, 12 * s, fill=BLACK, ink=MID)
    b.text(x + 405 * s, y + 332 * s, "probe", 17 * s, INK, "mm")
    box(50, 380, 360, 60, CASE_DARK)
    for dx in (70, 370):
        b.disc(x + dx * s, y + 458 * s, 18 * s, fill=BLACK, ink=MID)


def place_overall(b: Board) -> None:
    """The place in the ward: the incubator, the window with its blind down, the thermograph on the wall."""
    b.ground(640)
    b.box(70, 60, 300, 360, "#e7ecef", MID, 6, 3)
    for i in range(17):
        b.box(76, 66 + i * 20.5, 288, 17, "#cdd6d3", CASE_DARK, 2, 1)
    b.text(220, 445, "blind down", 22, MID, "mm")
    b.box(930, 90, 190, 120, WHITE, INK, 8, 2)
    b.line([(945, 160), (975, 158), (1005, 154), (1040, 155), (1075, 150), (1105, 150)], "#a3552f", 3)
    b.line([(945, 190), (1105, 190)], FAINT, 2)
    b.text(1025, 230, "thermograph", 20, MID, "mm")
    unit(b, 470, 200, 0.92)
    b.box(960, 420, 170, 110, "#e6e2d6", MID, 8, 2)
    b.disc(1005, 475, 26, fill=WHITE, ink=MID)
    b.disc(1085, 475, 26, fill=BLACK, ink=MID)
    b.curve([(885, 570), (1000, 610), (1085, 520), (1085, 490)], BLACK, 9)
    b.shadow(680, 648, 260, 14)


def incubator_front(b: Board) -> None:
    """The front of the incubator as found, the skin probe in its port."""
    b.ground(700)
    unit(b, 290, 60, 1.35)
    b.curve([(837, 452), (905, 560), (1010, 480), (1000, 300), (870, 290)], LEAD, 9, INK)
    b.box(955, 380, 66, 96, BOOT, INK, 16, 2)
    b.text(1040, 428, "connector", 22, MID)


def display(b: Board) -> None:
    """The display as found: skin control, set 36.0, shown 36.0, no lamp of alarm."""
    b.box(-20, -20, 1240, 840, CASE, None)
    b.box(120, 110, 960, 430, BLACK, INK, 26, 4)
    b.text(390, 180, "skin", 40, "#b7bdbb", "mm")
    b.text(830, 180, "set", 40, "#b7bdbb", "mm")
    b.text(390, 330, "36.0", 170, LIT, "mm")
    b.text(830, 330, "36.0", 120, LIT, "mm")
    b.text(390, 480, "°C", 40, "#b7bdbb", "mm")
    b.text(830, 480, "°C", 40, "#b7bdbb", "mm")
    for i, (words, lit) in enumerate((("skin control", True), ("air control", False), ("alarm", False))):
        b.disc(190 + i * 340, 650, 22, fill=LIT if lit else UNLIT, ink=MID)
        b.text(225 + i * 340, 650, words, 34, INK)


def connector(b: Board, x: float, y: float, s: float) -> None:
    """The mated connector with its clear boot slid back; two pins seen from behind, the lower one green."""
    b.curve([(x - 620 * s, y + 60 * s), (x - 250 * s, y + 10 * s), (x - 120 * s, y)], LEAD, 34 * s, INK)
    b.curve([(x + 620 * s, y - 50 * s), (x + 300 * s, y - 5 * s), (x + 190 * s, y)], LEAD, 34 * s, INK)
    b.box(x + 20 * s, y - 90 * s, 190 * s, 180 * s, "#6d7f86", INK, 22 * s, 3)
    for i in range(5):
        b.line([(x + (60 + i * 26) * s, y - 66 * s), (x + (60 + i * 26) * s, y + 66 * s)], "#5b6b71", 5 * s)
    b.box(x - 130 * s, y - 90 * s, 152 * s, 180 * s, BOOT, HOOD_EDGE, 18 * s, 3)
    for dy, body, rim in ((-42, GOLD, STEEL_DARK), (42, GREEN, GREEN_RIM)):
        b.box(x - 112 * s, y + (dy - 16) * s, 128 * s, 32 * s, body, rim, 10 * s, 3)
        b.line([(x - 92 * s, y + (dy - 6) * s), (x - 12 * s, y + (dy - 6) * s)], WHITE if dy < 0 else "#9cc7ad", 3 * s)
    for dx, dy, r in ((-96, 58, 9), (-60, 64, 6), (-24, 60, 11), (2, 66, 7), (-78, 30, 5)):
        b.disc(x + dx * s, y + dy * s, r * s, fill=GREEN_RIM, ink=None)
    b.line([(x - 122 * s, y + 74 * s), (x - 60 * s, y + 79 * s), (x + 8 * s, y + 75 * s)], GREEN_RIM, 4 * s)


def connector_pin(b: Board) -> None:
    """The mated connector at the place, its clear boot as it was, with a scale."""
    b.ground(0)
    connector(b, 590, 340, 1.5)
    b.scale(120, 720, 62)
    b.text(440, 140, "clean pin", 26, MID, "mm")
    b.line([(440, 160), (470, 262)], MID, 2)
    b.text(470, 590, "green pin, dry rim", 26, MID, "mm")
    b.line([(470, 570), (485, 452)], MID, 2)


def connector_measured(b: Board) -> None:
    """The connector at the bench, still mated, two fine prods on the back of the green pin's two halves."""
    b.ground(0)
    connector(b, 590, 330, 1.15)
    for x0, x1, ink in ((300, 500, "#a3552f"), (900, 812, BLACK)):
        b.line([(x0, 690), (x1 if x1 < 700 else 690, 400)], STEEL_DARK, 5)
        b.curve([(x0, 690), (x0 - 20, 740), (x0 + 60, 800)], ink, 18, INK)
    b.box(880, 70, 260, 150, BLACK, INK, 14, 3)
    b.text(1010, 132, "83.0", 64, LIT, "mm")
    b.text(1010, 188, "ohm", 24, "#b7bdbb", "mm")
    b.scale(420, 740, 50)
    b.tag(110, 80, ["item I-2", "mated, never parted", "2026-04-09 13:27"], 330, 22)


def bath_bench(b: Board) -> None:
    """The bath bench: stirred bath, reference and both probe tips side by side, the unit behind."""
    b.ground(560)
    unit(b, 720, 190, 0.8, "34.6", inside=False)
    b.box(110, 300, 440, 300, STEEL, INK, 18, 3)
    b.box(140, 330, 380, 190, WATER, STEEL_DARK, 8, 2)
    b.disc(330, 470, 40, 12, STEEL, STEEL_DARK)
    b.line([(330, 180), (330, 470)], STEEL_DARK, 8)
    b.line([(270, 210), (270, 450)], BLACK, 7)
    b.curve(
        [(286, 450), (290, 300), (420, 210), (632, 290), (690, 520), (880, 565), (1020, 500), (1044, 422)], LEAD, 7, INK
    )
    b.disc(286, 452, 9, fill=LEAD, ink=INK)
    b.box(110, 90, 220, 100, GLASS, INK, 12, 3)
    b.text(220, 140, "36.00", 52, LIT, "mm")
    b.text(220, 215, "reference", 20, MID, "mm")
    b.box(600, 270, 62, 44, BOOT, INK, 12, 2)
    b.text(632, 250, "mated", 20, MID, "mm")
    b.text(330, 660, "bath", 22, MID, "mm")


PICTURES: dict[str, Callable[[Board], None]] = {
    "place-overall": place_overall,
    "incubator-front": incubator_front,
    "display": display,
    "connector-pin": connector_pin,
    "connector-measured": connector_measured,
    "bath-bench": bath_bench,
}
"""Pictures of the incubator case, by file name."""
