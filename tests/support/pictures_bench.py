"""Pictures taken at the bench: each item, the gel print, the set-ups."""

from __future__ import annotations

from tests.support.drawing import (
    BLACK,
    CASE,
    CASE_DARK,
    FAINT,
    FOAM,
    GLASS,
    GREY,
    INK,
    MID,
    SHADE,
    STEEL,
    STEEL_DARK,
    WHITE,
    Board,
)  # fmt: skip
from tests.support.things import generator, grid, handpiece, pad, pedal, print_outline


def gel_print(b: Board) -> None:
    """The used pad's gel on the bench, from straight above, with a scale: the print is the darker part."""
    b.ground(0)
    pad(b, 385, 75, 46, True, SHADE)
    b.scale(70, 730, 46)
    b.text(965, 110, "leading edge", 22, MID)
    b.line([(958, 110), (880, 90)], MID, 2)
    b.text(965, 340, "edge of the print", 22, MID)
    b.line([(958, 342), (845, 376)], MID, 2)


def leading_edge(b: Board) -> None:
    """The edge of the print, close, with a scale: a dry brown line along it."""
    b.ground(0)
    pad(b, 130, -560, 108, True)
    b.scale(60, 748, 108)


def gel_tracing(b: Board) -> None:
    """The print traced on a squared film, one square a half centimetre, one number a whole one."""
    b.box(0, 0, 1200, 800, WHITE, None)
    per_cm, x, y = 56.0, 320.0, 64.0
    grid(b, x, y, 560, 672, per_cm / 2, "#e3e9ea")
    grid(b, x, y, 560, 672, per_cm, "#b7c6c9")
    outline = [(x + px * per_cm, y + py * per_cm) for px, py in print_outline()]
    b.line(outline, INK, 4)
    for i in range(11):
        b.text(x + i * per_cm, y - 20, str(i), 18, MID, "mm")
    for i in range(13):
        b.text(x - 22, y + i * per_cm, str(i), 18, MID, "mm")
    b.text(930, 120, "item I-4", 26)
    b.text(930, 156, "tracing 1 of 3", 26)
    b.text(930, 192, "squares of 1 cm", 26)


def unused_pad(b: Board) -> None:
    """The unused pad of the same lot, gel side up, film drawn back: an exemplar."""
    b.ground(0)
    pad(b, 250, 150, 38, False)
    b.scale(60, 740, 38)
    b.tag(820, 160, ["item I-5", "exemplar", "unused pad", "lot 25K118"], 250, 24)
    b.shape([(700, 420), (1080, 380), (1120, 620), (760, 680)], "#eef1ef", MID, 2)
    b.text(920, 530, "cover film", 24, MID, "mm")


def pouch_label(b: Board) -> None:
    """The label on the pad's pouch."""
    b.ground(0)
    b.box(110, 60, 980, 660, "#edeae0", MID, 20, 2)
    b.shape([(110, 60), (1090, 60), (1078, 110), (122, 104)], SHADE, MID, 1.5)
    b.box(210, 170, 780, 470, WHITE, INK, 10, 2)
    for i, words in enumerate(("Return pad for electrosurgery", "one plate, adult", "gel area 120 square cm")):
        b.text(250, 220 + i * 50, words, 38 if i == 0 else 30)
    b.line([(250, 380), (950, 380)], FAINT, 2)
    for i, (name, value) in enumerate((("LOT", "25K118"), ("USE BY", "2027-10"), ("REF", "RP-1A"))):
        b.text(250, 425 + i * 56, name, 28, MID)
        b.text(430, 425 + i * 56, value, 36)
    b.box(700, 410, 230, 170, None, INK, 4, 2)
    b.text(815, 470, "single", 32, INK, "mm")
    b.text(815, 515, "use", 32, INK, "mm")


def cable_clamp(b: Board) -> None:
    """The pad cable's clamp, open, with its two contacts."""
    b.ground(470)
    b.curve([(0, 560), (240, 600), (420, 470), (560, 430)], "#7a6a52", 46, INK)
    b.shape([(540, 380), (1000, 340), (1010, 420), (560, 480)], "#8b7b60", INK, 3)
    b.shape([(548, 378), (980, 200), (1010, 268), (566, 420)], "#7a6a52", INK, 3)
    for x, y in ((820, 378), (920, 370)):
        b.box(x, y, 58, 24, STEEL, STEEL_DARK, 6, 2)
        b.line([(x + 8, y + 12), (x + 50, y + 10)], "#e8ecee", 3)
    b.disc(556, 424, 16, fill=STEEL, ink=STEEL_DARK)
    b.scale(760, 710, 62)


