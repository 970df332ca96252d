r"""Units of the Digital System of Units (D-SI, `\milli\litre\per\hour`) as units of ours.

The notation is that of the D-SI exchange format (SmartCom, public; names and sizes held against `dsiUnits`, a package
by its makers): names of prefixes and units after a backslash, `\per` before what divides, `\tothe{n}` behind what is
raised.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.measure import Unit, unit

_PREFIXES = {
    "giga": "G", "mega": "M", "kilo": "k", "hecto": "h", "deci": "d", "centi": "c", "milli": "m", "micro": "u",
    "nano": "n", "pico": "p",
}  # fmt: skip
_UNITS = {
    "ampere": "A", "volt": "V", "ohm": "ohm", "siemens": "S", "farad": "F", "henry": "H", "coulomb": "C", "watt": "W",
    "joule": "J", "second": "s", "minute": "min", "hour": "h", "day": "d", "hertz": "Hz", "kelvin": "K",
    "degreecelsius": "°C", "pascal": "Pa", "bar": "bar", "mmHg": "mmHg", "metre": "m", "litre": "L", "gram": "g",
    "kilogram": "kg", "newton": "N", "degree": "°", "lux": "lx", "percent": "%", "ppm": "ppm", "one": "1",
    "decibel": "dB",
}  # fmt: skip
_TOKEN = re.compile(r"\\([a-zA-Z]+)(?:\{(-?[0-9]+)\})?\s*")


def dsi_unit(text: str) -> Unit | None:
    r"""The unit that is meant, or None where it is none of ours.

    >>> dsi_unit(r"\milli\litre\per\hour").symbol, dsi_unit(r"\micro\ampere").symbol, dsi_unit(r"\candela")
    ('mL/h', 'uA', None)
    """
    parts = list(_parts(text.strip()))
    if not parts or any(symbol == "" for symbol, _ in parts):
        return None
    above = [(symbol, power) for symbol, power in parts if power > 0]
    below = [(symbol, -power) for symbol, power in parts if power < 0]
    for raised in ("", "^"):
        for between in ("", "·", " "):
            head = between.join(_raised(*one, raised) for one in above) or "1"
            tail = "/".join(_raised(*one, raised) for one in below)
            if (found := unit(f"{head}/{tail}" if tail else head)) is not None:
                return found
    return None


def _raised(symbol: str, power: int, mark: str) -> str:
    return symbol if power == 1 else f"{symbol}{mark}{power}"


def _parts(text: str) -> Iterator[tuple[str, int]]:
    """Each unit with its prefix and its power; an empty symbol where something is not known."""
    at, prefix, sign = 0, "", 1
    waiting: list[tuple[str, int]] = []
    while at < len(text):
        token = _TOKEN.match(text, at)
        if token is None:
            yield "", 1
            return
        at = token.end()
        name, number = token[1], token[2]
        if name == "per":
            sign = -1
        elif name == "tothe":
            if not waiting or number is None:
                yield "", 1
                return
            symbol, power = waiting.pop()
            waiting.append((symbol, power * int(number)))
        elif name in _PREFIXES and name not in _UNITS:
            prefix = _PREFIXES[name]
        else:
            known = _UNITS.get(name, "")
            waiting.append((f"{prefix}{known}" if known else "", sign))
            prefix, sign = "", 1
    yield from waiting
