"""Readings whose sign tells a direction, held against a limit on how much there is.

Reversed direct current reads below zero, and so do two leads exchanged: -600 µA is 600 µA the other way, and does not
meet a limit of at most 500 µA. IEC 62353:2014, 5.3.2.2 (from memory) has a test with direct current repeated reversed
and the higher of the two recorded, whichever way it flowed.
"""

from __future__ import annotations

from asfound.measure.units import Quantity
from asfound.model.limits import Fixed, Limit, Sense
from asfound.model.number import Value, ValueKind
from asfound.verdicts.measured import Measured

DIRECTED = frozenset({Quantity.CURRENT.value, Quantity.VOLTAGE.value, Quantity.RESISTANCE.value})
"""Quantities whose sign tells a direction."""
_SAID = "the sign tells the direction, and the limit is on the size"
_UNSETTLED = '"{}" does not say how large it is, and the limit is on the size'


def on_size(limit: Limit) -> bool:
    """Whether a limit bounds how much there is, whichever way it flows; one that lies below zero itself does not."""
    below = isinstance(limit.bound, Fixed) and limit.bound.value.value < 0
    return limit.sense is Sense.AT_MOST and limit.quantity in DIRECTED and not below


def sized(one: Measured) -> Measured:
    """A reading by its size, with a step that says so where it lies below zero.

    Below a bound below zero it is the larger, so `<-600` is `>600` in size; above one, any size is left.
    """
    if one.y is None or one.y >= 0:
        return one
    text, kind = one.value.text, one.value.kind
    if kind is ValueKind.ABOVE:
        return one._replace(why=_UNSETTLED.format(text))
    turned = ValueKind.ABOVE if kind is ValueKind.BELOW else kind
    return one._replace(y=-one.y, value=Value(text, turned, -one.y), steps=(*one.steps, _SAID))
