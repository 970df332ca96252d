"""The palette, as it is seen by people who lack one kind of cone: nothing fades, and what means something differs.

Shapes, patterns and words say the same first; this holds that the colours do not work against them.
"""

from __future__ import annotations

import itertools
import math
import re

import pytest

from asfound.figures.palette import LIGHT
from asfound.pages import ASSETS, asset_files

Colour = tuple[float, float, float]

# Machado, Oliveira and Fernandes, IEEE Transactions on Visualization and Computer Graphics 15 (2009), 1291-1298, the
# matrices of severity 1.0 for linear RGB (from memory).
SEEN: dict[str, tuple[Colour, Colour, Colour]] = {
    "by all cones": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "protanopia": (
        (0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)
    ),
}  # fmt: skip
MEANING = ("ink", "mark", "warn", "bad")
"""Readings, limits, gaps, readings outside a limit."""
READABLE = 4.5
"""WCAG 2.2, success criterion 1.4.3 (confirmed)."""
APART = 15.0
"""CIE 1976 difference of colour; 2.3 is one that is just noticed (Mahy et al. 1994, from memory)."""


def _dark() -> dict[str, str]:
    """The colours the stylesheet gives on a dark ground."""
    css = "".join(data.decode() for name, data in asset_files() if name.endswith(".css"))
    block = re.search(r"prefers-color-scheme: dark\)\s*\{[^{]*\{([^}]*)\}", css)
    assert block is not None, ASSETS
    return dict(re.findall(r"--af-(\w+):\s*(#[0-9a-f]{6})", block[1]))


GROUNDS = {"light": {name: getattr(LIGHT, name) for name in ("paper", "soft", *MEANING)}, "dark": _dark()}


def _seen(colour: str, how: str) -> Colour:
    """Linear RGB of a colour as it is seen; sRGB by IEC 61966-2-1."""
    coded = [int(colour[at : at + 2], 16) / 255.0 for at in (1, 3, 5)]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in coded]
    red, green, blue = (
        min(max(sum(share * one for share, one in zip(row, linear, strict=True)), 0.0), 1.0) for row in SEEN[how]
    )
    return red, green, blue


def _luminance(colour: Colour) -> float:
    return 0.2126 * colour[0] + 0.7152 * colour[1] + 0.0722 * colour[2]


def _lab(colour: Colour) -> Colour:
    """CIE 1976 L*a*b* on the white of D65."""
    red, green, blue = colour
    axes = (
        (0.4124564 * red + 0.3575761 * green + 0.1804375 * blue) / 0.95047,
        0.2126729 * red + 0.7151522 * green + 0.0721750 * blue,
        (0.0193339 * red + 0.1191920 * green + 0.9503041 * blue) / 1.08883,
    )
    x, y, z = (one ** (1 / 3) if one > (6 / 29) ** 3 else one / (3 * (6 / 29) ** 2) + 4 / 29 for one in axes)
    return 116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)


def test_the_arithmetic_gives_the_known_colours() -> None:
    """White is white to every eye; red and its luminance as WCAG 2.2 defines it; L* of middle grey (CIE 15)."""
    for how in SEEN:
        assert all(math.isclose(one, 1.0, abs_tol=1e-3) for one in _seen("#ffffff", how))
    assert math.isclose(_luminance(_seen("#ff0000", "by all cones")), 0.2126)
    assert math.isclose(_lab(_seen("#777777", "by all cones"))[0], 50.03, abs_tol=0.1)
    # Red and green of one lightness, which deuteranopia takes for one another.
    far, near = (math.dist(_lab(_seen("#c05040", how)), _lab(_seen("#7d7a30", how))) for how in list(SEEN)[:3:2])
    assert near < far / 3.0


@pytest.mark.parametrize("how", SEEN)
@pytest.mark.parametrize("ground", GROUNDS)
def test_every_colour_is_read_on_its_ground(ground: str, how: str) -> None:
    colours = {name: _seen(colour, how) for name, colour in GROUNDS[ground].items()}
    behind = _luminance(colours["paper"])
    for name in ("soft", *MEANING):
        low, high = sorted((_luminance(colours[name]), behind))
        assert (high + 0.05) / (low + 0.05) >= READABLE, name


@pytest.mark.parametrize("how", SEEN)
@pytest.mark.parametrize("ground", GROUNDS)
def test_colours_that_mean_something_are_told_apart(ground: str, how: str) -> None:
    places = {name: _lab(_seen(GROUNDS[ground][name], how)) for name in MEANING}
    for one, other in itertools.combinations(MEANING, 2):
        assert math.dist(places[one], places[other]) >= APART, (one, other)
