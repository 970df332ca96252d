"""What is asked about a value as it is typed: slips of ten and of a unit. Never whether it passes.

A value is held against the setting in its own row, against its sisters on the sheet, and against the size of what the
test measures. It is asked about in the same words wherever the limit lies, so that the question tells nothing of it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from msgspec import Struct

from asfound.measure.units import OtherQuantityError, Unit, convert, unit
from asfound.model.number import ValueKind, decimal_of
from asfound.model.work import Reading
from asfound.rules.numbers.slip_of_ten import BY_NATURE, CHECKED, power_of_ten

FAR = Decimal(200)
"""How many times the size of what is measured a value may be before its unit is asked about: mA for µA is a thousand
times; a bad fault is rarely a hundred (common practice, no source)."""


class Question(Struct, frozen=True):
    """One question about one row: a sentence, and what it compares with, in words."""

    row: str
    text: str


def questions(
    rows: Sequence[Reading], units: Mapping[str, str], sizes: Mapping[str, tuple[Decimal, Unit]], tolerance: Decimal
) -> dict[str, Question]:
    """At most one question a row, by row id. A row whose note says that it was checked is asked nothing.

    units  units of the condition columns
    sizes  by row id, an amount of the size of what the test measures there, whatever it is
    """
    found: dict[str, Question] = {}
    for row in rows:
        number = row.value.number
        if row.void or row.value.kind is not ValueKind.NUMBER or not number or CHECKED.search(row.note):
            continue
        said = (
            _against_setting(row, units, tolerance)
            or _against_sisters(row, rows, units, tolerance)
            or _against_size(row, sizes.get(row.id))
        )
        if said:
            found[row.id] = Question(row.id, said)
    return found


def _against_setting(row: Reading, units: Mapping[str, str], tolerance: Decimal) -> str:
    for name, text in row.conditions.items():
        if "set" not in name.casefold():
            continue
        head, _, tail = text.strip().partition(" ")
        setting, typed = decimal_of(head), tail.strip() or units.get(name, "")
        there = None if setting is None else _in(setting, typed, row.unit)
        if there is None or not there or row.value.number is None:
            continue
        power = power_of_ten(abs(row.value.number / there), tolerance)
        if power:
            return f"{_shown(row)} is {_times(power)} the {name} in this row, {head} {typed}."
    return ""


def _against_sisters(row: Reading, rows: Sequence[Reading], units: Mapping[str, str], tolerance: Decimal) -> str:
    mine = row.value.number
    assert mine is not None
    powers: list[tuple[int, Reading]] = []
    count = 0
    for other in rows:
        number = other.value.number
        if other.id == row.id or other.void or other.value.kind is not ValueKind.NUMBER or not number:
            continue
        there = _in(number, other.unit, row.unit)
        if there is None or not there or not _alike(row, other, units):
            continue
        count += 1
        if power := power_of_ten(abs(mine / there), tolerance * 4):
            powers.append((power, other))
    if not powers or 2 * len(powers) <= count:
        return ""
    power, other = powers[0]
    # Of two that differ nobody can say which slipped: the one typed later is asked about.
    if count == 1 and other.line > row.line and not _later(row, other):
        return ""
    return f"{_shown(row)} is {_times(power)} what row {other.row} holds, {_shown(other)}."


def _later(row: Reading, other: Reading) -> bool:
    return row.at is not None and other.at is not None and row.at.at > other.at.at


def _alike(row: Reading, other: Reading, units: Mapping[str, str]) -> bool:
    """Whether two rows are sisters: they differ in one word at most, and not in one that changes readings by nature."""
    apart = [
        name
        for name in {*row.conditions, *other.conditions}
        if row.conditions.get(name, "").strip().casefold() != other.conditions.get(name, "").strip().casefold()
    ]
    if not apart:
        return True
    if len(apart) > 1:
        return False
    name = apart[0]
    if units.get(name) or BY_NATURE & set(re.split(r"[_\-\s]+", name.casefold())):
        return False
    return not any(_is_amount(one.conditions.get(name, "")) for one in (row, other))


def _is_amount(text: str) -> bool:
    head, _, tail = text.strip().partition(" ")
    return decimal_of(head) is not None and unit(tail.strip()) is not None


def _against_size(row: Reading, size: tuple[Decimal, Unit] | None) -> str:
    if size is None or row.value.number is None or not size[0]:
        return ""
    there = _in(row.value.number, row.unit, size[1].symbol)
    if there is None or abs(there / size[0]) < FAR:
        return ""
    return f"{_shown(row)} is some hundred times as much as this test is made to measure. Is {row.unit} its unit?"


def _in(value: Decimal, from_: str, to: str) -> Decimal | None:
    one, two = unit(from_), unit(to)
    if one is None or two is None:
        return None
    try:
        return convert(value, one, two)
    except OtherQuantityError:
        return None


def _shown(row: Reading) -> str:
    known = unit(row.unit)
    return f"{row.value.text} {known.si_text if known else row.unit}".strip()


def _times(power: int) -> str:
    size = 10 ** abs(power)
    return f"about {size} times" if power > 0 else f"about 1/{size} of"
