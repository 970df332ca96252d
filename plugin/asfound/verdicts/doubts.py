"""The doubt of a reading, from the instrument that took it and the spread of its repeats.

Components (JCGM 100:2008): the accuracy of the range in use (Type B, rectangular), half a step of the display
(Type B, rectangular), the certificate's expanded uncertainty (Type B, its k), and, where the same conditions
were read more than once on the sheet, the standard deviation of a single reading (Type A, n - 1 degrees of
freedom). The deviation of a single reading is taken, not of the mean, since it is a single reading that is judged.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal

from msgspec import Struct

from asfound.measure.budget import (
    INFINITE,
    Budget,
    Component,
    Distribution,
    Expanded,
    Kind,
    RangeDoubt,
    expanded_fast,
    range_budget,
    repeated_fast,
)
from asfound.measure.units import OtherQuantityError, Unit, convert, convert_difference, unit
from asfound.model.base import Amount
from asfound.model.bench import Function, Instrument, Range


class RangeInUnit(Struct, frozen=True):
    """One range of an instrument's function, in the unit of the verdict."""

    low: Decimal
    high: Decimal
    known: RangeDoubt


class Doubt(Struct, frozen=True):
    """An expanded doubt, its coverage factor, and the budget it came from."""

    expanded: float
    k: float
    budget: Budget


def ranges_in(instrument: Instrument | None, function: str, to: Unit) -> tuple[RangeInUnit, ...]:
    """The ranges of a function in a unit, narrowest first; empty where instrument or function is unknown."""
    if instrument is None or function not in instrument.functions:
        return ()
    chosen = instrument.functions[function]
    found = []
    for one in chosen.ranges:
        made = _range_in(one, chosen, to)
        if made is not None:
            found.append(made)
    return tuple(sorted(found, key=lambda one: (one.high - one.low, one.low)))


def _range_in(one: Range, function: Function, to: Unit) -> RangeInUnit | None:
    low, high = _point(one.from_, to), _point(one.to, to)
    resolution = _width(one.resolution, to)
    absolute = _width(one.accuracy.plus, to) if one.accuracy.plus else Decimal(0)
    certificate = _width(function.certificate_doubt, to) if function.certificate_doubt else Decimal(0)
    if low is None or high is None or resolution is None or absolute is None or certificate is None:
        return None
    own = unit(one.to.unit)
    assert own is not None
    known = RangeDoubt(
        percent=float(one.accuracy.percent),
        absolute=float(absolute),
        digits=float(one.accuracy.digits),
        resolution=float(resolution),
        certificate=float(certificate),
        k=float(function.certificate_k),
        dof=INFINITE if function.certificate_dof is None else float(function.certificate_dof),
        source=f"range to {one.to.text}",
        # A per cent of a temperature counts from the zero of the scale that the instrument shows.
        zero=0.0 if own.offset == to.offset else float(convert(Decimal(0), own, to)),
    )
    return RangeInUnit(low, high, known)


def _point(amount: Amount, to: Unit) -> Decimal | None:
    typed = unit(amount.unit)
    try:
        return None if typed is None else convert(amount.value, typed, to)
    except OtherQuantityError:
        return None


def _width(amount: Amount, to: Unit) -> Decimal | None:
    typed = unit(amount.unit)
    try:
        return None if typed is None else convert_difference(amount.value, typed, to)
    except OtherQuantityError:
        return None


def range_for(value: Decimal, ranges: Sequence[RangeInUnit]) -> RangeInUnit | None:
    """The narrowest range that holds a value; None outside all of them."""
    for one in ranges:
        if one.low <= value <= one.high:
            return one
    return None


def doubt_of(value: Decimal, ranges: Sequence[RangeInUnit], repeats: Sequence[float] = ()) -> Doubt | None:
    """The doubt of one reading; None where no range holds it, since a doubt is never guessed."""
    chosen = range_for(value, ranges)
    if chosen is None:
        return None
    budget = range_budget(float(value), chosen.known)
    if len(repeats) > 1:
        budget = Budget((*budget.components, spread(repeats)))
    return Doubt(budget.expanded(), budget.coverage(), budget)


def quick_doubt(value: float, chosen: RangeInUnit) -> float:
    """The expanded doubt alone, for many single readings in one range. The same number as `doubt_of`."""
    return expanded_fast(value, chosen.known)


def repeated_doubt(value: float, chosen: RangeInUnit, s: float = 0.0, dof: float = INFINITE) -> Expanded:
    """The expanded doubt and its coverage factor where the spread is known already: the numbers of `doubt_of`."""
    return repeated_fast(value, chosen.known, s, dof)


def spread(repeats: Sequence[float]) -> Component:
    """Standard deviation of a single reading among its repeats (JCGM 100:2008, 4.2.2)."""
    count = len(repeats)
    mean = math.fsum(repeats) / count
    s = math.sqrt(math.fsum((value - mean) ** 2 for value in repeats) / (count - 1))
    return Component("spread of the repeats", Kind.A, s, Distribution.STANDARD, dof=count - 1.0)
