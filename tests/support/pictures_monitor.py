"""Pictures of the two round lesions: theatre, monitor, electrodes, return joint, plug of the leads."""

from __future__ import annotations

import math
from collections.abc import Callable

from tests.support.drawing import (
    BLACK,
    CASE,
    CASE_DARK,
    CLOTH,
    CLOTH_DARK,
    FOAM,
    GEL,
    GEL_WET,
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
    Point,
)  # fmt: skip
from tests.support.things import socket

FOLDER = "cases/monitor-electrodes/evidence/photographs"
TRACE, PALE, ARM_LEAD, LEG_LEAD, SLEEVE = "#8fc7a8", "#b7c9c4", "#e9e7e0", "#b6483c", "#7b7f7d"


def wet_outline(seed: int = 0) -> list[Point]:
    """Edge of the wet part of the arm's gel, in centimetres about its middle: 0.80 square centimetres within 1 %.

    `seed` gives another hand's outline of the same print: each point a little in or out, by a fixed rule.
    """
    points = []
    for i in range(32):
        turn = 2.0 * math.pi * i / 32
        radius = 0.5055 + 0.012 * math.sin(3 * turn + 0.8) + 0.008 * math.sin(5 * turn)
        radius += 0.0045 * math.sin((7 + seed) * turn + seed) + 0.0021 * (seed - 1)
        points.append((radius * math.cos(turn), radius * math.sin(turn)))
    return points


def wave(b: Board, x: float, y: float, w: float, beats: int, s: float = 1.0) -> None:
    """A trace of heart beats, `s` as high as usual."""
    step = w / beats
    points: list[Point] = []
    for i in range(beats):
        at = x + i * step
        for part, rise in ((0, 0), (0.28, 0), (0.36, 8), (0.44, 0), (0.5, -8), (0.54, 52), (0.59, -16), (0.64, 0),
                           (0.8, 12), (0.92, 0)):  # fmt: skip
            points.append((at + part * step, y - rise * s))
    b.line([*points, (x + w, y)], TRACE, 3 * s)


def monitor(b: Board, x: float, y: float, s: float, shown: bool = True) -> None:
    """The monitor from the front; (x, y) is its top left, `s` scales it."""
    b.box(x, y, 520 * s, 370 * s, CASE, INK, 22 * s, 3)
    b.box(x + 24 * s, y + 24 * s, 390 * s, 282 * s, BLACK, INK, 8, 2)
    if shown:
        for i in range(2):
            wave(b, x + 36 * s, y + (90 + 80 * i) * s, 250 * s, 3, s)
        b.text(x + 350 * s, y + 84 * s, "71", 58 * s, TRACE, "mm")
        b.text(x + 350 * s, y + 130 * s, "per minute", 15 * s, PALE, "mm")
        b.text(x + 350 * s, y + 210 * s, "36.4", 44 * s, LIT, "mm")
        b.text(x + 350 * s, y + 246 * s, "°C", 16 * s, PALE, "mm")
        b.text(x + 40 * s, y + 284 * s, "adult    two leads", 17 * s, PALE)
    for i in range(3):
        b.box(x + 436 * s, y + (36 + 58 * i) * s, 60 * s, 40 * s, CASE_DARK, MID, 8, 2)
    b.disc(x + 466 * s, y + 262 * s, 32 * s, fill=GREY, ink=INK)
    b.text(x + 26 * s, y + 338 * s, "PM-3", 20 * s, MID)


