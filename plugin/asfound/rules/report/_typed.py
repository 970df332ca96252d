"""Numbers with units as prose types them: alone, in a row, as a range, behind ±, as a share, and counts `3 of 10`."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Context, Decimal
from enum import Enum
from functools import cache, lru_cache

from msgspec import Struct

from asfound.measure.units import UNITS, Unit, unit
from asfound.model.number import decimal_of

_SPACE = " \u00a0\u202f"
# Atomic: a number is read in one way only, so that a long row of them cannot be tried in every combination.
# No number of thousands begins with 0: `0,151` has a comma for its point.
_PLAIN = f"(?>[1-9]\\d{{0,2}}(?:[{_SPACE},]\\d{{3}})+(?:\\.\\d+)?|\\d+(?:[.,]\\d+)?)"
_SIGNED = f"[-+\u2212]?{_PLAIN}"
_JOIN = (
    f"(?:,[{_SPACE}]+(?:and[{_SPACE}]+)?|[{_SPACE}]+(?:and|or|to|of)[{_SPACE}]+"
    f"|[{_SPACE}]*(?:\u2013|\u2014|-|±|\\+/-)[{_SPACE}]*)"
)
_NUMBERS = re.compile(
    f"(?<![\\w.,/:#])(?P<lead>(?:{_SIGNED}{_JOIN}){{0,40}})(?P<sign>±|\\+/-)?[{_SPACE}]?(?P<last>{_SIGNED})"
    f"[{_SPACE}]?(?P<unit>[A-Za-zµμΩΩ%°/][^\\s,;:!?)\\]]{{0,9}})"
)
_LEAD = re.compile(f"(?P<number>{_SIGNED})(?P<join>{_JOIN})")
_GROUPED = re.compile(f"([1-9]\\d{{0,2}}(?:[{_SPACE},]\\d{{3}})+)(\\.\\d+)?")
_LETTERS, _GOES_ON = re.compile(r"[^\W\d_]+"), re.compile(r"[\w/]")
_RANGE = frozenset(("to", "\u2013", "\u2014", "-"))
# fmt: off
_WORDS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen",
    "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty",
)
# fmt: on
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_BELOW_TEN, _BELOW_TWENTY = "|".join(_WORDS[1:10]), "|".join((*_WORDS[1:], *_TENS))
_COUNTED = rf"(?:\d{{1,4}}|(?:{'|'.join(_TENS)})-(?:{_BELOW_TEN})|{_BELOW_TWENTY})"
_COUNT = re.compile(
    rf"(?<![\w.,/-])(?P<n>{_COUNTED}|no|none) (?:out )?of (?:the |all |its |these )?(?P<of>{_COUNTED})(?![\w.,]*\d)"
    r"(?: (?P<what>[^\W\d_]+))?",
    re.IGNORECASE,
)


# A reading has up to 30 digits before its point, and in another unit or after a slip many more behind it.
_WIDE = Context(prec=120)


class Shape(Enum):
    """How a number stands in the sentence."""

    PLAIN = "plain"
    RANGE = "range"
    DOUBT = "doubt"


class Typed(Struct, frozen=True):
    """A number, or a range, as typed.

    values  one, or the two ends of a range
    before  the sentence up to it; of numbers in a row, up to the first
    after   the sentence behind its unit
    shown   as typed, for a message
    """

    shape: Shape
    values: tuple[Decimal, ...]
    unit: Unit
    before: str
    after: str
    shown: str


class Counted(Struct, frozen=True):
    """`3 of 10`, in figures or words. `what` is the word behind it."""

    n: int
    of: int
    what: str
    shown: str


@lru_cache(maxsize=4096)
def typed_numbers(sentence: str) -> tuple[Typed, ...]:
    """Every number of a sentence that has a unit of the list behind it, or shares one with the number after it."""
    return tuple(_typed(sentence))


def _typed(sentence: str) -> Iterator[Typed]:
    for match in _NUMBERS.finditer(sentence):
        known, length = _unit(sentence, match)
        if known is None:
            continue
        before, after = sentence[: match.start()], sentence[match.end("last") + length :]
        pieces = [(one["number"], one["join"].strip()) for one in _LEAD.finditer(match["lead"])]
        read = [(plain_number(text), join) for text, join in (*pieces, (match["last"], ""))]
        if any(number is None for number, _ in read):
            continue
        numbers = [(number, join) for number, join in read if number is not None]
        yield from _shapes(numbers, bool(match["sign"]), known, before, after)


def _shapes(numbers: list[tuple[Decimal, str]], signed: bool, known: Unit, before: str, after: str) -> Iterator[Typed]:
    behind = "±" if signed else ""
    at = 0
    while at < len(numbers):
        value, join = numbers[at]
        shown = f"{value} {known.symbol}"
        if behind in {"±", "+/-"}:
            yield Typed(Shape.DOUBT, (abs(value),), known, before, after, f"±{abs(value)} {known.symbol}")
        elif at + 1 < len(numbers) and (join in _RANGE or (join == "and" and before.endswith("between "))):
            other, join = numbers[at + 1]
            low, high = sorted((value, other))
            yield Typed(Shape.RANGE, (low, high), known, before, after, f"{value} to {other} {known.symbol}")
            at += 1
        else:
            yield Typed(Shape.PLAIN, (value,), known, before, after, shown)
        behind = join
        at += 1


def counted(sentence: str) -> Iterator[Counted]:
    """Every `3 of 10` of a sentence, where no unit makes it a share of an amount."""
    for match in _COUNT.finditer(sentence):
        what = match["what"] or ""
        if unit(what) is None or what == "in":
            n, of = _whole(match["n"]), _whole(match["of"])
            if n <= of:
                yield Counted(n, of, what, match.group(0))


def plain_number(text: str) -> Decimal | None:
    """A number as prose may write it: thousands parted by a space or a comma, or a comma for the point."""
    text = text.replace("\u2212", "-")
    sign = text[:1] if text[:1] in "+-" else ""
    grouped = _GROUPED.fullmatch(text.removeprefix(sign))
    if grouped:
        text = sign + re.sub(f"[{_SPACE},]", "", grouped[1]) + (grouped[2] or "")
    return decimal_of(text.replace(",", "."))


def rounds_to(value: Decimal, typed: Decimal) -> bool:
    """Whether a value, rounded as the typed number is, is the typed number; either way of rounding a half will do."""
    exponent = Decimal(1).scaleb(int(typed.as_tuple().exponent))
    return any(value.quantize(exponent, rounding, _WIDE) == typed for rounding in (ROUND_HALF_UP, ROUND_HALF_EVEN))


def slip(value: Decimal, typed: Decimal) -> int:
    """The power of ten, up to 10^6, by which a typed number is off; 0 where it is off by something else."""
    for power in (3, -3, 6, -6, 2, -2, 1, -1):
        scaled = typed.scaleb(-power)
        if value != 0 and (scaled == value or rounds_to(value, scaled)):
            return power
    return 0


def _whole(text: str) -> int:
    text = text.lower()
    if text.isdigit():
        return int(text)
    if text == "none":
        return 0
    if text in _WORDS:
        return _WORDS.index(text)
    tens, _, ones = text.partition("-")
    return 20 + 10 * _TENS.index(tens) + (_WORDS.index(ones) if ones else 0)


@cache
def spoken_units() -> dict[str, tuple[tuple[str, Unit], ...]]:
    """Units in words, the longest first, by their first word: `milliamperes`, `milliamps`, `millilitres per hour`, `per
    cent`, in both spellings of English."""
    named: dict[str, Unit] = {}
    for one in UNITS:
        if not one.symbol or one.symbol == "1" or "," in one.name:
            continue
        head, per, tail = one.name.partition(" per ")
        plural = "degrees" + head.removeprefix("degree") if head.startswith("degree") else f"{head}s"
        for name in (one.name, f"{plural}{per}{tail}"):
            for spelt in (
                name,
                name.replace("litre", "liter").replace("metre", "meter"),
                name.replace("ampere", "amp"),
            ):
                named.setdefault(spelt.lower(), one)
    begun: dict[str, list[tuple[str, Unit]]] = {}
    for name in sorted(named, key=len, reverse=True):
        begun.setdefault(name.partition(" ")[0], []).append((name, named[name]))
    return {first: tuple(names) for first, names in begun.items()}


def spoken_unit(sentence: str, at: int) -> tuple[str, Unit] | None:
    """The unit in words that begins at a place and ends with a word, as the list names it; the longest of several."""
    # Looked up by its first word: one pattern of all 350 names took 7 ms of every check to compile.
    first = _LETTERS.match(sentence, at)
    if first is None:
        return None
    for name, one in spoken_units().get(first.group().lower(), ()):
        end = at + len(name)
        if sentence[at:end].lower() == name and not _GOES_ON.match(sentence, end):
            return name, one
    return None


def _unit(sentence: str, match: re.Match[str]) -> tuple[Unit | None, int]:
    """The unit behind the last number, and how long number-to-unit gap and unit are together."""
    gap = match.start("unit") - match.end("last")
    spoken = spoken_unit(sentence, match.start("unit"))
    if spoken is not None:
        return spoken[1], gap + len(spoken[0])
    text = match["unit"].rstrip(".")
    return (None, 0) if text == "in" else (unit(text), gap + len(text))
