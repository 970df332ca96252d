"""What a cell says for certain that holds no number: no output, an instrument at its end, a bound outside its ranges.

A word tells of a limit that is not met and never of one that is: what gave nothing did not give what it had to, but a
lead that came off looks like a device that leaks nothing, and like insulation without an end. Who knows better writes
`<` or `>` with a figure, and answers for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from msgspec import Struct

from asfound.measure.units import Quantity, Unit
from asfound.model.number import Value, ValueKind
from asfound.verdicts.doubts import RangeInUnit, quick_doubt, range_for

_GIVEN = frozenset(
    {
        Quantity.CURRENT, Quantity.VOLTAGE, Quantity.CHARGE, Quantity.POWER, Quantity.APPARENT_POWER, Quantity.ENERGY,
        Quantity.VOLUME, Quantity.FLOW, Quantity.FORCE, Quantity.TORQUE, Quantity.SPEED, Quantity.CURRENT_DENSITY,
        Quantity.IRRADIANCE,
    }
)  # fmt: skip
"""Of which there is none where nothing is given. No output of a time is a wait that did not end, and of a temperature
the room is left."""


class Certain(Struct, frozen=True):
    """A bound that holds for certain, with the doubt at it, and how it came about, as a clause without a stop."""

    value: Value
    doubt: float
    why: str


def of_word(value: Value, ranges: Sequence[RangeInUnit], to: Unit) -> Certain | None:
    """The bound that a word stands for. Which of several ranges was in use is not known, so the widest bound is given.

    None for what is no such word, and where no range of the instrument is known, or not what the word means there.
    """
    if not ranges:
        return None
    if value.kind is ValueKind.OVER_RANGE:
        one = min(ranges, key=lambda one: one.high)
        return _above(value, one.high, one, to, f"the most of the {one.known.source}")
    if value.kind is ValueKind.UNDER_RANGE:
        one = max(ranges, key=lambda one: one.low)
        return _below(value, one.low, one, to, f"the least of the {one.known.source}")
    if value.kind is ValueKind.NO_OUTPUT and to.quantity in _GIVEN:
        one = max(ranges, key=_least)
        return _below(value, _least(one), one, to, f"the least that the {one.known.source} shows")
    return None


def of_bound(value: Value, ranges: Sequence[RangeInUnit], to: Unit) -> Certain | None:
    """For a bound outside all ranges, where no doubt is known: the nearest end of a range, which it lies beyond too."""
    y = value.number
    if y is None or range_for(y, ranges) is not None:
        return None
    known = "where the doubt is known"
    if value.kind is ValueKind.BELOW and (over := [one for one in ranges if one.low > y]):
        one = min(over, key=lambda one: one.low)
        return _below(value, one.low, one, to, known)
    if value.kind is ValueKind.ABOVE and (under := [one for one in ranges if one.high < y]):
        one = max(under, key=lambda one: one.high)
        return _above(value, one.high, one, to, known)
    return None


def _least(one: RangeInUnit) -> Decimal:
    """The smallest value above nothing that a range can show."""
    return max(one.low, Decimal(repr(one.known.resolution)))


def _below(value: Value, at: Decimal, one: RangeInUnit, to: Unit, what: str) -> Certain:
    return _certain(Value(value.text, ValueKind.BELOW, at), one, f"is less than {_shown(at, to)}, {what}")


def _above(value: Value, at: Decimal, one: RangeInUnit, to: Unit, what: str) -> Certain:
    return _certain(Value(value.text, ValueKind.ABOVE, at), one, f"is more than {_shown(at, to)}, {what}")


def _certain(value: Value, one: RangeInUnit, said: str) -> Certain:
    assert value.number is not None
    return Certain(value, quick_doubt(float(value.number), one), f"{value.text} {said}")


def _shown(at: Decimal, to: Unit) -> str:
    return f"{at.normalize():f} {to.symbol}"


__all__ = ["Certain", "of_bound", "of_word"]
