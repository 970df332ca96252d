"""How an answer of a calculation reads, and how a figure typed for one is understood."""

from __future__ import annotations

import re
from decimal import Decimal

from msgspec import Struct

from asfound.measure.show import show_measured, show_number, with_unit
from asfound.measure.units import OtherQuantityError, convert, convert_difference, nearest, unit
from asfound.model.number import Fault, read_decimal
from asfound.physics.calc import Answer, Input

DIGITS = 4
"""Significant digits of a figure without a doubt: more would claim what a model does not give."""
FEWER = 3
"""The same of the ends of a range."""

_TYPED = re.compile(
    r"\s*([+-]?[0-9.]+(?:e[+-]?[0-9]+)?)\s*(?:(?:±|\+-|\+/-)\s*([0-9.]+(?:e[+-]?[0-9]+)?))?\s*(\S.*?)?\s*"
    r"(?:\(\s*k\s*=?\s*([^,()=\s]+)\s*(?:,\s*dof\s*=?\s*([^,()=\s]+)\s*)?\)\s*)?"
)


def answer_text(answer: Answer) -> str:
    """A result as text: with its doubt, or rounded to four digits, and with its range where it has one."""
    of = unit(answer.unit) if answer.unit != "1" else None
    ranged = (answer.low, answer.high)
    parts = []
    if answer.value is not None:
        value = Decimal(repr(answer.value))
        if answer.doubt is not None and answer.doubt > 0.0:
            parts.append(show_measured(value, answer.doubt, of, computed=True))
        else:
            parts.append(with_unit(show_number(rounded(answer.value)), of))
    if ranged[0] is not None and ranged[1] is not None:
        low, high = (with_unit(show_number(rounded(one, FEWER)), of) for one in ranged if one is not None)
        # Ends that print alike, and like the value, say nothing that it does not.
        if low != high or answer.value is None:
            parts.append(f"from {low} to {high}")
    return ", ".join(parts) or "not computed"


def rounded(value: float, digits: int = DIGITS) -> Decimal:
    """A figure with so many significant digits."""
    return Decimal(f"{value:.{digits - 1}e}").normalize() if value else Decimal(0)


class Typed(Struct, frozen=True):
    """A figure or word as the calculation takes it, in the unit of its input; or what is wrong with it.

    doubt   expanded, as it was typed
    k, dof  its coverage factor and the degrees of freedom behind it, None where none were typed
    """

    value: float | str = 0.0
    doubt: float | None = None
    fault: str = ""
    k: float | None = None
    dof: float | None = None

    @property
    def twice(self) -> float | None:
        """Twice the standard doubt, the form in which doubts are combined."""
        return None if self.doubt is None else self.doubt * 2.0 / (self.k or 2.0)


def read_typed(one: Input, text: str) -> Typed:
    """Read what was typed for an input: a word of its choices, or a number with its unit and perhaps its doubt.

    >>> read_typed(Input("time", "s", "how long"), "2 ± 0.5 min")
    Typed(value=120.0, doubt=30.0, fault='', k=None, dof=None)
    >>> read_typed(Input("current", "A", "how much"), "1.15 ± 0.06 A (k = 4.53, dof 2)").twice
    0.02649006622516556
    """
    if one.choices:
        if text not in one.choices:
            return Typed(fault=f'{one.name} is one of {", ".join(one.choices)}, not "{text}"')
        return Typed(text)
    match = _TYPED.fullmatch(text)
    if match is None:
        return Typed(fault=f'{one.name}: "{text}" is no number with a unit, as in 1.15 A or 1.15±0.03 A')
    number, doubt, symbol, factor, freedom = match.groups()
    read, *more = (read_decimal(part) if part else None for part in (number, doubt, factor, freedom))
    for what, part in zip(("", "", "k is ", "dof is "), (read, *more), strict=True):
        if isinstance(part, Fault):
            return Typed(fault=f"{one.name}: {what}{part.found}; {part.needed} is needed")
    spread, k, dof = (None if isinstance(part, Fault) else part for part in more)
    assert isinstance(read, Decimal)
    if k is not None and spread is None:
        return Typed(fault=f'{one.name}: "{text}" has a k and no doubt; write it as in 1.15±0.03 A (k=2)')
    if k is not None and not k > 0:
        return Typed(fault=f"{one.name}: k is {factor}; a coverage factor above 0 is needed")
    if dof is not None and dof < 1:
        return Typed(fault=f"{one.name}: dof is {freedom}; 1 degree of freedom or more is needed")
    return _in_unit(one, read, spread, symbol, k, dof, number)


def _in_unit(
    one: Input, read: Decimal, spread: Decimal | None, symbol: str | None, factor: Decimal | None,
    freedom: Decimal | None, number: str,
) -> Typed:  # fmt: skip
    k, dof = (None if part is None else float(part) for part in (factor, freedom))
    if not one.unit:
        if symbol:
            return Typed(fault=f'{one.name} is a number without a unit, and "{symbol}" follows it')
        return Typed(float(read), None if spread is None else float(spread), "", k, dof)
    given, wanted = unit(symbol or ""), unit(one.unit)
    assert wanted is not None, one.unit
    if not symbol:
        return Typed(fault=f"{one.name} bears no unit; write it after the number, as in {number} {one.unit}")
    if given is None:
        near = nearest(symbol)
        hint = f"; perhaps {near} is meant" if near else ""
        return Typed(fault=f'{one.name}: no unit "{symbol}" is known{hint}')
    try:
        value = float(convert(read, given, wanted))
        return Typed(value, None if spread is None else float(convert_difference(spread, given, wanted)), "", k, dof)
    except OtherQuantityError as error:
        return Typed(fault=f"{one.name}: {error}")