def foot_switch(b: Board) -> None:
    """The foot switch from above, with its cable."""
    b.ground(0)
    b.curve([(780, 330), (960, 240), (1080, 330), (1010, 480), (1120, 620), (1200, 640)], GREY, 22, INK)
    pedal(b, 230, 210, 2.3)
    for x, y in ((1000, 478), (1012, 500)):
        b.line([(x - 12, y), (x + 12, y + 6)], "#5d5e5d", 3)
    b.scale(80, 730, 38)


def foot_switch_below(b: Board) -> None:
    """The foot switch from below: feet, base plate, cable entry."""
    b.ground(0)
    b.curve([(890, 400), (1010, 380), (1200, 470)], GREY, 26, INK)
    b.box(230, 160, 670, 460, "#6b6d6c", INK, 40, 3)
    b.box(270, 200, 590, 380, "#7b7d7c", MID, 24, 2)
    for x in (300, 830):
        for y in (230, 550):
            b.disc(x, y, 34, fill=BLACK, width=2)
    for i, (x, y) in enumerate(((400, 260), (730, 260), (400, 520), (730, 520))):
        b.screw(x, y, 0.4 + i)
    b.box(430, 340, 270, 110, WHITE, INK, 6, 2)
    b.text(452, 372, "MODEL FS-2", 26)
    b.text(452, 412, "SERIAL 31 0842", 26)
    b.scale(80, 730, 42)


def generator_rear(b: Board) -> None:
    """The generator's rear: inlet, fuses, rating label, service socket."""
    b.ground(650)
    b.shadow(600, 656, 480, 16)
    b.box(120, 120, 960, 520, CASE, INK, 24, 3)
    for k in range(9):
        b.line([(760 + k * 30, 180), (760 + k * 30, 330)], CASE_DARK, 10)
    b.box(180, 200, 190, 150, BLACK, INK, 12, 2)
    for x, y in ((225, 260), (275, 295), (325, 260)):
        b.box(x - 7, y - 22, 14, 44, STEEL_DARK, None, 2)
    b.text(275, 376, "INLET", 22, INK, "mm")
    for i in range(2):
        b.disc(440 + i * 76, 250, 28, fill=BLACK)
        b.line([(426 + i * 76, 250), (454 + i * 76, 250)], STEEL, 4)
    b.text(478, 306, "FUSES 2 x T4A", 22, INK, "mm")
    b.box(180, 420, 470, 180, WHITE, INK, 8, 2)
    for i, words in enumerate(
        ("MODEL HG-120   SERIAL 07 2291", "120 V  60 Hz  480 VA", "OUTPUT 120 W INTO 400 OHM", "SOFTWARE 2.4")
    ):
        b.text(204, 450 + i * 40, words, 24)
    b.box(760, 440, 220, 74, "#4a4a48", INK, 14, 2)
    b.text(870, 544, "SERVICE", 22, INK, "mm")
    for i in range(9):
        b.disc(790 + i * 20, 476, 4, fill=STEEL, ink=None)
    for x in (150, 1050):
        for y in (150, 612):
            b.screw(x, y, x / 400)


def monitor_leads(b: Board) -> None:
    """The monitor's lead set, laid out, three electrodes still on it."""
    b.ground(0)
    b.box(60, 340, 170, 100, BLACK, INK, 16, 2)
    b.curve([(230, 390), (360, 392), (430, 390)], GREY, 26, INK)
    b.box(430, 350, 120, 84, GREY, INK, 14, 2)
    for i, (body, y) in enumerate((("#e9e7e0", 150), ("#3a3a39", 390), ("#b6483c", 630))):
        b.curve([(550, 372 + i * 20), (700, 390 + (y - 390) * 0.5), (860, y), (960, y)], body, 12, MID)
        b.box(950, y - 20, 60, 40, body, INK, 10, 2)
        b.disc(1056, y, 56, fill=FOAM, ink=MID)
        b.disc(1056, y, 24, fill="#d8d4bd", ink=MID)
        b.disc(1056, y, 9, fill=STEEL, ink=STEEL_DARK)
    b.scale(90, 720, 30, 10)


