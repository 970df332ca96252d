"""From a limit as written to the numbers a reading is compared with."""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal

from msgspec import Struct

from asfound.measure.units import OtherQuantityError, Unit, convert, convert_difference, unit
from asfound.model.base import Amount
from asfound.model.limits import Bound, Fixed, Greatest, LeakagePower, Limit, Percent, Sense, Sum
from asfound.model.number import Value, ValueKind, parted
from asfound.model.work import Reading
from asfound.verdicts.context import AFFIRMED, Setting, Unknown, amount_in, words

HUNDRED = Decimal(100)


class Resolved(Struct, frozen=True):
    """Lower and upper bound in the verdict's unit, and how they came about, in words."""

    lower: Decimal | None
    upper: Decimal | None
    steps: tuple[str, ...] = ()


class Exempted(Exception):
    """The document asks nothing here; the message says why, as a clause."""


def applies(limit: Limit, setting: Setting, reading: Reading, test: str, makers: Sequence[Limit] = ()) -> bool | None:
    """Whether a limit speaks to a reading. None where a condition it depends on is not on record."""
    if not (limit.when or limit.only or limit.unless or limit.gives_way_to):
        return True
    for name, allowed in limit.only.items():
        found = setting.known(reading, name)
        if found is None or not any(setting.matches(reading, name, one) for one in allowed):
            return False
    for name, allowed in limit.unless.items():
        if any(setting.matches(reading, name, one) for one in allowed):
            return False
    unsure = False
    for name, allowed in limit.when.items():
        found = setting.known(reading, name)
        if found is None:
            unsure = True
        elif not any(setting.matches(reading, name, one) for one in allowed):
            return False
    if unsure:
        return None
    return not _gives_way(limit, setting, reading, test, makers)


def _gives_way(limit: Limit, setting: Setting, reading: Reading, test: str, makers: Sequence[Limit]) -> bool:
    if "maker's limit" in limit.gives_way_to and any(
        other is not limit and applies(other, setting, reading, test) for other in makers
    ):
        return True
    if "stated value" not in limit.gives_way_to:
        return False
    try:
        setting.stated(reading, test)
    except Unknown:
        return False
    return True


def unrecorded(limit: Limit, setting: Setting, reading: Reading) -> tuple[str, ...]:
    """Names of the conditions a limit depends on that are not on record."""
    return tuple(name for name in limit.when if setting.known(reading, name) is None)


def resolve(limit: Limit, setting: Setting, reading: Reading, test: str, to: Unit) -> Resolved:
    """The bounds for one reading.

    Raises Unknown where something they depend on is not on record, Exempted where nothing is asked.
    """
    if limit.exempt is not None:
        _exempt(limit, setting, reading)
    at = _At(setting, reading, test, to)
    if limit.sense is Sense.AT_MOST and limit.bound is not None:
        value, steps = at.bound(limit.bound)
        return Resolved(None, value, steps)
    if limit.sense is Sense.AT_LEAST and limit.bound is not None:
        value, steps = at.bound(limit.bound)
        return Resolved(value, None, steps)
    if limit.sense is Sense.WITHIN and limit.bound is not None and limit.around is not None:
        centre, said = at.named(limit.around)
        half, steps = at.bound(limit.bound, width=True)
        if half < 0:
            raise Unknown(f"the width to either side comes to {half:f} {to.symbol}, below zero")
        return Resolved(centre - half, centre + half, (said, *steps))
    if limit.sense is Sense.BETWEEN and limit.low is not None and limit.high is not None:
        low, first = at.bound(limit.low)
        high, second = at.bound(limit.high)
        if low > high:
            # One of them is a share of something that differs from case to case, so that no check of a set can tell.
            raise Unknown(f"the bounds cross at these conditions: {low:f} {to.symbol} lies above {high:f} {to.symbol}")
        return Resolved(low, high, (*first, *second))
    raise Unknown(f"the limit {limit.title!r} is not complete: it lacks its bound")


def _exempt(limit: Limit, setting: Setting, reading: Reading) -> None:
    exempt = limit.exempt
    assert exempt is not None
    whole = setting.known(reading, exempt.of)
    if whole is None:
        raise Unknown(f"{words(exempt.of)} is not recorded, and the document asks nothing below a share of it")
    typed = parted(whole)[1]
    known = unit(typed) if typed else None
    if known is None:
        raise Unknown(f'{words(exempt.of)} is recorded as "{whole}", without a unit this program knows')
    top = setting.amount(reading, exempt.of, known)
    share = setting.amount(reading, exempt.condition, known)
    if share * HUNDRED <= top * exempt.at_or_below_percent:
        raise Exempted(
            f"{words(exempt.condition)} is at or below {exempt.at_or_below_percent} % of {words(exempt.of)}, {whole}"
        )


