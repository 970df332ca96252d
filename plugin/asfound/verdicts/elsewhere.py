"""The doubt of a figure that a row states and that another sheet of the case measured.

A log says for how long an output was on; how much current flowed then stands beside it, taken over from a sheet that
measured it. What that sheet knows of its doubt goes with it.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import NamedTuple

from asfound.measure.units import Unit, convert, convert_difference
from asfound.verdicts.context import Unknown, same
from asfound.verdicts.measured import Measured, SheetWork, is_open


class Borrowed(NamedTuple):
    """A doubt taken over: expanded, the instrument it comes from, its coverage factor, degrees of freedom behind it."""

    U: float
    instrument: str
    k: float
    dof: float

    @property
    def twice(self) -> float:
        """Twice the standard doubt, the form in which doubts are combined."""
        return self.U * 2.0 / self.k


def doubt_elsewhere(
    work: SheetWork, works: Mapping[str, SheetWork], one: Measured, name: str, to: Unit
) -> Borrowed | None:
    """The doubt of condition `name` of a row, in `to`, and the instrument it comes from.

    Asked are readings of the same item in the same quantity, taken under no conditions but such as the row states
    alike. The largest standard doubt among them is taken, since what an instrument adds does not shrink in a mean; of
    equal ones that with the fewest degrees of freedom.
    None: nothing measured it so, or what did says another figure.
    """
    try:
        stated = work.setting.amount(one.reading, name, to)
    except Unknown:
        return None
    found = [
        Borrowed(doubt, other.sheet.instrument, taken.k, taken.dof)
        for other in works.values()
        if other is not work and other.sheet.item == work.sheet.item and other.to.quantity is to.quantity
        # A log of hundreds of rows is held against hundreds of readings, so what they share is looked at once.
        for group in other.alike
        if _alike(work, one, other, group[0])
        for taken in group
        if (doubt := _doubt(other, taken, stated, to)) is not None
    ]
    return max(found, key=lambda one: (one.twice, -one.dof, one.instrument), default=None)


def _alike(work: SheetWork, one: Measured, other: SheetWork, taken: Measured) -> bool:
    given = [name for name, text in taken.reading.conditions.items() if text]
    return bool(given) and all(
        same(work.setting.spoken(one.reading, name), other.setting.spoken(taken.reading, name) or "") for name in given
    )


def _doubt(other: SheetWork, taken: Measured, stated: Decimal, to: Unit) -> float | None:
    if taken.y is None or not taken.U or is_open(taken):
        return None
    doubt = float(convert_difference(Decimal(repr(taken.U)), other.to, to))
    return doubt if abs(float(convert(taken.y, other.to, to) - stated)) <= doubt else None
