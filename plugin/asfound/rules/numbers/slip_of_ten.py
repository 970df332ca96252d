"""A reading that differs from its sisters by a power of ten is asked about.

Fails: ports 1 and 2 read 0.21 Ω and 2.1 Ω, and no note says that the second was looked at again.
Passes: 0.21 Ω and 0.24 Ω; or 2.1 Ω with the note "checked, read twice". Leakage with the earth open is often ten
times that with it closed, so such conditions are not compared.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct

from asfound.measure.units import unit
from asfound.model.facts import Facts
from asfound.model.work import Reading
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import Work, canonical, in_unit, quantity, varied, works

ENTRY = Entry(
    name="slip-of-ten",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A reading that differs from its sisters or its setting by a power of ten is looked at again.",
    reason="Most sound devices read alike, so a value ten times its sisters is more often a slip than a fault.",
    source="common practice, no source; the nearness is a setting of ours",
    status="common practice",
    mend="Hold it against the worksheet; if it is right, say in its note that it was checked.",
    rows=("R51",),
)

BY_NATURE = frozenset({"earth", "ground", "fault", "power", "state", "range", "end"})
"""Conditions under which a tenfold change is ordinary (common practice, no source)."""
POWERS = tuple((power, Decimal(10) ** power) for power in (-3, -2, -1, 1, 2, 3))
CHECKED = re.compile(r"\b(?:check|confirm|verif|re-?read|read (?:twice|again)|not a slip)", re.IGNORECASE)


class _Point(Struct, frozen=True):
    row: Reading
    value: Decimal
    work: Work
    known: dict[str, str]
    typed: dict[str, str]


def check(facts: Facts) -> Iterator[Problem]:
    """Per test and item: sisters that differ in one condition or none; then settings; then mixed units."""
    tests: dict[tuple[str, str], list[Work]] = {}
    for work in works(facts):
        if work.rows:
            tests.setdefault((work.protocol_name, work.sheet.item), []).append(work)
    for group in tests.values():
        points = list(_points(group))
        asked: set[str] = set()
        yield from _sisters(facts, points, asked)
        yield from _settings(facts, points, asked)
        for work in group:
            yield from _mixed(facts, work)


def _points(group: list[Work]) -> Iterator[_Point]:
    shown = group[0].test.unit if group[0].test is not None else group[0].rows[0].unit
    for work in group:
        for row in work.rows:
            number = row.value.number
            if not row.value.is_number or number is None or number == 0:
                continue
            value = in_unit(number, row.unit, shown)
            if value is not None:
                yield _Point(row, abs(value), work, canonical(work, row), varied(work, row))


def power_of_ten(ratio: Decimal, tolerance: Decimal) -> int:
    """The power of ten (1 to 3, either way) a ratio is near to; 0 for none."""
    return next((power for power, ten in POWERS if abs(ratio / ten - 1) <= tolerance), 0)


def _compared(name: str, point: _Point) -> bool:
    """Whether sisters may differ in this condition: a word, and not one that changes a reading by nature."""
    if BY_NATURE & set(re.split(r"[_\-\s]+", name.casefold())):
        return False
    table = point.work.table
    return quantity(point.typed[name], table.units.get(name, "") if table else "") is None


def _sisters(facts: Facts, points: list[_Point], asked: set[str]) -> Iterator[Problem]:
    families: dict[tuple[str, tuple[tuple[str, str], ...]], list[_Point]] = {}
    for point in points:
        known = tuple(sorted(point.known.items()))
        families.setdefault(("", known), []).append(point)
        for name, _ in known:
            if _compared(name, point):
                rest = tuple(pair for pair in known if pair[0] != name)
                families.setdefault((name, rest), []).append(point)
    for family in families.values():
        values = sorted(point.value for point in family)
        if len(family) < 2 or values[-1] < 9 * values[0]:
            continue
        for number, point in enumerate(family):
            if point.row.id in asked or CHECKED.search(point.row.note):
                continue
            power = _majority(point.value, values, facts.settings.slip_tolerance)
            # Of two that differ nobody can say which slipped: the later row is asked about.
            if power == 0 or (len(family) == 2 and number == 0):
                continue
            asked.add(point.row.id)
            other = next(
                one for one in family if power_of_ten(point.value / one.value, facts.settings.slip_tolerance) == power
            )
            yield facts.problem(
                ENTRY,
                point.row.id,
                found=f"{point.row.id} is {point.row.value.text} {point.row.unit}, {_times(power)} its sister "
                f"{other.row.id} ({other.row.value.text} {other.row.unit})",
                needed="a second look is needed at a reading that differs by a power of ten",
                related=tuple(place for place in (facts.places.of(other.row.id),) if place is not None),
            )


def _majority(value: Decimal, values: list[Decimal], tolerance: Decimal) -> int:
    """The power of ten by which a value differs from more than half of its sisters; 0 for none.

    `values` are sorted and hold the value itself, which is no power of ten away from itself.
    """
    for power, ten in POWERS:
        low, high = value / (ten * (1 + tolerance)), value / (ten * (1 - tolerance))
        if 2 * (bisect_right(values, high) - bisect_left(values, low)) > len(values) - 1:
            return power
    return 0


def _times(power: int) -> str:
    size = 10 ** abs(power)
    return f"{size} times" if power > 0 else f"1/{size} of"


def _settings(facts: Facts, points: list[_Point], asked: set[str]) -> Iterator[Problem]:
    for point in points:
        if point.row.id in asked or CHECKED.search(point.row.note):
            continue
        known, units = unit(point.row.unit), point.work.table.units if point.work.table else {}
        for name, text in point.typed.items():
            if "set" not in name.casefold() or known is None:
                continue
            read = quantity(text, units.get(name, ""))
            if read is None or read[1].quantity is not known.quantity or read[0] == 0 or point.row.value.number is None:
                continue
            setting = in_unit(read[0], read[1].symbol, known)
            if setting is None:
                continue
            power = power_of_ten(abs(point.row.value.number / setting), facts.settings.slip_tolerance)
            if power:
                asked.add(point.row.id)
                yield facts.problem(
                    ENTRY,
                    point.row.id,
                    found=f"{point.row.id} is {point.row.value.text} {point.row.unit}, {_times(power)} its {name} "
                    f"({setting.normalize():f} {known.symbol})",
                    needed="a second look is needed at a reading that differs by a power of ten",
                )


def _mixed(facts: Facts, work: Work) -> Iterator[Problem]:
    if work.sheet.note is not None and CHECKED.search(work.sheet.note):
        return
    first: dict[object, Reading] = {}
    for row in work.rows:
        known = unit(row.unit)
        if known is None or CHECKED.search(row.note):
            continue
        before = first.setdefault(known.quantity, row)
        if unit(before.unit) is not known:
            yield facts.problem(
                ENTRY,
                row.id,
                found=f"{work.name} holds readings in {before.unit} and in {row.unit}",
                needed="one unit on a sheet, or a note that the units were checked, is needed",
                mend="Hold the units against the worksheet; if both are right, say so in the sheet's note.",
            )
            return
