"""Things of the return-pad case that stand in more than one picture."""

from __future__ import annotations

from tests.support.drawing import (
    BAG,
    BLACK,
    CASE,
    CASE_DARK,
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
    STEEL,
    STEEL_DARK,
    UNLIT,
    WHITE,
    Board,
    Point,
    area,
    smooth,
)  # fmt: skip

PAD_CM = (10.0, 12.0)
"""The gel of the pad: 10 cm by 12 cm, 120 square centimetres."""

_PRINT: tuple[Point, ...] = (
    (0.55, 11.35), (0.45, 9.2), (0.62, 7.29), (1.6, 6.74), (2.9, 7.01), (4.1, 6.39), (5.2, 6.67), (6.4, 6.04),
    (7.5, 6.37), (8.55, 5.89), (9.4, 6.34), (9.58, 8.8), (9.5, 11.2), (8.3, 11.62), (5.0, 11.5), (2.0, 11.68),
)  # fmt: skip
"""Edge of the part that had held to the skin, in centimetres from the gel's top left corner."""


def print_outline() -> list[Point]:
    """The gel print as a closed curve, in centimetres."""
    return smooth([*_PRINT, _PRINT[0]])


def print_area() -> float:
    """Area of the drawn print in square centimetres: what a tracing of the picture should find."""
    return area(print_outline())


def pad(b: Board, x: float, y: float, per_cm: float, used: bool, ground: str = PAPER) -> None:
    """A single-plate return pad seen from the gel side; `x, y` is the gel's top left corner.

    The leading edge, which pointed towards the field, is at the top. `ground` is what the turned-up corners lay bare.
    """
    w, h = PAD_CM[0] * per_cm, PAD_CM[1] * per_cm
    rim = 1.1 * per_cm
    b.box(x - rim + 6, y - rim + 8, w + 2 * rim, h + 2 * rim, "#d6cdb9", None, per_cm)
    b.box(x - rim, y - rim, w + 2 * rim, h + 2 * rim, FOAM, MID, per_cm, 2)
    b.box(x + w / 2 - per_cm, y + h + rim - 4, 2 * per_cm, 2.4 * per_cm, FOAM, MID, 0.3 * per_cm, 2)
    b.box(x + w / 2 - 0.55 * per_cm, y + h + rim + 0.3 * per_cm, 1.1 * per_cm, 1.6 * per_cm, STEEL, STEEL_DARK, 4, 1.5)
    b.box(x, y, w, h, GEL, MID, 0.4 * per_cm, 2)
    if not used:
        step = 0.5 * per_cm
        b.hatch(x + 8, y + 8, w - 16, h - 16, step, "#cdc8ae")
        return
    b.hatch(x + 8, y + 8, w - 16, h - 16, 0.9 * per_cm, "#dcd8c4")
    outline = [(x + px * per_cm, y + py * per_cm) for px, py in print_outline()]
    b.shape(outline, GEL_WET, "#8c8660", 2)
    # The edge of the print that lay towards the field is darker and dry.
    edge = [p for p in outline if p[1] < y + 7.45 * per_cm and x + 0.7 * per_cm < p[0] < x + 9.3 * per_cm]
    edge.sort()
    b.line(edge, MARK, max(3.0, 0.16 * per_cm))
    # The foam's far corners are turned up where the pad stood off.
    for cx, side in ((x - rim, 1), (x + w + rim, -1)):
        b.shape([(cx, y - rim + 1.6 * per_cm), (cx, y - rim), (cx + side * 1.8 * per_cm, y - rim)], ground, None)
        b.shape(
            [(cx, y - rim + 1.6 * per_cm), (cx + side * 1.5 * per_cm, y - rim + 1.3 * per_cm),
             (cx + side * 1.8 * per_cm, y - rim)],
            "#ddd5c2", MID, 1.5,
        )  # fmt: skip


