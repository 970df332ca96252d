"""Colour, width and pattern of curves and levels by what they stand for; the words beside them say it first."""

from __future__ import annotations

from collections.abc import Sequence

from .curve_spec import Curve, Role
from .palette import Palette
from .parts import DASH
from .spec import Pattern

Look = tuple[str, float, Pattern]
"""Name of the colour, width of the stroke, pattern."""

PATTERNS = (Pattern.SOLID, Pattern.DASHED, Pattern.DOTTED, Pattern.DASH_DOT)

LEVEL_LOOK: dict[Role, Look] = {
    Role.MEASURED: ("ink", 1.2, Pattern.DOTTED),
    Role.MODEL: ("ink", 1.0, Pattern.DASH_DOT),
    Role.LIMIT: ("mark", 1.5, Pattern.DASHED),
    Role.NOMINAL: ("soft", 1.0, Pattern.SOLID),
    Role.PRACTICE: ("mark", 1.5, Pattern.DASH_DOT),
}


def curve_looks(curves: Sequence[Curve]) -> list[Look]:
    """Colour, width and pattern of each curve. Curves of one role differ by pattern; a measured one is the heavier."""
    seen: dict[Role, int] = {}
    start = 1 if any(curve.role is Role.MEASURED for curve in curves) else 0
    out = []
    for curve in curves:
        number = seen.get(curve.role, 0)
        seen[curve.role] = number + 1
        if curve.role is Role.MEASURED:
            out.append(("ink", 1.8, PATTERNS[number % 4]))
        elif curve.role is Role.MODEL:
            turn, pattern = divmod(number + start, 4)
            out.append(("mark" if turn % 2 else "ink", 1.3, PATTERNS[pattern]))
        else:
            out.append(LEVEL_LOOK[curve.role])
    return out


def stroke(look: Look, palette: Palette) -> str:
    """Attributes of a stroke in SVG."""
    colour, width, pattern = look
    return f'fill="none" stroke="{getattr(palette, colour)}" stroke-width="{width}"{DASH[pattern]}'
