"""The results of a calibration certificate: over which values a thing was compared, and with which doubt.

A table of a certificate is a `list` with its quantities, or the quantities that stand in a result by themselves. What
only goes with a quantity (limits it was held against, conditions, the equipment) has the same form and is no part of a
table. Elements of D-SI were held against its schema 2.1.0, those of tables against that of certificates 3.2.0, both as
public repositories keep them (confirmed); uncertainties of D-SI 2.2 against a program that writes them (secondary).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from decimal import Decimal

from msgspec import Struct

from asfound.intake.dcc_units import dsi_unit
from asfound.intake.dcc_xml import Element
from asfound.measure import Quantity, Unit, unit
from asfound.model.number import Fault, read_decimal

_REFERENCE = ("referencevalue", "nominalvalue", "calibrationvalue", "measuredvalue")
"""Which quantity of a table says where it was compared, the best first; types of reference end so."""
_LISTS = ("realListXMLList", "realList")
_OTHER = {
    "complex": "a complex value",
    "constant": "a constant",
    "list": "a list of lists",
    "complexList": "a list of complex values",
}
_ZERO = Decimal("273.15")
"""°C from kelvin, by definition (SI Brochure, 9th edition, 2.3.1)."""
_SURELY_HOT = Decimal(100)
"""From so many kelvin on, values are no differences of temperature: no thermometer is compared over such a one."""

Say = Callable[[Element, str], None]


class Compared(Struct, frozen=True):
    """One table: between which values the thing was compared, and the largest expanded doubt there, at `k`.

    of  which things it is of, by their ids in the certificate; empty where it does not say
    """

    name: str
    unit: Unit
    low: Decimal
    high: Decimal
    doubt: Decimal
    doubt_unit: Unit
    k: Decimal
    of: tuple[str, ...] = ()


class _Doubt(Struct, frozen=True):
    value: Decimal
    k: Decimal
    unit: Unit


class _Series(Struct, frozen=True):
    unit: Unit
    values: tuple[Decimal, ...]
    doubts: tuple[_Doubt, ...]
    place: int
    typed: bool
    called: str
    relative: bool


def compared_of(result: Element, of: tuple[str, ...], left: Say, remark: Say) -> Iterator[Compared]:
    """What each table of a result compared; `left` is told what could not be taken, `remark` what is a guess."""
    name = content(result.first("name")) or "a result without a name"
    found = False
    for table, quantities in _tables(result):
        found = True
        called = content(table.first("name")) if table.name == "list" else ""
        one = _compared(table, f"{name}: {called}" if called else name, quantities, _of(table, of), left, remark)
        if one is not None:
            yield one
    if not found:
        left(result, f"“{name}” holds no numbers")


def refs(one: Element) -> tuple[str, ...]:
    """The ids that an element refers to."""
    return tuple(one.attributes.get("refId", "").split())


def types(one: Element) -> tuple[str, ...]:
    """The types of reference of an element, in small letters without underscores."""
    return tuple(one.attributes.get("refType", "").replace("_", "").casefold().split())


def content(at: Element | None) -> str:
    """The words of an element in English where it has them, else in its first language."""
    if at is None:
        return ""
    told = [(one.attributes.get("lang", ""), " ".join(one.text.split())) for one in at.all("content")]
    told = [one for one in told if one[1]]
    return next((text for lang, text in told if lang == "en"), told[0][1] if told else "")


def _of(table: Element, of: tuple[str, ...]) -> tuple[str, ...]:
    return refs(table) or of


# --- tables


def _tables(result: Element) -> Iterator[tuple[Element, list[Element]]]:
    """Each table with the quantities that stand in it."""
    waiting = list(reversed(list(result.all("data"))))
    while waiting:
        at = waiting.pop()
        quantities = list(at.all("quantity"))
        if any(_numbers_of(one) is not None for one in quantities):
            yield at, quantities
        waiting += reversed(list(at.all("list")))


def _numbers_of(quantity: Element) -> Element | None:
    return next((one for one in quantity.children if one.name in ("real", "hybrid", *_LISTS, *_OTHER)), None)


def _compared(
    table: Element, name: str, quantities: list[Element], of: tuple[str, ...], left: Say, remark: Say
) -> Compared | None:
    series = [found for one in quantities if (found := _series(one, left)) is not None]
    if not series:
        left(table, f"“{name}” holds no numbers with a unit that is known here")
        return None
    ranked = sorted((one for one in series if one.place < len(_REFERENCE)), key=lambda one: one.place)
    untyped = [one for one in series if not one.typed][:1]
    if not ranked and not untyped:
        left(table, f"“{name}” has no values that are called reference, nominal, calibration or measured ones")
        return None
    if not ranked and len(series) > 1:
        remark(table, f"“{name}” calls none of its quantities a reference; its range is that of {untyped[0].called}")
    fitting = ((one, doubts) for one in ranked or untyped if (doubts := _doubts_in(one, series)))
    base, doubts = next(fitting, (None, []))
    if base is None:
        how = "relative to its values only, which is not read" if any(one.relative for one in series) else ""
        left(table, f"“{name}” states its uncertainty {how}" if how else
             f"“{name}” states no expanded uncertainty with its factor in the unit of its values")  # fmt: skip
        return None
    if ranked and base is not ranked[0]:
        remark(table, f"“{name}” states its uncertainty in the unit of {base.called}, so its range is taken there")
    # The largest by what it says of the values; of equal ones the one with the smaller factor says more.
    _, widest = max(doubts, key=lambda one: (one[0] / one[1].k, one[0]))
    if widest.value == 0:
        left(table, f"“{name}” states an uncertainty of nought, which no comparison has")
        return None
    low, high, of_unit = min(base.values), max(base.values), base.unit
    if (celsius := _scale(base)) is not None:
        remark(table, f"“{name}” gives temperatures in kelvin; they stand in degrees Celsius, less {_ZERO}")
        low, high, of_unit = low - _ZERO, high - _ZERO, celsius
    return Compared(name, of_unit, low, high, widest.value, widest.unit, widest.k, of)


def _doubts_in(base: _Series, series: list[_Series]) -> list[tuple[Decimal, _Doubt]]:
    """All doubts of a table that are of the kind of one of its quantities, each in its unit."""
    return [
        (one.value * factor, one)
        for found in series
        for one in found.doubts
        if (factor := _turned(one.unit, base.unit)) is not None
    ]


def _scale(one: _Series) -> Unit | None:
    """Degrees Celsius, where values in kelvin can only be temperatures; None where they are not."""
    if one.unit.symbol == "K" and min(one.values) >= _SURELY_HOT:
        return unit("degC")
    return None


def _turned(from_: Unit, to: Unit) -> Decimal | None:
    """How many of `to` one of `from_` is, as a difference; None where they measure two things."""
    kinds = {from_.quantity, to.quantity}
    if len(kinds) > 1 and kinds != {Quantity.TEMPERATURE, Quantity.TEMPERATURE_DIFFERENCE}:
        return None
    ratio = from_.factor / to.factor
    return Decimal(ratio.numerator) / Decimal(ratio.denominator)


# --- one quantity


def _series(quantity: Element, left: Say) -> _Series | None:
    one = _numbers_of(quantity)
    if one is None:
        return None
    if one.name in _OTHER:
        left(one, f"{_OTHER[one.name]} is not read")
        return None
    # Of a hybrid each member says the same in another unit.
    members = one.children if one.name == "hybrid" else [one]
    read = [found for member in members if (found := _member(member, left, quiet=len(members) > 1)) is not None]
    if not read:
        if len(members) > 1:
            left(one, "none of the units in which a quantity is given is known here")
        return None
    of_unit, values, _ = next((found for found in read if found[0].quantity is Quantity.TEMPERATURE), read[0])
    words = types(quantity)
    place = next((n for n, end in enumerate(_REFERENCE) if any(word.endswith(end) for word in words)), len(_REFERENCE))
    return _Series(
        of_unit,
        values,
        tuple(doubt for found in read for doubt in found[2]),
        place,
        bool(words),
        f"“{name}”" if (name := content(quantity.first("name"))) else "its first one",
        any(one.name == "relativeUncertainty" for one in quantity.children),
    )


def _member(one: Element, left: Say, *, quiet: bool) -> tuple[Unit, tuple[Decimal, ...], tuple[_Doubt, ...]] | None:
    """Unit, values and doubts of single values or a list of them; None where they could not be taken."""
    if one.name == "realList":
        return _real_list(one, left)
    if one.name not in ("real", "realListXMLList"):
        left(one, f"{_OTHER.get(one.name, 'a value of another form')} is not read")
        return None
    end = "XMLList" if one.name == "realListXMLList" else ""
    found = one.first(f"unit{end}")
    of_unit = _unit(one, found.text if found else "", left, quiet=quiet)
    if of_unit is None:
        return None
    values = _numbers(one.first(f"value{end}"), left)
    if not values:
        return None
    return of_unit, values, tuple(_doubts(one, end, of_unit, len(values), left))


def _real_list(one: Element, left: Say) -> tuple[Unit, tuple[Decimal, ...], tuple[_Doubt, ...]] | None:
    """A list of single values; unit and uncertainty may stand once for all of them."""
    values: list[Decimal] = []
    doubts: list[_Doubt] = []
    shared = one.first("listUnit")
    stated = {(found.text if (found := each.first("unit") or shared) else "").strip() for each in one.all("real")}
    of_unit = _unit(one, " ".join(sorted(stated)), left, quiet=False)
    if of_unit is None:
        return None
    for each in one.all("real"):
        own = _numbers(each.first("value"), left)
        values += own
        doubts += _doubts(each, "", of_unit, len(own), left)
    for whole in one.all("listUnivariateUnc"):
        doubts += _doubts(whole, "", of_unit, 1, left)
    return (of_unit, tuple(values), tuple(doubts)) if values else None


def _unit(at: Element, text: str, left: Say, *, quiet: bool) -> Unit | None:
    told = list(dict.fromkeys(text.split()))
    known = [dsi_unit(one) for one in told]
    if len(known) == 1 and known[0] is not None:
        return known[0]
    if len(known) > 1:
        left(at, f"one list holds several units ({', '.join(told)[:60]})")
    elif not quiet:
        left(at, f"the unit “{' '.join(told)[:60]}” is none of those known here")
    return None


# --- doubts


def _doubts(one: Element, end: str, of_unit: Unit, count: int, left: Say) -> Iterator[_Doubt]:
    """Each expanded uncertainty with its coverage factor; a standard uncertainty is one with the factor 1."""
    for holder in (one, *one.all(f"measurementUncertaintyUnivariate{end}")):
        for kind, value, factor in (
            (f"expandedUnc{end}", f"uncertainty{end}", f"coverageFactor{end}"),
            (f"expandedMU{end}", f"valueExpandedMU{end}", f"coverageFactor{end}"),
            (f"standardMU{end}", f"valueStandardMU{end}", ""),
            (f"coverageInterval{end}", f"standardUnc{end}", ""),
            (f"coverageIntervalMU{end}", f"valueStandardMU{end}", ""),
        ):
            for found in holder.all(kind):
                if kind.startswith("coverageInterval"):
                    left(
                        found, "a coverage interval is not read; the standard uncertainty in it is, where it states one"
                    )
                    if found.first(value) is None:
                        continue
                yield from _stated(found, value, factor, of_unit, count, left)


def _stated(found: Element, value: str, factor: str, of_unit: Unit, count: int, left: Say) -> Iterator[_Doubt]:
    stated = _numbers(found.first(value), left)
    factors = _numbers(found.first(factor), left) if factor else (Decimal(1),)
    if not stated:
        return
    if not factors:
        left(found, "an uncertainty stands without its coverage factor")
    elif len(stated) not in (1, count) or len(factors) not in (1, count):
        left(found, f"{len(stated)} uncertainties and {len(factors)} coverage factors stand beside {count} values")
    elif min(stated) < 0 or min(factors) < 1:
        left(found, "an uncertainty is negative, or its coverage factor smaller than 1")
    else:
        most = max(len(stated), len(factors))
        each = zip(stated * (most // len(stated)), factors * (most // len(factors)), strict=True)
        yield from (_Doubt(doubt, k, of_unit) for doubt, k in each)


def _numbers(at: Element | None, left: Say) -> tuple[Decimal, ...]:
    found: list[Decimal] = []
    for text in at.text.split() if at else ():
        # The schema lets a point stand without a digit on one of its sides, as programs write numbers.
        written = re.sub(r"\.(?=[eE]|$)", "", re.sub(r"^([-+]?)\.", r"\g<1>0.", text))
        read = read_decimal(written)
        if isinstance(read, Fault):
            assert at is not None
            left(at, f"“{text[:40]}” is no number: {read.found}")
            return ()
        found.append(read)
    return tuple(found)
