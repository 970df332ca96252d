"""A protective-earth test under IEC 62353 says its test current, was made both ways round if with d.c., and
records the highest reading.

Fails: a sheet read with d.c. in one direction only; a test current of 100 mA; a note that the value is a mean.
Passes: `test current: 200 mA` among the constants, and rows with `polarity` dc forward and dc reversed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from asfound.measure.units import convert, unit
from asfound.model.facts import Facts
from asfound.problems import Entry, Level, Problem
from asfound.problems import Family as EntryFamily
from asfound.rules._conditions import Family, sheets_of, speak
from asfound.rules._work import Work, quantity, varied

ENTRY = Entry(
    name="earth-test-incomplete",
    family=EntryFamily.COMPLETENESS,
    level=Level.REJECT,
    title="An earth test under IEC 62353 has its test current, both directions of d.c. and its highest value.",
    reason="A weak current bridges nothing, and one direction alone can hide a contact that conducts one way.",
    source="IEC 62353:2014, 5.3.2",
    status="confirmed",
    mend="Record the test current; repeat a d.c. test reversed; enter each reading and let the highest be judged.",
    rows=("R54",),
)

LEAST = Decimal("0.2")
"""Least test current in ampere (IEC 62353:2014, 5.3.2)."""
_AC = re.compile(r"\ba\.?c\b|\balternating current\b", re.IGNORECASE)
_DC = re.compile(r"\bd\.?c\b|\bdirect current\b", re.IGNORECASE)
_MEAN = re.compile(r"\b(?:mean|average|averaged)\b", re.IGNORECASE)


def check(facts: Facts) -> Iterator[Problem]:
    """Sheets of the protective-earth test, where the plan uses a set of IEC 62353."""
    yield from speak(facts, ENTRY, Family.EARTH)
    for work in sheets_of(facts, Family.EARTH):
        yield from _current(facts, work)
        yield from _directions(facts, work)
        yield from _means(facts, work)


def _current(facts: Facts, work: Work) -> Iterator[Problem]:
    ampere = unit("A")
    assert ampere is not None and work.test is not None
    weak: list[str] = []
    shown = ""
    recorded = False
    for row in work.rows:
        known = {name: text for name, text in varied(work, row).items() if "current" in name}
        recorded = recorded or bool(known)
        for name, text in known.items():
            read = quantity(text, work.table.units.get(name, "") if work.table else "")
            if read is not None and read[1].quantity is ampere.quantity and convert(read[0], read[1], ampere) < LEAST:
                weak.append(row.id)
                shown = text
    if not recorded:
        yield facts.problem(
            ENTRY,
            work.name,
            "constants",
            about="current",
            found=f"the sheet {work.name} does not record its test current",
            needed="the test current, at least 200 mA, is needed",
            mend=f"Write it on {work.name}: constants: {{test current: 0.2 A}}, or add a column “test current [A]”.",
        )
    if weak:
        verb = "was" if len(weak) == 1 else "were"
        yield facts.problem(
            ENTRY,
            weak[0],
            about="current",
            found=f"{_readings(weak)} of {work.name} {verb} taken with a test current of {shown}",
            needed="a test current of at least 200 mA is needed",
        )


def _directions(facts: Facts, work: Work) -> Iterator[Problem]:
    groups: dict[tuple[tuple[str, str], ...], set[str]] = {}
    first: dict[tuple[tuple[str, str], ...], str] = {}
    unsaid: list[str] = []
    for row in work.rows:
        known = varied(work, row)
        if not any(_AC.search(text) or _DC.search(text) for text in known.values()):
            unsaid.append(row.id)
        if not any(_DC.search(text) for text in known.values()):
            continue
        rest = tuple(sorted((name, text) for name, text in known.items() if "polarity" not in name))
        first.setdefault(rest, row.id)
        groups.setdefault(rest, set()).update(
            text.strip().casefold() for name, text in known.items() if "polarity" in name
        )
    if unsaid:
        yield facts.problem(
            ENTRY,
            work.name if len(unsaid) == len(work.rows) else unsaid[0],
            about="direct current",
            found=f"{work.name} does not say of {_readings(unsaid)} whether the test current was direct",
            needed="the kind of the test current is needed",
            mend=f"Write it on {work.name}: constants: {{polarity: ac}}; direct current is read both ways, in a column "
            "“polarity”.",
        )
    for rest, ways in groups.items():
        if len(ways) < 2:
            yield facts.problem(
                ENTRY,
                first[rest],
                about="reversed",
                found=f"{first[rest]} was read with d.c. in one direction only",
                needed="the same reading with the current reversed is needed",
            )


def _readings(which: list[str]) -> str:
    return f"{len(which)} reading" + ("s" if len(which) > 1 else "")


def _means(facts: Facts, work: Work) -> Iterator[Problem]:
    for row in work.rows:
        if _MEAN.search(row.note):
            yield facts.problem(
                ENTRY,
                row.id,
                about="mean",
                found=f"the note of {row.id} says that it is a mean",
                needed="each reading is needed, so that the highest is judged",
            )
