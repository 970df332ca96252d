"""Whether one limit is looser than another of the same name, and in what."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from asfound.limits.fault import Path
from asfound.measure.units import convert, convert_difference, unit
from asfound.model.base import Amount
from asfound.model.limits import Bound, Fixed, Greatest, LeakagePower, Limit, Percent, Sense, Sum


def looser(new: Limit, old: Limit) -> Iterator[tuple[Path, str]]:
    """In what `new` is looser than `old`: the field, and a clause that says it.

    Where the two cannot be compared it counts as looser: it was not shown to be as tight.
    """
    for name in ("test", "result", "quantity", "sense", "around", "answer", "series_over", "scale"):
        if getattr(new, name) != getattr(old, name):
            yield (name,), f"{name.replace('_', ' ')} differs from the limit that is replaced"
    for name in ("when", "only", "unless"):
        if getattr(new, name) != getattr(old, name):
            yield (name,), f'"{name}" differs from the limit that is replaced, so that readings can escape it'
    if set(old.tests) - set(new.tests):
        yield ("also",), "fewer tests are held against it than before"
    if set(old.highest_of) - set(new.highest_of):
        yield ("highest_of",), "the highest is taken over fewer conditions than before"
    if set(new.gives_way_to) - set(old.gives_way_to):
        yield ("gives_way_to",), "it gives way to more than before"
    if old.strict and not new.strict:
        yield ("strict",), "the bound itself was outside and is now inside"
    if new.kind.reference_only and not old.kind.reference_only:
        yield ("kind",), "it gave a verdict and now is for reference only"
    yield from _exempt(new, old)
    yield from _permitted(new, old)
    if new.sense is old.sense:
        yield from _bounds(new, old)


def _bounds(new: Limit, old: Limit) -> Iterator[tuple[Path, str]]:
    # A bound that grows is looser above and tighter below.
    for name, grows in (("bound", new.sense is not Sense.AT_LEAST), ("low", False), ("high", True)):
        one, other = getattr(new, name), getattr(old, name)
        if one is None or other is None:
            if one is not other:
                yield (name,), f"{name} stands in only one of the two"
            continue
        order = compare(one, other, width=new.sense is Sense.WITHIN)
        if order is None:
            yield (name,), f"{name} cannot be compared with the one that is replaced ({said(other)})"
        elif order == (1 if grows else -1):
            yield (name,), f"{said(one)} is looser than {said(other)}"


def _exempt(new: Limit, old: Limit) -> Iterator[tuple[Path, str]]:
    if new.exempt is None:
        return
    if old.exempt is None:
        yield ("exempt",), "it exempts conditions that were not exempt"
    elif (new.exempt.condition, new.exempt.of) != (old.exempt.condition, old.exempt.of):
        yield ("exempt",), "it exempts other conditions than before"
    elif new.exempt.at_or_below_percent > old.exempt.at_or_below_percent:
        yield ("exempt", "at_or_below_percent"), "it exempts more than before"


def _permitted(new: Limit, old: Limit) -> Iterator[tuple[Path, str]]:
    if new.permitted is None:
        return
    if old.permitted is None:
        yield ("permitted",), "it permits values beyond the bound that were not permitted"
        return
    order = _amounts(new.permitted.up_to, old.permitted.up_to)
    if order is None or order > 0:
        yield ("permitted", "up_to"), f"it permits up to {new.permitted.up_to.text}, not {old.permitted.up_to.text}"
    if set(old.permitted.needs) - set(new.permitted.needs):
        yield ("permitted", "needs"), "it permits with less evidence than before"


def compare(one: Bound, other: Bound, *, width: bool = False) -> int | None:
    """-1, 0 or 1 as `one` is below, at or above `other`; None where that depends on what is not known here.

    A width to either side has no zero point: 40 °F are wider than 10 °C, though a thermometer at 40 °F shows 4 °C.
    """
    if isinstance(one, Fixed) and isinstance(other, Fixed):
        return _amounts(one.value, other.value, width=width)
    if isinstance(one, Percent) and isinstance(other, Percent) and one.of == other.of:
        return _sign(one.percent - other.percent)
    if isinstance(one, LeakagePower) and isinstance(other, LeakagePower) and one.of == other.of:
        same_load = _amounts(one.load, other.load) == 0
        return _sign(one.percent - other.percent) if same_load else None
    if isinstance(one, Greatest) and isinstance(other, Greatest):
        return _each(one.among, other.among, width)
    if isinstance(one, Sum) and isinstance(other, Sum):
        return _each(one.terms, other.terms, width)
    return None


def _each(ones: tuple[Bound, ...], others: tuple[Bound, ...], width: bool) -> int | None:
    """Term by term: the order all terms agree on."""
    if len(ones) != len(others):
        return None
    orders = {compare(one, other, width=width) for one, other in zip(ones, others, strict=True)}
    if None in orders or {1, -1} <= orders:
        return None
    return next((order for order in orders if order), 0)


def _amounts(one: Amount, other: Amount, *, width: bool = False) -> int | None:
    mine, theirs = unit(one.unit), unit(other.unit)
    if mine is None or theirs is None or mine.quantity is not theirs.quantity:
        return None
    turned = convert_difference if width else convert
    return _sign(turned(one.value, mine, theirs) - other.value)


def _sign(value: Decimal) -> int:
    return (value > 0) - (value < 0)


def said(bound: Bound) -> str:
    """A bound in words: `300 mΩ`, `20 % of the setting`."""
    if isinstance(bound, Fixed):
        return bound.value.text
    if isinstance(bound, Percent):
        return f"{bound.percent} % of {_named(bound.of)}"
    if isinstance(bound, LeakagePower):
        return f"the current that gives {bound.percent} % of {_named(bound.of)} in {bound.load.text}"
    if isinstance(bound, Greatest):
        return "the greatest of " + ", ".join(said(one) for one in bound.among)
    return " plus ".join(said(one) for one in bound.terms)


def _named(what: str) -> str:
    return {"stated": "the value the maker states"}.get(what, "the " + what.replace("_", " "))