def generator(
    b: Board, x: float, y: float, s: float = 1.0, lit: bool = True, plugs: bool = True, lamps: str = "one plate"
) -> None:
    """The generator from the front, 620 by 250 at size 1."""
    w, h = 620 * s, 250 * s
    b.box(x, y, w, h, CASE, INK, 16 * s, 2.5)
    b.box(x + 14 * s, y + 14 * s, w - 28 * s, h - 28 * s, None, CASE_DARK, 10 * s, 1.5)
    for i, (name, watts) in enumerate((("CUT", "45"), ("COAGULATION", "90"))):
        px = x + (40 + i * 225) * s
        b.text(px + 92 * s, y + 38 * s, name, 17 * s, INK, "mm")
        b.box(px, y + 52 * s, 184 * s, 72 * s, GLASS, INK, 6 * s, 2)
        b.text(px + 116 * s, y + 88 * s, watts, 56 * s, LIT if lit else UNLIT, "mm")
        b.text(px + 166 * s, y + 104 * s, "W", 20 * s, LIT if lit else UNLIT, "mm")
        for j, sign in enumerate(("-", "+")):
            b.box(px + (96 + j * 46) * s, y + 136 * s, 38 * s, 28 * s, WHITE, MID, 5 * s, 1.5)
            b.text(px + (115 + j * 46) * s, y + 149 * s, sign, 22 * s, INK, "mm")
    modes = (("low", False), ("standard", False), ("high current", True))
    for j, (name, on) in enumerate(modes):
        yy = y + (140 + j * 18) * s
        b.disc(x + 272 * s, yy, 5 * s, fill=LIT if on and lit else UNLIT, ink=MID, width=1)
        b.text(x + 284 * s, yy, name, 12.5 * s)
    px = x + 488 * s
    b.text(px + 50 * s, y + 38 * s, "RETURN PAD", 15 * s, INK, "mm")
    for j, (name, on) in enumerate((name, name in lamps) for name in ("one plate", "two plates", "alarm")):
        yy = y + (64 + j * 27) * s
        b.disc(px, yy, 7 * s, fill=LIT if on and lit else UNLIT, ink=MID, width=1.2)
        b.text(px + 16 * s, yy, name, 16 * s)
    b.line([(x + 20 * s, y + 190 * s), (x + w - 20 * s, y + 190 * s)], CASE_DARK, 1.5)
    for j, name in enumerate(("ACTIVE 1", "ACTIVE 2", "PEDAL", "PAD")):
        cx = x + (98 + j * 140) * s
        b.text(cx - 34 * s, y + 214 * s, name, 13 * s, INK, "rm")
        if name == "PAD":
            b.box(cx - 20 * s, y + 200 * s, 50 * s, 26 * s, BLACK, INK, 5 * s, 1.5)
        else:
            b.disc(cx, y + 213 * s, 16 * s, fill=BLACK, ink=INK, width=1.5)
            b.disc(cx, y + 213 * s, 6 * s, fill=STEEL_DARK, ink=None)
    if plugs:
        for j, body in ((0, "#54717c"), (2, GREY), (3, "#7a6a52")):
            cx = x + (98 + j * 140) * s
            b.box(cx - 16 * s, y + 198 * s, 36 * s, 34 * s, body, INK, 7 * s, 1.5)
    b.box(x + 560 * s, y + 140 * s, 36 * s, 36 * s, WHITE, INK, 6 * s, 1.5)
    b.disc(x + 578 * s, y + 158 * s, 8 * s, fill=LIT if lit else UNLIT, ink=MID, width=1)


def pedal(b: Board, x: float, y: float, s: float = 1.0) -> None:
    """The two-pedal foot switch from above and before, 260 by 130 at size 1."""
    b.shadow(x + 130 * s, y + 128 * s, 150 * s, 14 * s)
    b.box(x, y + 30 * s, 260 * s, 96 * s, GREY, INK, 18 * s, 2)
    for i, (body, name) in enumerate((("#c9b458", "CUT"), ("#6d8aa3", "COAG"))):
        b.shape(
            [(x + (16 + i * 120) * s, y + 104 * s), (x + (28 + i * 118) * s, y + 14 * s),
             (x + (114 + i * 118) * s, y + 14 * s), (x + (124 + i * 120) * s, y + 104 * s)],
            body, INK, 2,
        )  # fmt: skip
        b.text(x + (70 + i * 119) * s, y + 62 * s, name, 20 * s, INK, "mm")