class _At(Struct, frozen=True):
    setting: Setting
    reading: Reading
    test: str
    to: Unit

    def bound(self, bound: Bound, *, width: bool = False) -> tuple[Decimal, tuple[str, ...]]:
        """A bound as a number; as a width, to either side of something, it has no sign and no zero point."""
        if isinstance(bound, Fixed):
            return width_in(bound.value, self.to) if width else amount_in(bound.value, self.to, "the bound"), ()
        if isinstance(bound, Percent):
            whole, said = self.named(bound.of)
            if whole < 0 and not width:
                raise Unknown(f"{said}, and a share of what lies below zero is no bound to one side")
            part = abs(whole) * bound.percent / HUNDRED
            return part, (said, f"{bound.percent} % of it is {part.normalize():f} {self.to.symbol}")
        if isinstance(bound, LeakagePower):
            return self._leakage(bound)
        if isinstance(bound, Greatest):
            made = [self.bound(one, width=width) for one in bound.among]
            value, steps = max(made, key=lambda one: one[0])
            return value, (*steps, "whichever is greater")
        assert isinstance(bound, Sum)
        parts = [self.bound(one, width=width) for one in bound.terms]
        return sum((value for value, _ in parts), Decimal(0)), tuple(step for _, steps in parts for step in steps)

    def named(self, name: str) -> tuple[Decimal, str]:
        """Something known by name, in the verdict's unit, and a clause that says it."""
        if name == "stated":
            stated = self.setting.stated(self.reading, self.test)
            value = amount_in(stated.value, self.to, "the maker's stated value")
            return value, f"the maker states {stated.value.text} at these conditions ({stated.source})"
        value = self.setting.amount(self.reading, name, self.to)
        return value, f"{words(name)} is {value.normalize():f} {self.to.symbol}"

    def _leakage(self, bound: LeakagePower) -> tuple[Decimal, tuple[str, ...]]:
        watt, ohm, ampere = _need("W"), _need("ohm"), _need("A")
        power = self.setting.amount(self.reading, bound.of, watt)
        load = amount_in(bound.load, ohm, "the load")
        if power < 0 or load <= 0 or bound.percent < 0:
            told = f"{bound.percent} % of {words(bound.of)}, {power.normalize():f} W, in {bound.load.text}"
            raise Unknown(f"{told} gives no current")
        current = math.sqrt(float(power) * float(bound.percent) / 100.0 / float(load))
        text = Decimal(f"{current:.9e}")
        value = amount_in_unit(text, ampere, self.to)
        return value, (
            f"{bound.percent} % of {words(bound.of)} ({power.normalize():f} W) in {bound.load.text} "
            f"is {value.normalize():f} {self.to.symbol}",
        )


def amount_in_unit(value: Decimal, from_: Unit, to: Unit) -> Decimal:
    """A computed value in another unit of the same quantity. Raises Unknown for a unit of another quantity."""
    try:
        return convert(value, from_, to)
    except OtherQuantityError as error:
        raise Unknown(str(error)) from None


def width_in(amount: Amount, to: Unit) -> Decimal:
    """A width in the unit asked for: 2 °F to either side are 1.1 °C, and not the 16.7 °C below zero of a thermometer.

    Raises Unknown for a unit that is not known, or of another quantity.
    """
    typed = unit(amount.unit)
    if typed is None or typed.quantity is not to.quantity:
        return amount_in(amount, to, "the bound")
    return convert_difference(amount.value, typed, to)


def _need(symbol: str) -> Unit:
    found = unit(symbol)
    assert found is not None, symbol
    return found


def permitted(limit: Limit, setting: Setting, reading: Reading, value: Value, to: Unit) -> tuple[bool, str]:
    """Whether a value beyond the bound is permitted with evidence, and the reason either way (empty: not foreseen).

    `>320` may be any value above, so that no second bound is known to hold it.
    """
    if limit.permitted is None or value.number is None:
        return False, ""
    top = amount_in(limit.permitted.up_to, to, "the second bound")
    if value.kind is ValueKind.ABOVE and value.number <= top:
        return False, f"it may also be beyond {limit.permitted.up_to.text}, up to which evidence could permit it"
    if value.number > top:
        return False, f"it is also beyond {limit.permitted.up_to.text}, up to which evidence could permit it"
    lacking = [
        words(name)
        for name in limit.permitted.needs
        if (setting.known(reading, name) or "").strip().casefold() not in AFFIRMED
    ]
    if lacking:
        return False, f"up to {limit.permitted.up_to.text} it would be permitted with {' and '.join(lacking)} on record"
    needs = " and ".join(words(name) for name in limit.permitted.needs)
    return True, f"beyond the bound, and permitted up to {limit.permitted.up_to.text} because {needs} are on record"