def used_handpiece(b: Board) -> None:
    """The handpiece used at the event, with its cable coiled."""
    b.ground(0)
    b.curve([(946, 330), (1080, 300), (1120, 460), (960, 560), (760, 500), (820, 640), (1010, 640)], "#54717c", 12, INK)
    handpiece(b, 180, 270, 1.5)
    b.scale(120, 720, 49)
    b.tag(150, 470, ["item I-9", "handpiece in use"], 280, 24)


def prep_bottle(b: Board) -> None:
    """The bottle of skin preparation."""
    b.ground(640)
    b.shadow(560, 648, 170, 16)
    b.box(510, 110, 100, 90, WHITE, INK, 10, 2)
    b.shape([(510, 190), (610, 190), (690, 280), (690, 640), (430, 640), (430, 280)], "#b9814f", INK, 2.5)
    b.box(450, 330, 220, 230, WHITE, MID, 6, 2)
    for i, words in enumerate(("skin preparation", "aqueous", "LOT 5540", "250 mL")):
        b.text(560, 365 + i * 50, words, 25, INK, "mm")
    b.tag(760, 470, ["item I-11", "collected 16:02"], 270, 24)


def bench_output(b: Board) -> None:
    """Bench set-up for output power: active port and pad port into the analyser's load."""
    b.ground(560)
    generator(b, 60, 300, 0.85)
    b.box(760, 330, 380, 230, "#5f6f78", INK, 16, 3)
    b.box(800, 360, 210, 90, GLASS, INK, 8, 2)
    b.text(905, 405, "88.4 W", 50, "#bfe3d0", "mm")
    b.text(905, 478, "LOAD 400 OHM", 22, WHITE, "mm")
    for i, body in enumerate(("#54717c", "#7a6a52")):
        b.disc(1070, 390 + i * 90, 20, fill=STEEL, ink=INK)
        b.curve(
            [(144 + i * 357, 490), (200 + i * 330, 640 + i * 40), (800 + i * 40, 690 - i * 60), (1190, 620 - i * 40),
             (1180, 440 + i * 60), (1072, 390 + i * 90)],
            body, 9, INK,
        )  # fmt: skip
    pedal(b, 480, 640, 0.8)


def bench_monitor(b: Board) -> None:
    """Bench set-up for the contact monitor: a two-plate pad, the exemplar, and a box of resistors between."""
    b.ground(520)
    generator(b, 40, 250, 0.9, lamps="two plates, alarm")
    b.box(700, 330, 440, 200, "#8a7f6c", INK, 12, 3)
    b.text(920, 360, "RESISTORS, OHM", 20, WHITE, "mm")
    for i, (name, digit) in enumerate((("x100", "1"), ("x10", "2"), ("x1", "4"))):
        cx = 790 + i * 130
        b.disc(cx, 440, 44, fill=BLACK)
        b.text(cx, 440, digit, 44, WHITE, "mm")
        b.text(cx, 504, name, 18, WHITE, "mm")
    b.curve([(522, 450), (560, 600), (640, 640), (720, 540)], "#7a6a52", 10, INK)
    b.curve([(1080, 530), (1100, 620), (1000, 660), (960, 640)], "#7a6a52", 10, INK)
    b.box(640, 600, 160, 150, FOAM, MID, 16, 2)
    b.box(805, 600, 160, 150, FOAM, MID, 16, 2)
    b.box(662, 622, 116, 106, "#d8d4bd", MID, 8, 1.5)
    b.box(827, 622, 116, 106, "#d8d4bd", MID, 8, 1.5)
    b.tag(200, 620, ["item I-12", "exemplar", "two-plate pad"], 260, 22)


def cord_and_plug(b: Board) -> None:
    """The power cord, both ends, with a scale."""
    b.ground(0)
    b.curve(
        [(250, 300), (420, 300), (560, 180), (760, 240), (720, 430), (560, 500), (760, 600), (900, 560)], BLACK, 20, INK
    )
    b.box(90, 240, 170, 120, BLACK, INK, 26, 2)
    for y in (268, 318):
        b.box(40, y, 54, 14, STEEL, STEEL_DARK, 2, 1.5)
    b.disc(62, 300, 9, fill=STEEL, ink=STEEL_DARK)
    b.box(900, 500, 180, 120, BLACK, INK, 14, 2)
    for y in (528, 556, 584):
        b.box(1064, y - 6, 22, 12, "#1f1f1e", STEEL_DARK, 2, 1)
    b.scale(90, 720, 40, 10)