def bag(b: Board, x: float, y: float, w: float, h: float, seal: str) -> None:
    """A clear evidence bag with its closing strip and seal number."""
    b.shadow(x + w / 2, y + h + 4, w / 2 + 14, 14)
    b.box(x, y, w, h, BAG, MID, 14, 2)
    b.box(x + 10, y + 10, w - 20, h - 20, None, "#cfd6d6", 10, 1.5)
    b.box(x, y + 14, w, 44, "#c9574a", MID, 0, 1.5)
    b.text(x + w / 2, y + 36, f"SEAL {seal}", 24, WHITE, "mm")


def socket(b: Board, x: float, y: float, s: float, number: str, plug: bool) -> None:
    """One wall socket of three slots on its plate, with or without a plug."""
    b.box(x, y, 190 * s, 250 * s, WHITE, MID, 14 * s, 2)
    b.box(x + 30 * s, y + 12 * s, 130 * s, 34 * s, "#f6efd8", MID, 4 * s, 1.5)
    b.text(x + 95 * s, y + 29 * s, f"socket {number}", 20 * s, INK, "mm")
    b.disc(x + 95 * s, y + 146 * s, 70 * s, fill="#ece7dc", ink=MID)
    if plug:
        b.disc(x + 95 * s, y + 146 * s, 56 * s, fill=BLACK, ink=INK)
        b.disc(x + 95 * s, y + 146 * s, 40 * s, fill="#4a4a48", ink=None)
        b.curve([(x + 95 * s, y + 160 * s), (x + 100 * s, y + 300 * s), (x + 60 * s, y + 420 * s)], BLACK, 18 * s, INK)
    else:
        b.box(x + 62 * s, y + 118 * s, 10 * s, 34 * s, BLACK, None, 3)
        b.box(x + 116 * s, y + 118 * s, 10 * s, 34 * s, BLACK, None, 3)
        b.disc(x + 95 * s, y + 182 * s, 9 * s, fill=BLACK, ink=None)
    b.screw(x + 95 * s, y + 64 * s)
    b.screw(x + 95 * s, y + 232 * s, 2.2)


def handpiece(b: Board, x: float, y: float, s: float = 1.0) -> None:
    """An active handpiece lying, tip to the left, 520 by 60 at size 1."""
    b.shadow(x + 280 * s, y + 52 * s, 280 * s, 9 * s)
    b.line([(x, y + 28 * s), (x + 90 * s, y + 28 * s)], STEEL_DARK, 7 * s)
    b.shape(
        [(x + 84 * s, y + 18 * s), (x + 150 * s, y + 6 * s), (x + 480 * s, y + 4 * s), (x + 520 * s, y + 16 * s),
         (x + 520 * s, y + 40 * s), (x + 480 * s, y + 52 * s), (x + 150 * s, y + 50 * s), (x + 84 * s, y + 38 * s)],
        "#54717c", INK, 2,
    )  # fmt: skip
    for i, body in enumerate(("#c9b458", "#6d8aa3")):
        b.box(x + (190 + i * 66) * s, y + 12 * s, 48 * s, 22 * s, body, INK, 8 * s, 1.5)


def grid(b: Board, x: float, y: float, w: float, h: float, step: float, ink: str = FAINT) -> None:
    """Squared lines."""
    at = 0.0
    while at <= w + 0.01:
        b.line([(x + at, y), (x + at, y + h)], ink, 1)
        at += step
    at = 0.0
    while at <= h + 0.01:
        b.line([(x, y + at), (x + w, y + at)], ink, 1)
        at += step
