"""Sheets, their readings and the instrument they came from, joined for the rules that look at them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from difflib import get_close_matches
from functools import lru_cache
from typing import Any

from msgspec import Struct
from pydantic import BaseModel

from asfound.measure.units import OtherQuantityError, Unit, convert, unit
from asfound.model.base import Amount
from asfound.model.bench import Function, Range
from asfound.model.case import Path
from asfound.model.facts import Facts
from asfound.model.limits import Test
from asfound.model.number import ValueKind, decimal_of, parted
from asfound.model.verdict import Outcome, Verdict
from asfound.model.work import Reading, ReadingSheet, Sheet, SheetMoment
from asfound.verdicts.context import comparable

JUDGED = frozenset({Outcome.PASS, Outcome.CONDITIONAL_PASS, Outcome.CONDITIONAL_FAIL, Outcome.FAIL})
BEFORE_CHANGE = frozenset({SheetMoment.SCENE, SheetMoment.RECEIVED})
_ANSWERS_NOTHING = frozenset({ValueKind.BLANK, ValueKind.NOT_MEASURED, ValueKind.NOT_OBTAINABLE})


class Work(Struct, frozen=True):
    """A sheet with the protocol's test behind it and its readings that stand."""

    name: str
    sheet: Sheet
    test: Test | None
    table: ReadingSheet | None
    rows: tuple[Reading, ...]

    @property
    def protocol_name(self) -> str:
        """`output-power--swap` is the protocol's `output-power`."""
        return self.sheet.test.partition("--")[0]


def works(facts: Facts) -> Iterator[Work]:
    """Every sheet, in the order of the file."""
    for name, sheet in facts.case.sheets.items():
        yield Work(
            name,
            sheet,
            facts.protocol_test(sheet.test),
            facts.case.readings.get(name),
            facts.case.standing(name),
        )


def answered(rows: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """Readings that say something: neither blank nor a reason for not measuring."""
    return tuple(row for row in rows if row.value.kind not in _ANSWERS_NOTHING)


def of_mark(test: Test | None) -> bool:
    """Whether a test's figures are read off a mark, so that no instrument's range or doubt has a part in them."""
    return test is not None and test.read_from == "mark"


def tested_as_found(facts: Facts) -> frozenset[str]:
    """Items whose function was tested at as-found settings before anything was adjusted, and what was fitted then.

    A sheet that says so and of which something cannot be read counts: what hinders its reading is told there.
    """
    return frozenset(
        ref
        for work in works(facts)
        if work.test is not None
        and work.test.functional
        and work.sheet.as_found_settings
        and work.sheet.moment in BEFORE_CHANGE
        and (answered(work.rows) or facts.unread.on(work.name))
        for ref in (work.sheet.item, *work.sheet.accessories)
    )


def sheet_of(facts: Facts) -> dict[str, str]:
    """Reading id → sheet id."""
    return {row.id: name for name, table in facts.case.readings.items() for row in table.rows}


def conditions(facts: Facts, work: Work, row: Reading | None = None) -> dict[str, str]:
    """What is on record about the conditions: of the item and what was fitted, of the sheet, of the row."""
    found: dict[str, str] = {}
    for ref in (*reversed(work.sheet.accessories), work.sheet.item):
        item = facts.case.items.get(ref)
        if item is not None:
            found.update(item.characteristics)
    found["moment"] = str(work.sheet.moment)
    if work.sheet.supply is not None:
        found["supply"] = work.sheet.supply.kind
    found.update(work.sheet.constants)
    if row is not None:
        found.update({name: text for name, text in row.conditions.items() if text})
    return found


def varied(work: Work, row: Reading) -> dict[str, str]:
    """The conditions of the sheet and of the row."""
    return {**work.sheet.constants, **{name: text for name, text in row.conditions.items() if text}}


def canonical(work: Work, row: Reading) -> dict[str, str]:
    """Conditions in a form that compares: `100` under a column in mL/h is the same as 0.1 L/h."""
    units = work.table.units if work.table else {}
    return {name: comparable(text, units.get(name, "")) for name, text in varied(work, row).items()}


def in_unit(value: Decimal, from_: str, to: str | Unit) -> Decimal | None:
    """A value in another unit; None where a unit is not known or measures something else."""
    one, two = unit(from_), to if isinstance(to, Unit) else unit(to)
    if one is None or two is None:
        return None
    try:
        return convert(value, one, two)
    except OtherQuantityError:
        return None


@lru_cache(maxsize=8192)
def quantity(text: str, column_unit: str = "") -> tuple[Decimal, Unit] | None:
    """`90 W`, or `90` under a column in W, as a number and its unit; None for anything else."""
    head, tail = parted(text)
    number, known = decimal_of(head), unit(tail or column_unit)
    return None if number is None or known is None else (number, known)


def function_of(facts: Facts, sheet: Sheet) -> Function | None:
    """The function of the instrument a sheet was read with, where both are in the register."""
    instrument = facts.instruments.get(sheet.instrument)
    return None if instrument is None else instrument.functions.get(sheet.function)


def range_of(function: Function, value: Decimal, typed: str) -> Range | None:
    """The narrowest range of a function that holds a value; None where none does."""
    holding: list[tuple[Decimal, int]] = []
    for number, one in enumerate(function.ranges):
        there = in_unit(value, typed, one.to.unit)
        low = in_unit(one.from_.value, one.from_.unit, one.to.unit)
        if there is None or low is None:
            continue
        # An unsigned range is quoted for magnitudes: the sign then tells the direction only.
        size = abs(there) if low >= 0 else there
        if low <= size <= one.to.value:
            base = in_unit(one.to.value, one.to.unit, function.ranges[0].to.unit)
            holding.append((one.to.value if base is None else base, number))
    return function.ranges[min(holding)[1]] if holding else None


def nearest_bound(verdict: Verdict) -> Decimal | None:
    """The bound a compared value is nearest to."""
    if verdict.value is None:
        return None
    value = verdict.value
    bounds = [bound for bound in (verdict.lower, verdict.upper) if bound is not None]
    return min(bounds, key=lambda bound: abs(bound - value)) if bounds else None


def did_you_mean(text: str, names: Iterable[str]) -> str:
    """`, perhaps meant as "x"` where a name is close, else nothing."""
    every = sorted(names)
    # Of "current" the one that ends so is meant (electric current), not one that is spelled alike (count).
    close = [name for name in every if text and name.split()[-1:] == [text]][:1]
    close = close or get_close_matches(text, every, n=1, cutoff=0.6)
    return f', perhaps meant as "{close[0]}"' if close else ""


def stands(facts: Facts, name: str) -> bool:
    """Whether a file of the case is there, readable or not. What is there has problems of its own."""
    return facts.places.at(facts.file(name)).line > 0 or name in facts.case.broken


def percent(share: Decimal) -> str:
    """A share as per cent without idle zeros: `0.10` → `10 %`."""
    return f"{(share * 100).normalize():f} %"


def amounts(record: Any, path: Path = ()) -> Iterator[tuple[Path, Amount]]:
    """Every amount in a record, with the path to it by the names used in the file."""
    if isinstance(record, Amount):
        yield path, record
    elif isinstance(record, BaseModel):
        for name, info in type(record).model_fields.items():
            yield from amounts(getattr(record, name), (*path, info.alias or name))
    elif isinstance(record, dict):
        for key, value in record.items():
            yield from amounts(value, (*path, key))
    elif isinstance(record, tuple):
        for index, value in enumerate(record):
            yield from amounts(value, (*path, index))
