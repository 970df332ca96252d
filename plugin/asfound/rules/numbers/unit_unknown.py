"""Every unit is one of the list, and measures what the test measures.

Fails: 92 `Watt/s`; 0.2 `mA` on a sheet of a resistance; 92 with no unit at all.
Passes: 0.2 `ohm`, 200 `mohm`, 92 `W`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from asfound.measure.units import nearest, unit
from asfound.model.facts import Facts
from asfound.model.number import ValueKind
from asfound.problems import Entry, Family, Level, Problem, Span
from asfound.rules._work import Work, amounts, works

ENTRY = Entry(
    name="unit-unknown",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Every unit is known, and measures what the test measures.",
    reason="A unit that has to be guessed can be guessed wrong by a factor of a thousand.",
    source="ISO/IEC 17025:2017, 7.8.2.1 m (results with units); SI Brochure, 9th edition",
    status="confirmed",
    mend="Write the unit as the list has it; the method page prints the list.",
    rows=("R52",),
)

_WITH_UNIT = frozenset({ValueKind.NUMBER, ValueKind.BELOW, ValueKind.ABOVE})


def check(facts: Facts) -> Iterator[Problem]:
    """Units of readings, of condition columns, and of every amount in the records."""
    for work in works(facts):
        yield from _values(facts, work)
        yield from _columns(facts, work)
    for where, record in _records(facts):
        for path, amount in amounts(record):
            if unit(amount.unit) is None:
                yield facts.problem(
                    ENTRY,
                    where,
                    *path,
                    about="",
                    found=f'"{amount.text}" has the unit "{amount.unit}"{_hint(amount.unit)}',
                    needed="a unit of the list is needed",
                )


def _hint(text: str) -> str:
    close = nearest(text)
    return f", perhaps meant as {close}" if close else ""


def _values(facts: Facts, work: Work) -> Iterator[Problem]:
    """One problem for each unit that is wrong on a sheet, at the first reading that has it."""
    wanted = unit(work.test.unit) if work.test is not None else None
    bare = work.test is not None and work.test.unit in {"1", ""}
    spoken: set[str] = set()
    for row in work.table.rows if work.table else ():
        if row.unit in spoken or row.value.kind not in _WITH_UNIT:
            continue
        known = unit(row.unit) if row.unit else None
        if not row.unit and not bare:
            found, needed = f"{row.id} is {row.value.text} without a unit", "the unit the instrument showed is needed"
        elif row.unit and known is None:
            found = f'{row.id} is in "{row.unit}"{_hint(row.unit)}'
            needed = "a unit of the list is needed"
        elif known is not None and wanted is not None and known.quantity is not wanted.quantity:
            found = f"{row.id} is in {row.unit}, a unit of {known.quantity}"
            needed = f"a unit of {wanted.quantity} is needed for the test {work.protocol_name}, such as {wanted.symbol}"
        else:
            continue
        spoken.add(row.unit)
        yield facts.problem(ENTRY, row.id, found=found, needed=needed)


def _columns(facts: Facts, work: Work) -> Iterator[Problem]:
    if work.table is None or not work.table.rows:
        return
    first = facts.places.of(work.table.rows[0].id)
    head = Span(first.path, 1) if first is not None else Span(work.table.path, 1)
    for name, typed in work.table.units.items():
        if typed and name != "value" and unit(typed) is None:
            yield facts.problem(
                ENTRY,
                head,
                about=name,
                found=f'the column {name} is in "{typed}"{_hint(typed)}',
                needed="a unit of the list is needed",
                subject=work.name,
            )


def _records(facts: Facts) -> Iterator[tuple[str, Any]]:
    """Records that may hold amounts, with the id or file by which they are placed."""
    case = facts.case
    for file, record in (("case.yml", case.head), ("injury.yml", case.injury), ("conclusion.yml", case.conclusion)):
        if record is not None:
            yield file, record
    for group in (case.items, case.sheets, case.clocks):
        yield from group.items()
    used = {sheet.instrument for sheet in case.sheets.values()}
    for ref in sorted(used & facts.instruments.keys()):
        if facts.places.of(ref) is not None:
            yield ref, facts.instruments[ref]
