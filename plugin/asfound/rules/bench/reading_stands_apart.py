"""A reading that stands apart among its repeats is spoken of, whatever its verdict.

Fails: of six repeats at 100 mL/h five read 100.1 mL/h or near it and one 120 mL/h, and nobody says a word of it.
Passes: the row has a note that says what was seen; a finding that names it; 4.0, 4.0 and 4.1, which are one step of the
display apart; a scatter that the instrument's own doubt covers.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from asfound.measure.apart import LEAST, farthest, off_the_rest
from asfound.measure.show import short, with_unit
from asfound.measure.units import unit
from asfound.model.facts import Facts
from asfound.model.number import ValueKind
from asfound.model.prose import read_prose
from asfound.model.work import Reading
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import findings
from asfound.rules._work import Work, in_unit, works
from asfound.verdicts.context import comparable
from asfound.verdicts.doubts import quick_doubt, range_for, ranges_in
from asfound.verdicts.widened import beyond

ENTRY = Entry(
    name="reading-stands-apart",
    family=Family.COMPLETENESS,
    level=Level.NOTE,
    title="A reading that stands apart among its repeats is spoken of.",
    reason="Its distance is in the spread of all of them and widens the doubt of each; what nobody looked into then "
    "hides behind the doubt that it makes.",
    source="ISO 5725-2:1994, 7.3.4 (Grubbs' test); that the instrument's own doubt has to be passed too is ours",
    status="from memory",
    mend="Look for the cause, and say beside the row, or in a finding that names the reading, what was found or that "
    "nothing was. No reading is left out because a test sets it apart; one that a known slip spoiled is void, with the "
    "slip as its reason.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a group of repeats, at the reading that stands apart."""
    named: set[str] | None = None
    for work in works(facts):
        for alike in _groups(work):
            found = _told(facts, work, alike)
            if found is None:
                continue
            row, said = found
            if named is None:
                named = {ref for one in findings(facts) for ref in read_prose(one.text).refs}
            if not row.note and row.id not in named:
                yield facts.problem(
                    ENTRY, row.id, "value", found=said,
                    needed="what it comes from is needed, or that it was looked for, by the row or in a finding",
                )  # fmt: skip


def _groups(work: Work) -> list[list[Reading]]:
    """The numbers of a sheet by their conditions, where there are enough of them to tell."""
    units = work.table.units if work.table else {}
    keys: dict[tuple[tuple[str, str], ...], tuple[str, ...]] = {}
    found: dict[tuple[str, ...], list[Reading]] = {}
    for row in work.rows:
        if row.value.kind is ValueKind.NUMBER:
            typed = tuple(row.conditions.items())
            if typed not in keys:
                keys[typed] = tuple(comparable(text, units.get(name, "")) for name, text in typed)
            found.setdefault(keys[typed], []).append(row)
    return [rows for rows in found.values() if len(rows) >= LEAST]


def _told(facts: Facts, work: Work, alike: Sequence[Reading]) -> tuple[Reading, str] | None:
    """The reading that stands apart, and what is said of it; None where none does, or no doubt is known."""
    to = unit(alike[0].unit)
    if to is None or work.sheet.instrument not in facts.instruments:
        return None
    values = [None if one.value.number is None else in_unit(one.value.number, one.unit, to) for one in alike]
    known = [(row, value) for row, value in zip(alike, values, strict=True) if value is not None]
    numbers = [float(value) for _, value in known]
    if len(numbers) < LEAST or len(set(numbers)) == 1:
        return None
    ranges = ranges_in(facts.instruments[work.sheet.instrument], work.sheet.function, to)
    inside = range_for(known[0][1], ranges)
    found = None if inside is None else farthest(numbers, inside.known.resolution)
    if found is None or found.level == 100:
        return None
    row, value = known[found.at]
    chosen = range_for(value, ranges)
    off = off_the_rest(numbers, found.at)
    if chosen is None or off <= (doubt := quick_doubt(float(value), chosen)):
        return None
    return row, (
        f"{row.id} stands apart among {len(numbers)} repeats ({beyond(found)}): {with_unit(short(off, 3), to)} off the "
        f"mean of the others, where the instrument's doubt is {with_unit(short(doubt, 2), to)}"
    )
