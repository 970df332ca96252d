"""Pictures of the ventilator case: corridor, front, display, the connector apart, the tube, the bench. All drawn."""

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

FOLDER = "cases/ventilator-disconnect/evidence/photographs"

CLEAR, HOSE, BAND = "#e8f0f1", "#c9d8db", "#8fb0b5"


def _hose(b: Board, points: list[tuple[float, float]], width: float = 20) -> None:
    b.curve(points, HOSE, width, MID)
    b.curve(points, CLEAR, width * 0.45)


def _unit(b: Board, x: float, y: float, s: float, rows: int = 3) -> None:
    """The ventilator from the front; `s` is its scale, `rows` how many lines stand on its display."""
    b.box(x, y, 300 * s, 210 * s, CASE, INK, 16 * s, 2)
    b.box(x + 22 * s, y + 20 * s, 170 * s, 120 * s, GLASS, INK, 6 * s, 2)
    for row in range(rows):
        b.line([(x + 34 * s, y + (48 + 32 * row) * s), (x + 150 * s, y + (48 + 32 * row) * s)], UNLIT, 3 * s)
    for at in range(3):
        b.disc(x + 236 * s, y + (38 + 48 * at) * s, 17 * s, fill=STEEL, ink=STEEL_DARK)
    b.box(x + 22 * s, y + 160 * s, 60 * s, 26 * s, CASE_DARK, INK, 6 * s, 1.5)
    b.disc(x + 130 * s, y + 173 * s, 19 * s, fill=WHITE, ink=INK)
    b.disc(x + 130 * s, y + 173 * s, 11 * s, fill=GREY, ink=INK)
    b.disc(x + 190 * s, y + 173 * s, 12 * s, fill=GREY, ink=INK)


def corridor_overall(b: Board) -> None:
    """The bed in the corridor: unit on its rail, cylinder below, circuit to the head of the bed."""
    b.ground(640)
    b.line([(0, 150), (1200, 150)], FAINT, 4)
    b.box(990, 150, 150, 490, WHITE, FAINT, 2, 2)
    b.box(120, 470, 800, 76, CLOTH, CLOTH_DARK, 22, 2)
    b.hatch(128, 476, 784, 64, 26, CLOTH_DARK)
    b.box(140, 412, 170, 66, WHITE, MID, 26, 2)
    for x in (150, 880):
        b.line([(x, 540), (x, 690)], STEEL_DARK, 12)
        b.disc(x, 706, 20, fill=BLACK)
    b.line([(120, 560), (920, 560)], STEEL_DARK, 10)
    b.line([(760, 290), (760, 500)], STEEL_DARK, 10)
    _unit(b, 640, 200, 0.8)
    b.box(640, 580, 240, 58, CASE_DARK, INK, 28, 2)
    b.box(880, 594, 40, 30, STEEL, STEEL_DARK, 4)
    b.text(760, 610, "gas", 22, INK, "mm")
    _hose(b, [(744, 336), (660, 430), (520, 400), (400, 420), (330, 446)], 16)
    b.curve([(792, 338), (850, 420), (940, 520), (915, 606)], BLACK, 7)
    b.box(302, 436, 34, 22, CLEAR, INK, 6, 1.5)
    b.text(320, 500, "joint", 18, MID, "mm")
    b.line([(320, 490), (320, 462)], MID, 1.5)


def unit_front(b: Board) -> None:
    """The front of the unit, on standby; the hose of the circuit is on its outlet."""
    b.ground(690)
    b.shadow(560, 696, 420, 14)
    _unit(b, 190, 110, 2.5, 0)
    b.text(455, 232, "STANDBY", 44, LIT, "mm")
    b.text(455, 314, "450 mL   10 /min", 34, LIT, "mm")
    b.text(455, 392, "0 cmH2O", 30, UNLIT, "mm")
    _hose(b, [(515, 545), (560, 690), (760, 740), (1010, 700), (1180, 720)], 46)
    b.text(340, 543, "gas", 26, INK, "mm")
    b.text(690, 620, "sensor", 22, MID, "mm")


def display_limits(b: Board) -> None:
    """The page of alarm limits as found: low pressure 5, low minute volume crossed out, sound 2 of 10."""
    b.box(60, 50, 1080, 690, CASE, INK, 26, 2)
    b.box(110, 100, 980, 590, GLASS, INK, 10, 2)
    b.text(150, 150, "Alarm limits", 32, WHITE)
    b.line([(150, 190), (1050, 190)], UNLIT, 2)
    rows = (("High pressure", "40 cmH2O", True), ("Low pressure", "5 cmH2O", True), ("Low minute volume", "off", False),
            ("No breath", "20 s", True), ("Sound", "2 of 10", True))  # fmt: skip
    for at, (name, value, lit) in enumerate(rows):
        y = 245 + 84 * at
        b.text(150, y, name, 30, LIT if lit else UNLIT)
        b.text(960, y, value, 30, LIT if lit else UNLIT, "rm")
        if not lit:
            b.disc(1012, y, 17, ink=UNLIT, width=3)
            b.line([(1000, y + 12), (1024, y - 12)], UNLIT, 3)
    for at in range(10):
        b.box(540 + 22 * at, 566, 14, 30, LIT if at < 2 else GLASS, UNLIT, 2, 1.5)
    b.text(150, 655, "2026-04-20  10:38", 26, UNLIT)


