"""A reading lies in a range of the instrument.

Fails: 12 Ω on a function whose ranges end at 2 Ω.
Passes: 1.9 Ω on it. A reading in the lowest tenth of its range, from an instrument whose accuracy is not on
record, is a warning.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.measure.units import unit
from asfound.model.bench import Function, Range
from asfound.model.facts import Facts
from asfound.model.work import Reading
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named
from asfound.rules._work import function_of, in_unit, of_mark, percent, range_of, works

ENTRY = Entry(
    name="outside-range",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every reading lies in a range of the instrument it was taken with.",
    reason="Outside its ranges an instrument shows numbers that nobody has calibrated.",
    source="ISO/IEC 17025:2017, 6.4.5; the share of the range is a setting of ours",
    status="from memory",
    mend="Correct the value, the unit or the function; or repeat it with an instrument that reaches so far.",
    rows=("R48",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """Readings outside every range; and, one problem a sheet, those low in a range of unknown accuracy."""
    for work in works(facts):
        function = function_of(facts, work.sheet)
        if function is None or not function.ranges or of_mark(work.test):
            continue
        low: list[str] = []
        for row in work.rows:
            number = row.value.number
            if not row.value.is_number or number is None or not _comparable(row, function):
                continue
            inside = range_of(function, number, row.unit)
            if inside is None:
                yield facts.problem(
                    ENTRY,
                    row.id,
                    found=f"{row.id} is {row.value.text} {row.unit}, outside the ranges of {work.sheet.instrument} "
                    f'for "{work.sheet.function}" ({_spans(function)})',
                    needed="a reading within a range of the instrument is needed",
                )
            elif _low(facts, row, inside, function):
                low.append(row.id)
        if low:
            yield facts.problem(
                ENTRY,
                low[0],
                found=f"{named(low)} {'lies' if len(low) == 1 else 'lie'} in the lowest "
                f"{percent(facts.settings.low_range_share)} of the range, and no accuracy is on record",
                needed="the accuracy of the range, or its doubt from the certificate, is needed",
                mend="Enter the accuracy of the range in the register.",
                level=Level.WARN,
            )


def _comparable(row: Reading, function: Function) -> bool:
    known = unit(row.unit)
    return known is not None and any(
        (other := unit(one.to.unit)) is not None and other.quantity is known.quantity for one in function.ranges
    )


def _spans(function: Function) -> str:
    return ", ".join(f"{one.from_.text} to {one.to.text}" for one in function.ranges)


def _low(facts: Facts, row: Reading, inside: Range, function: Function) -> bool:
    accuracy = inside.accuracy
    if accuracy.percent or accuracy.plus is not None or accuracy.digits or function.certificate_doubt is not None:
        return False
    assert row.value.number is not None
    # The display's step alone would give some doubt; it is the accuracy that nobody has stated.
    there = in_unit(row.value.number, row.unit, inside.to.unit)
    return there is not None and abs(there) <= facts.settings.low_range_share * inside.to.value
