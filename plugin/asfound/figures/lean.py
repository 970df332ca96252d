"""A drawing for a page of the site in fewer bytes: looks that recur stand in the stylesheet, paths count from point to
point. The drawing stays the same to the tenth of a pixel it was drawn to.

A drawing that stands alone (a file of its own, the document, a page handed over) keeps its looks: no stylesheet goes
with it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from .gathered import DOT, gathered
from .palette import SITE
from .parts import SIZE

ROOT = "af-d"
"""Class of a drawing whose looks stand in the stylesheet."""

_HALO = (
    ("stroke", SITE.paper), ("stroke-width", "3.5"), ("stroke-linejoin", "round"), ("paint-order", "stroke"),
)  # fmt: skip
LOOKS: dict[tuple[str, str], str] = {
    ("text-anchor", "middle"): "am",
    ("text-anchor", "end"): "ae",
    ("fill", "none"): "an",
    ("fill", SITE.ink): "ki",
    ("fill", SITE.soft): "ks",
    ("fill", SITE.mark): "km",
    ("fill", SITE.warn): "kw",
    ("fill", SITE.bad): "kb",
    ("fill", SITE.paper): "kp",
    ("fill", SITE.wash): "ka",
    ("stroke", SITE.ink): "li",
    ("stroke", SITE.soft): "ls",
    ("stroke", SITE.rule): "lr",
    ("stroke", SITE.mark): "lm",
    ("stroke", SITE.warn): "lw",
    ("stroke", SITE.paper): "lp",
    ("stroke-width", "0.7"): "wc",
    ("stroke-width", "0.8"): "w8",
    ("stroke-width", "1.0"): "w1",
    ("stroke-width", "1.2"): "w2",
    ("stroke-width", "1.4"): "w4",
    ("stroke-width", "1.5"): "w5",
    ("stroke-width", "1.6"): "w6",
    ("stroke-width", "3.4"): "w9",
    ("stroke-width", f"{DOT}"): "wd",
    ("stroke-linejoin", "round"): "ar",
    ("stroke-linecap", "round"): "ac",
    ("stroke-dasharray", "6 4"): "d6",
    ("stroke-dasharray", "1 3"): "d1",
    ("fill-opacity", "0.1"): "o0",
    ("fill-opacity", "0.12"): "o2",
    ("fill-opacity", "0.14"): "o4",
    ("fill-opacity", "0.16"): "ao",
    ("stroke-opacity", "0.6"): "q6",
    ("stroke", "none"): "ln",
    ("font-weight", "600"): "ab",
}
"""Attribute and value → the class that says the same. Any other look stays where it is."""

_TAG = re.compile(r"<(g|path|rect|text|line|circle|tspan)((?: [\w:-]+=\"[^\"]*\")+)(/?)>")
_HEAD = re.compile(r'( role="\w+" aria-labelledby="[^"]*") font-family="[^"]*" font-size="[^"]*" fill="[^"]*"')
_ATTRIBUTE = re.compile(r' ([\w:-]+)="([^"]*)"')
_PLACES = frozenset({"x", "y", "x1", "x2", "y1", "y2", "width", "height", "cx", "cy", "r", "rx", "points"})
_NAMES = re.compile(r'<title id="[^"]*">[^<]*</title><desc id="[^"]*">[^<]*</desc>')
_NAMED = re.compile(r' aria-labelledby="[^"]*"')
_TIP = re.compile(r"<title>[^<]*</title>")
_STEP = re.compile(r"([A-Za-z])([^A-Za-z]*)")
_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")
_LINE = re.compile(r"M-?[0-9]+\.[0-9],-?[0-9]+\.[0-9](?:L-?[0-9]+\.[0-9],-?[0-9]+\.[0-9])*Z?")
_PLAIN = re.compile(r"-?[0-9]+(?:\.[0-9])?")
_PARTS = {"M": 2, "m": 2, "L": 2, "l": 2, "H": 1, "h": 1, "V": 1, "v": 1, "Z": 0, "a": 7}
"""The elements of a path that a drawing of ours is made of, and how many numbers each has."""


def styles() -> str:
    """The rules of the stylesheet that the classes stand for."""
    rules = [f".{ROOT} {{ font-family: var(--af-sans); font-size: {SIZE}px; fill: var(--af-ink); }}"]
    rules.append(_rule("ah", _HALO))
    rules += [_rule(name, (look,)) for look, name in LOOKS.items()]
    return "\n".join(rules)


def _rule(name: str, looks: tuple[tuple[str, str], ...]) -> str:
    said = " ".join(f"{attribute}: {re.sub(',[^)]*', '', value)};" for attribute, value in looks)
    return f".{ROOT} .{name} {{ {said} }}"


def lean(drawing: str, *, tips: bool = True, named_by: str = "") -> str:
    """The same drawing in the site's palette.

    Without `tips` its parts say nothing when pointed at: of a chart the live copy does, and the table behind it tells
    as much. `named_by` is the key of a drawing on the same page that bears title and description for this one too.
    """
    if not tips:
        # In a page of HTML the element says by its name what it is.
        drawing = gathered(_TIP.sub("", drawing.replace(' xmlns="http://www.w3.org/2000/svg"', "", 1)))
    drawing = _HEAD.sub(rf' class="{ROOT}"\1', drawing)
    if named_by:
        drawing = _NAMES.sub("", drawing)
        drawing = _NAMED.sub(f' aria-labelledby="{named_by}-t {named_by}-d"', drawing)
    return _TAG.sub(_element, drawing)


def _element(found: re.Match[str]) -> str:
    looks, places = [], []
    for one in _ATTRIBUTE.findall(found[2]):
        name, value = one
        if name == "d":
            places.append(f' d="{path(value)}"')
        elif name in _PLACES:
            places.append(f' {name}="{value.replace(".0", "") if value.endswith(".0") else value}"')
        else:
            looks.append(one)
    return f"<{found[1]}{_said(tuple(looks))}{''.join(places)}{found[3]}>"


@lru_cache(maxsize=1024)
def _said(looks: tuple[tuple[str, str], ...]) -> str:
    """Attributes of a look as classes, and what no class stands for."""
    names, rest = [], list(looks)
    if all(one in rest for one in _HALO):
        names.append("ah")
        rest = [one for one in rest if one not in _HALO]
    names += [LOOKS[one] for one in rest if one in LOOKS]
    left = "".join(f' {name}="{value}"' for name, value in rest if (name, value) not in LOOKS)
    return (f' class="{" ".join(names)}"' if names else "") + left


def path(data: str) -> str:
    """Path data with steps in place of places, wherever those are shorter. Everything is counted in whole tenths of a
    pixel, so that no rounding adds up; a path that cannot be is given back as it is."""
    if _LINE.fullmatch(data) is not None:
        return _line(data)
    x = y = left = top = 0
    out: list[str] = []
    before = ""
    for letter, told in _STEP.findall(data):
        steps = _values(letter, told)
        if steps is None:
            return data
        if letter == "Z":
            x, y, before = left, top, letter
            out.append("z")
            continue
        if letter == "a":
            x, y, before = x + steps[5], y + steps[6], letter
            out.append(letter + told.replace(" ", ",").replace(",-", "-"))
            continue
        small = letter.lower()
        if small == "h":
            dx, dy = steps[0] - (x if letter == "H" else 0), 0
            near, far = _text(dx), _text(x + dx)
        elif small == "v":
            dx, dy = 0, steps[0] - (y if letter == "V" else 0)
            near, far = _text(dy), _text(y + dy)
        else:
            dx, dy = steps
            if letter == "M" or letter == "L":
                dx, dy = dx - x, dy - y
            near, far = _text(dx) + _next(dy), _text(x + dx) + _next(y + dy)
        x, y = x + dx, y + dy
        if small == "m":
            left, top = x, y
        again = before == small == "l"
        if out and len(near) <= len(far) + again:
            # Of several steps in a row the letter stands once.
            out.append((near if near[0] == "-" else f" {near}") if again else small + near)
            before = small
        else:
            before = letter.upper()
            out.append(before + far)
    return "".join(out)


def _line(data: str) -> str:
    """A path from place to place and nothing else, which is what most and the longest are: the same in one sweep."""
    numbers = [int(one) for one in data.strip("MZ").replace(".", "").replace("L", ",").split(",")]
    x, y = numbers[0], numbers[1]
    out = [f"M{_text(x)}{_next(y)}"]
    before = "M"
    for at in range(2, len(numbers), 2):
        right, down = numbers[at], numbers[at + 1]
        if (right == x) != (down == y):
            straight, there, step = ("v", down, down - y) if right == x else ("h", right, right - x)
            short, place = _text(step), _text(there)
            out.append(f"{straight}{short}" if len(short) <= len(place) else f"{straight.upper()}{place}")
            x, y, before = right, down, straight
            continue
        near, far = _text(right - x) + _next(down - y), _text(right) + _next(down)
        x, y = right, down
        again = before == "l"
        if len(near) <= len(far) + again:
            out.append((near if near[0] == "-" else f" {near}") if again else f"l{near}")
            before = "l"
        else:
            out.append(f"L{far}")
            before = "L"
    return "".join(out) + ("z" if data[-1] == "Z" else "")


def _values(letter: str, told: str) -> Sequence[int] | None:
    """The numbers of an element in tenths; None where they are none, or not as many as it has."""
    if letter == "L" or letter == "M":
        first, _, second = told.partition(",")
        a, b = _tenths(first), _tenths(second)
        if a is not None and b is not None:
            return a, b
    values = [_tenths(one) for one in _NUMBER.findall(told)]
    kept = [one for one in values if one is not None]
    return kept if len(kept) == len(values) == _PARTS.get(letter, -1) else None


@lru_cache(maxsize=1 << 15)
def _tenths(number: str) -> int | None:
    """A number of at most one decimal, in tenths; None for anything else."""
    if _PLAIN.fullmatch(number) is None:
        return None
    whole, _, rest = number.partition(".")
    return int(whole) * 10 + (-int(rest or 0) if whole.startswith("-") else int(rest or 0))


@lru_cache(maxsize=1 << 15)
def _text(value: int) -> str:
    """Tenths as a number, without a nought that a reader of paths can do without."""
    whole, rest = divmod(abs(value), 10)
    return f"{'-' if value < 0 else ''}{whole or ('' if rest else '0')}{f'.{rest}' if rest else ''}"


@lru_cache(maxsize=1 << 15)
def _next(value: int) -> str:
    """The same behind another number."""
    return _text(value) if value < 0 else f",{_text(value)}"
