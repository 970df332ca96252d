"""Pictures taken where things stood: the theatre, the bin, the store, the bed place."""

from __future__ import annotations

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
from tests.support.things import bag, generator, pad, pedal, socket


def theatre_overall(b: Board) -> None:
    """The theatre from its door: table, generator on its cart, pedal on the floor, bin, monitor."""
    b.ground(560)
    b.line([(0, 540), (1200, 540)], FAINT, 6)
    for x in (905, 985, 1065):
        b.box(x, 380, 52, 70, WHITE, MID, 5, 1.5)
        b.text(x + 26, 364, str((x - 905) // 80 + 2), 15, MID, "mm")
    b.disc(985 + 26, 418, 14, fill=BLACK)
    b.curve([(1011, 420), (1010, 560), (900, 640), (800, 610)], BLACK, 6)
    b.box(170, 380, 430, 40, CLOTH, CLOTH_DARK, 14)
    b.shape([(150, 372), (620, 372), (640, 470), (130, 470)], CLOTH, CLOTH_DARK, 2)
    b.hatch(160, 420, 450, 44, 22, CLOTH_DARK)
    b.box(340, 470, 90, 180, STEEL, STEEL_DARK, 6)
    b.box(270, 650, 230, 26, STEEL_DARK, INK, 8)
    b.disc(380, 130, 110, 34, "#e8e6df", MID)
    b.line([(380, 0), (380, 98)], MID, 8)
    b.line([(70, 220), (70, 640)], STEEL_DARK, 8)
    b.box(20, 150, 130, 96, GLASS, INK, 8)
    b.line([(32, 200), (56, 200), (62, 178), (70, 222), (78, 200), (136, 200)], "#8fc9a0", 3)
    b.disc(70, 648, 60, 12, STEEL_DARK)
    b.box(690, 400, 200, 16, STEEL, STEEL_DARK, 4)
    b.box(700, 416, 12, 250, STEEL, STEEL_DARK)
    b.box(868, 416, 12, 250, STEEL, STEEL_DARK)
    b.box(690, 560, 200, 14, STEEL, STEEL_DARK, 4)
    for x in (706, 874):
        b.disc(x, 676, 12, fill=BLACK)
    generator(b, 682, 315, 0.345)
    b.curve([(712, 388), (660, 440), (560, 400), (520, 372)], "#54717c", 5)
    b.curve([(856, 388), (840, 470), (640, 520), (600, 470)], "#7a6a52", 5)
    b.curve([(808, 388), (790, 620), (700, 700), (610, 716)], GREY, 5)
    pedal(b, 480, 664, 0.62)
    b.shape([(1010, 560), (1130, 560), (1116, 720), (1024, 720)], "#c9574a", INK, 2)
    b.disc(1070, 560, 60, 14, "#e9ecec", INK)
    b.text(1070, 640, "bin", 22, WHITE, "mm")


def generator_front(b: Board) -> None:
    """The generator's front as found, plugs in place."""
    b.ground(620)
    b.shadow(600, 626, 470, 18)
    generator(b, 135, 240, 1.5)
    for j, (body, to) in enumerate(
        (("#54717c", (120, 780)), ("", (0, 0)), (GREY, (640, 790)), ("#7a6a52", (1010, 780)))
    ):
        if body:
            x = 135 + (100 + j * 140) * 1.5
            b.curve([(x, 582), (x + (to[0] - x) * 0.2, 680), to], body, 12, INK)


def generator_display(b: Board) -> None:
    """The two displays and the pad lamps, close."""
    generator(b, -270, 130, 2.35, plugs=False)


def pad_plug_in_place(b: Board) -> None:
    """The pad cable's plug in the generator, as found."""
    b.box(-20, -20, 1240, 640, CASE, None)
    b.text(760, 120, "PAD", 40, INK, "mm")
    b.box(560, 160, 400, 220, BLACK, INK, 30, 3)
    b.box(600, 190, 320, 260, "#7a6a52", INK, 36, 3)
    for i in range(6):
        b.line([(640 + i * 48, 230), (640 + i * 48, 410)], "#655843", 8)
    b.curve([(760, 450), (758, 560), (700, 690), (520, 800)], "#7a6a52", 54, INK)
    b.text(300, 120, "PEDAL", 40, INK, "mm")
    b.disc(300, 290, 96, fill=GREY, width=3)
    b.disc(300, 290, 70, fill="#6b6d6c", ink=MID)
    b.curve([(300, 330), (310, 560), (240, 800)], GREY, 44, INK)
    b.line([(0, 620), (1200, 620)], CASE_DARK, 6)


def wall_socket(b: Board) -> None:
    """Wall sockets 2 to 4; the generator's plug stands in socket 3."""
    b.box(60, 90, 1080, 400, "#e6e2d6", MID, 20, 2)
    for i, number in enumerate(("2", "3", "4")):
        socket(b, 150 + i * 355, 160, 1.0, number, number == "3")
    b.text(600, 124, "theatre 4, wall B", 26, MID, "mm")


def bin_with_pad(b: Board) -> None:
    """The bin from above: wrappings, the drape's corner and the pad."""
    b.ground(0)
    b.disc(600, 410, 470, 350, "#c9574a", INK, 4)
    b.disc(600, 410, 430, 315, "#e9ecec", "#cfd6d6", 3)
    b.disc(600, 420, 390, 280, "#dfe3e2", None)
    b.shape([(270, 330), (520, 210), (640, 330), (430, 540), (300, 500)], CLOTH, CLOTH_DARK, 3)
    for k in range(5):
        b.curve(
            [(320 + k * 40, 480 - k * 30), (380 + k * 40, 400 - k * 26), (470 + k * 30, 330 - k * 20)], CLOTH_DARK, 3
        )
    pad(b, 560, 300, 22, True, "#dfe3e2")
    b.box(420, 545, 190, 110, WHITE, MID, 6, 2)
    b.text(515, 585, "pouch", 22, MID, "mm")
    b.line([(430, 620), (600, 620)], FAINT, 3)


def used_pad_at_collection(b: Board) -> None:
    """The used pad on a clean sheet when it was taken from the bin, gel side up."""
    b.box(140, 40, 920, 720, WHITE, FAINT, 0, 2)
    pad(b, 440, 170, 32, True, WHITE)
    b.scale(180, 690, 32)
    b.tag(840, 620, ["item I-4", "used pad", "taken from bin", "15:44"], 210, 20)


def used_pad_sealed(b: Board) -> None:
    """The used pad in its sealed bag, with its tag."""
    b.ground(500)
    bag(b, 330, 90, 540, 600, "40117")
    pad(b, 470, 205, 24, True, "#e9ecec")
    b.tag(760, 560, ["item I-4", "return-pad-lesion", "custodian", "2026-03-09 15:52", "used return pad"], 330, 22)
    b.text(390, 660, "BIOHAZARD - NOT CLEANED", 20, MARK)


def sealed_cases(b: Board) -> None:
    """The transport case and the bags at receipt, seals whole."""
    b.ground(470)
    b.shadow(420, 690, 330, 20)
    b.box(100, 260, 640, 420, "#66716f", INK, 26, 3)
    b.line([(100, 400), (740, 400)], "#4c5654", 5)
    b.box(340, 210, 160, 60, None, INK, 24, 10)
    for x in (200, 600):
        b.box(x - 30, 372, 60, 66, STEEL, INK, 6, 2)
    b.box(250, 382, 340, 40, "#c9574a", MID, 4, 1.5)
    b.text(420, 402, "SEAL 40116", 26, WHITE, "mm")
    b.tag(180, 500, ["case return-pad-lesion", "items I-1 to I-3, I-8", "received 2026-03-12"], 420, 26)
    bag(b, 830, 270, 270, 400, "40117")
    pad(b, 905, 380, 12, True, "#e9ecec")


def hour_one_overall(b: Board) -> None:
    """A bed place: pump on its pole beside the bed, line to the bed."""
    b.ground(600)
    b.box(120, 420, 560, 60, CLOTH, CLOTH_DARK, 16, 2)
    b.box(90, 330, 24, 300, STEEL, STEEL_DARK, 6)
    b.box(680, 400, 24, 230, STEEL, STEEL_DARK, 6)
    b.box(130, 380, 130, 50, WHITE, MID, 20, 2)
    b.line([(900, 120), (900, 690)], STEEL_DARK, 12)
    b.disc(900, 696, 90, 14, STEEL_DARK)
    b.box(830, 240, 150, 90, CASE, INK, 10, 2)
    b.box(842, 252, 70, 30, GLASS, INK, 4, 1.5)
    b.text(877, 267, "5.0", 18, LIT, "mm")
    b.box(842, 296, 110, 20, "#eef3f3", MID, 5, 1.5)
    b.curve([(842, 306), (780, 360), (640, 340), (520, 420)], "#d9e4e6", 5, MID)


def hour_one_display(b: Board) -> None:
    """An infusion pump's front on its pole, as found: rate display, syringe in place."""
    b.box(560, -10, 30, 830, STEEL, STEEL_DARK, 0, 2)
    b.box(250, 230, 660, 330, CASE, INK, 24, 3)
    b.box(300, 270, 300, 120, GLASS, INK, 10, 2)
    b.text(420, 330, "5.0", 74, LIT, "mm")
    b.text(520, 346, "mL/h", 28, LIT, "mm")
    for i in range(4):
        b.box(640 + (i % 2) * 110, 270 + (i // 2) * 66, 92, 52, WHITE, MID, 8, 2)
    b.box(300, 440, 460, 62, "#eef3f3", MID, 12, 2)
    b.box(300, 440, 70, 62, "#d3dfe2", MID, 12, 2)
    b.box(760, 456, 110, 30, STEEL, STEEL_DARK, 4, 2)
    for i in range(9):
        b.line([(400 + i * 38, 440), (400 + i * 38, 458)], MID, 2)