def connector_apart(b: Board) -> None:
    """The connector of the small tube beside the cone of the filter, apart, with a scale."""
    b.ground(560)
    b.shadow(330, 470, 240)
    b.box(90, 250, 210, 200, CLEAR, INK, 40, 3)
    b.box(120, 280, 150, 140, WHITE, MID, 20, 1.5)
    b.hatch(124, 284, 142, 132, 12, BAND)
    b.shape([(300, 300), (420, 312), (420, 392), (300, 404)], CLEAR, INK, 3)
    b.text(195, 480, "filter", 24, MID, "mm")
    b.shadow(800, 470, 280)
    b.shape([(610, 300), (720, 318), (720, 386), (610, 404)], BAND, INK, 3)
    b.box(720, 296, 30, 112, BAND, INK, 6, 3)
    b.shape([(750, 328), (830, 336), (830, 368), (750, 376)], BAND, INK, 3)
    b.curve([(830, 352), (930, 356), (1030, 400), (1150, 420)], HOSE, 26, MID)
    b.text(720, 480, "connector of the small tube", 24, MID, "mm")
    b.text(1070, 360, "3.5", 26, INK, "mm")
    b.line([(430, 352), (600, 352)], FAINT, 2)
    b.scale(420, 640, 66)


def small_tube(b: Board) -> None:
    """The small tube on the bench beside an unused one of its lot, with tags and a scale."""
    b.ground(80)
    for y, words, wet in (
        (230, ("I-4  T-35-09", "received 2026-04-23"), True),
        (440, ("I-7  T-35-09", "unused"), False),
    ):
        b.shadow(520, y + 40, 420)
        b.shape([(120, y - 36), (230, y - 24), (230, y + 24), (120, y + 36)], BAND, INK, 3)
        b.box(230, y - 44, 22, 88, BAND, INK, 4, 3)
        b.curve([(252, y), (420, y - 6), (620, y + 12), (800, y + 52), (880, y + 84)], HOSE, 24, MID)
        b.text(470, y + 2, "3.5 mm", 19, INK, "mm")
        for at in range(3):
            b.line([(560 + 40 * at, y - 6 + 5 * at), (560 + 40 * at, y + 20 + 5 * at)], MID, 2)
        if wet:
            b.box(300, y - 14, 60, 8, WHITE, None, 4)
        b.tag(900, y - 70, words, 260, 20)
    b.scale(300, 670, 66)


def bench_open(b: Board) -> None:
    """The bench: the unit with circuit, filter and small tube of the event, open at its end; the analyser between."""
    b.ground(600)
    b.shadow(270, 606, 220, 12)
    _unit(b, 90, 330, 1.25)
    _hose(b, [(252, 546), (330, 600), (430, 560), (560, 500)], 24)
    b.box(560, 430, 150, 120, CASE_DARK, INK, 10, 2)
    b.box(574, 446, 122, 50, GLASS, INK, 4, 1.5)
    b.text(635, 472, "7.8", 34, LIT, "mm")
    b.text(635, 522, "cmH2O", 20, INK, "mm")
    b.box(740, 468, 70, 66, CLEAR, INK, 16, 2)
    b.line([(710, 500), (740, 500)], MID, 14)
    b.shape([(812, 484), (856, 490), (856, 512), (812, 518)], BAND, INK, 2)
    b.curve([(856, 501), (930, 504), (1000, 540), (1060, 552)], HOSE, 16, MID)
    b.line([(1070, 552), (1130, 560)], FAINT, 3)
    b.text(1090, 590, "open", 24, MID, "mm")
    b.disc(900, 250, 120, 70, fill=WHITE, ink=MID)
    b.text(900, 240, "test lung,", 24, MID, "mm")
    b.text(900, 272, "taken off", 24, MID, "mm")
    b.tag(120, 660, ("as found: 450 mL, limit 5 cmH2O, sound 2", "circuit I-2, filter I-3, tube I-4"), 560, 22)


PICTURES: dict[str, Callable[[Board], None]] = {
    "corridor-overall": corridor_overall,
    "unit-front": unit_front,
    "display-limits": display_limits,
    "connector-apart": connector_apart,
    "small-tube": small_tube,
    "bench-open": bench_open,
}
"""Pictures by file name."""