def theatre_overall(b: Board) -> None:
    """The theatre from its door: table, monitor on its pole, generator on its cart, cords in the wall."""
    b.box(-4, -4, 1208, 560, "#e9e4d8", None)
    b.ground(556)
    for i in range(2):
        socket(b, 60 + i * 150, 350, 0.62, str(i + 1), i == 0)
    # table under its cover
    b.shape([(420, 450), (960, 450), (1010, 516), (380, 516)], CLOTH, CLOTH_DARK, 2)
    b.box(640, 516, 90, 170, STEEL, STEEL_DARK, 6, 2)
    b.box(560, 684, 250, 26, STEEL_DARK, INK, 8, 2)
    # monitor on its pole
    b.box(300, 190, 16, 440, STEEL, STEEL_DARK)
    monitor(b, 200, 80, 0.46)
    b.curve([(436, 180), (470, 300), (430, 420), (480, 452)], ARM_LEAD, 6, MID)
    b.curve([(430, 190), (452, 310), (404, 430), (440, 470)], LEG_LEAD, 6, MID)
    # generator on its cart
    b.box(1000, 330, 170, 92, CASE, INK, 8, 2)
    b.box(1016, 346, 66, 38, GLASS, INK, 4, 2)
    b.text(1049, 366, "80", 26, LIT, "mm")
    for i in range(3):
        b.disc(1104 + i * 24, 366, 8, fill=BLACK, ink=MID)
    b.box(990, 424, 190, 14, STEEL_DARK, INK)
    for dx in (1010, 1150):
        b.box(dx, 438, 10, 190, STEEL, STEEL_DARK)
        b.disc(dx + 5, 640, 13, fill=BLACK, ink=MID)
    b.curve([(1010, 400), (960, 560), (860, 600), (800, 516)], "#54717c", 7, INK)
    b.tag(30, 700, ["theatre 5, from the door"], 330, 22)


def monitor_front(b: Board) -> None:
    """The front of the monitor with its leads hung over it, as found."""
    b.ground(640)
    monitor(b, 250, 110, 1.35)
    b.curve([(940, 200), (1040, 90), (560, 60), (300, 92), (210, 300), (250, 560), (200, 700)], ARM_LEAD, 11, MID)
    b.curve([(940, 280), (1080, 120), (620, 76), (360, 100), (170, 380), (130, 640), (90, 730)], LEG_LEAD, 11, MID)
    for x, y, body in ((200, 706, ARM_LEAD), (90, 736, LEG_LEAD)):
        b.box(x - 26, y - 12, 52, 34, body, INK, 8, 2)
    b.box(760, 560, 320, 50, WHITE, MID, 4, 1.5)
    b.text(920, 576, "with high-frequency surgery:", 17, INK, "mm")
    b.text(920, 596, "leads with resistors only", 17, INK, "mm")
    b.tag(820, 690, ["items I-1 and I-2"], 300, 24)


def _disc(b: Board, x: float, y: float, per_cm: float, seed: int) -> None:
    """A used electrode, gel side up: foam, gel dry at its rim, wet in the middle."""
    b.shadow(x + 6, y + 10, 2.05 * per_cm, 2.05 * per_cm)
    b.disc(x, y, 2.0 * per_cm, fill=FOAM, ink=MID)
    b.disc(x, y, 0.9 * per_cm, fill=GEL, ink=MID)
    for i in range(26):
        turn = 2 * math.pi * i / 26
        a, c = 0.62 * per_cm, 0.86 * per_cm
        b.line(
            [(x + a * math.cos(turn), y + a * math.sin(turn)), (x + c * math.cos(turn), y + c * math.sin(turn))],
            "#c6c0a2", 1.5,
        )  # fmt: skip
    b.shape([(x + px * per_cm, y + py * per_cm) for px, py in wet_outline(seed)], GEL_WET, "#8c8660", 2)
    b.disc(x, y, 0.16 * per_cm, fill=STEEL, ink=STEEL_DARK)
    b.curve([(x + dx * per_cm, y + dy * per_cm) for dx, dy in ((0.30, -0.36), (0.44, -0.1), (0.40, 0.22))], MARK, 3)


