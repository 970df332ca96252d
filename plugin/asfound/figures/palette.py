"""The colours of a drawing, by what they are for. The words always say the same thing first."""

from __future__ import annotations

from dataclasses import dataclass, fields


@dataclass(frozen=True, slots=True)
class Palette:
    """Ink for readings, soft for scales, rule for the grid, wash for surfaces, mark for limits, warn for
    gaps, bad for readings outside a limit, paper for what lies behind; and the type."""

    ink: str
    soft: str
    rule: str
    wash: str
    mark: str
    warn: str
    bad: str
    paper: str
    font: str


_SANS = "'Source Sans 3', 'Source Sans Pro', sans-serif"

PAPER = Palette(
    ink="#1d2023",
    soft="#565b61",
    rule="#d9d5cb",
    wash="#f1eee6",
    mark="#1f5a6b",
    warn="#864707",
    bad="#8c1d2b",
    paper="#ffffff",
    font=_SANS,
)
"""Literal colours for paper: a typesetter does not know CSS variables and would print them black."""

LIGHT = Palette(
    ink="#1d2023",
    soft="#565b61",
    rule="#d9d5cb",
    wash="#f1eee6",
    mark="#1f5a6b",
    warn="#864707",
    bad="#8c1d2b",
    paper="#fbfaf7",
    font=_SANS,
)
"""The light scheme of the stylesheet, as literals."""

COLOURS: tuple[str, ...] = tuple(f.name for f in fields(Palette) if f.name != "font")

SITE = Palette(
    **{name: f"var(--af-{name},{getattr(LIGHT, name)})" for name in COLOURS},
    font=f"var(--af-sans,{_SANS})",
)
"""Variables of the stylesheet; a page without the stylesheet shows the light scheme."""
