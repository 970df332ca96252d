"""Repeats scatter somewhere: they are not the same to the last digit all through a case.

One steady display proves nothing. Where the examiner repeated in several tests and every repeat, of three digits or
more, came out as the first, the first may have been copied. Each group whose rows carry a note is left out, since its
author has said something of it.

Fails: five groups of repeats in three tests, each the same to the last digit, without a word.
Passes: the same with one group that scatters; four groups; groups of one or two digits, which hide a scatter.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from asfound.model.facts import Facts
from asfound.model.work import Reading
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named
from asfound.rules._work import canonical, works

GROUPS = 5
TESTS = 2
DIGITS = 3

ENTRY = Entry(
    name="repeats-identical",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Repeats scatter somewhere: they are not the same to the last digit all through a case.",
    reason="Numbers that were read anew differ in their last digit now and then; numbers that were copied do not.",
    source="common practice, no source",
    status="common practice",
    mend="Say in the note of a row how it was read anew and that the display stood still; a copied number is struck.",
    rows=("R59",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a case."""
    alike: list[tuple[str, list[Reading]]] = []
    for work in works(facts):
        groups: dict[tuple[tuple[str, str], ...], list[Reading]] = {}
        for row in work.rows:
            if row.value.is_number and row.value.number is not None:
                groups.setdefault(tuple(sorted(canonical(work, row).items())), []).append(row)
        for rows in groups.values():
            if len(rows) < 2 or any(row.note for row in rows):
                continue
            if len({(row.value.text, row.unit) for row in rows}) > 1:
                return
            if _digits(rows[0].value.number) >= DIGITS:
                alike.append((work.sheet.test, rows))
    if len(alike) < GROUPS or len({test for test, _ in alike}) < TESTS:
        return
    first = alike[0][1][1]
    yield facts.problem(
        ENTRY,
        first.id,
        "value",
        found=f"all {len(alike)} groups of repeats in this case are the same to the last digit, such as "
        f"{named(row.id for row in alike[0][1])}",
        needed="a word on how each was read anew, or repeats that were, are needed",
    )


def _digits(number: Decimal | None) -> int:
    """Significant digits as typed; a zero has none."""
    return len(number.as_tuple().digits) if number else 0