def electrode_discs(b: Board) -> None:
    """The two used electrodes, gel side up, with a rule: wet middle, dry rim."""
    b.ground(0)
    _disc(b, 320, 350, 122, 1)
    _disc(b, 880, 350, 122, 3)
    b.tag(225, 620, ["arm"], 190, 26)
    b.tag(785, 620, ["leg"], 190, 26)
    b.scale(60, 740, 122, 4)
    b.text(600, 60, "wet in the middle, dry at the rim", 26, MID, "mm")


def monitor_display(b: Board) -> None:
    """The display of the monitor, close."""
    b.box(0, 0, 1200, 800, CASE_DARK, None)
    b.box(50, 50, 1100, 700, BLACK, INK, 10, 3)
    for i in range(2):
        wave(b, 90, 230 + 190 * i, 700, 6)
    b.text(960, 200, "71", 150, TRACE, "mm")
    b.text(960, 300, "per minute", 34, PALE, "mm")
    b.text(960, 460, "36.4", 110, LIT, "mm")
    b.text(960, 540, "°C", 34, PALE, "mm")
    b.text(90, 110, "adult", 34, PALE)
    b.text(300, 110, "two leads and temperature", 34, PALE)
    b.text(90, 690, "volume 5 of 8", 34, PALE)
    b.text(520, 690, "no alarm silenced", 34, PALE)


def return_joint(b: Board) -> None:
    """The joint of the return cable, with a rule: the sleeve stands away from the plug by a gap."""
    b.ground(0)
    b.curve([(0, 470), (180, 440), (330, 405)], SLEEVE, 46, INK)
    b.box(320, 350, 250, 110, GREY, INK, 18, 3)
    for i in range(5):
        b.line([(350 + i * 26, 352), (350 + i * 26, 458)], MID, 3)
    b.box(570, 372, 46, 66, STEEL, STEEL_DARK, 4, 2)
    b.box(634, 340, 260, 130, CASE_DARK, INK, 14, 3)
    b.box(616, 384, 18, 42, "#d8b45c", STEEL_DARK, 2, 1.5)
    b.curve([(894, 405), (1040, 420), (1200, 380)], SLEEVE, 46, INK)
    b.line([(625, 330), (625, 250)], MID, 2)
    b.text(625, 226, "play; contacts bright", 26, MID, "mm")
    b.scale(120, 720, 98, 5)
    b.tag(820, 610, ["item I-5", "joint of the return cable"], 340, 24)


def lead_plug(b: Board) -> None:
    """The plug and the clips of the lead set, with a rule; beside it a plug of the second set, marked 1 kohm."""
    b.ground(0)
    for y, words, marked in ((210, "item I-2, lead set of the event", False), (500, "item I-8, second lead set", True)):
        b.box(110, y - 60, 170, 120, BLACK, INK, 16, 2)
        for i in range(5):
            b.disc(140 + i * 28, y, 6, fill="#d8b45c", ink=MID, width=1)
        b.curve([(280, y), (420, y + 4), (520, y - 30), (700, y - 34), (840, y - 40)], ARM_LEAD, 12, MID)
        b.curve([(280, y), (420, y + 4), (520, y + 36), (700, y + 34), (840, y + 40)], LEG_LEAD, 12, MID)
        for dy, body in ((-40, ARM_LEAD), (40, LEG_LEAD)):
            b.box(836, y + dy - 22, 120, 44, body, INK, 12, 2)
            b.disc(930, y + dy, 12, fill=STEEL, ink=STEEL_DARK)
            if marked:
                b.text(876, y + dy, "1 kohm", 17, WHITE if body == LEG_LEAD else INK, "mm")
        b.text(110, y + 100, words, 26, MID)
    b.scale(760, 740, 60, 5)


PICTURES: dict[str, Callable[[Board], None]] = {
    "theatre-overall": theatre_overall,
    "monitor-front": monitor_front,
    "electrode-discs": electrode_discs,
    "monitor-display": monitor_display,
    "return-joint": return_joint,
    "lead-plug": lead_plug,
}
"""Pictures of the case, by file name."""
