"""The frozen dossier of the base case, and its pages: they change only where the pages do."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from asfound.model.dossier import Dossier, read_dossier
from asfound.pages import Made

FILE = Path(__file__).parents[2] / "gold" / "dossier" / "format-1.json"

# One grey pixel.
_PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108000000003a7e9b550000000a49444154789c636800000082"
    "0081774f6e0f0000000049454e44ae426082"
)


@cache
def frozen() -> Dossier:
    """The dossier, read anew."""
    return read_dossier(FILE.read_text(encoding="utf-8"))


def pictures() -> dict[str, Made]:
    """Stand-ins for the two photographs."""
    return {ref: Made(f"case/base/pictures/{ref}.png", _PNG, 4, 3, "image/png") for ref in ("E-1", "E-2")}
