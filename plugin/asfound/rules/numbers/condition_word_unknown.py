"""A condition has a name and a word that the test's protocol knows.

Fails: `activation: foot swich` where the protocol knows `hand switch` and `foot switch`.
Passes: `activation: foot switch`; a number with its unit where the protocol gives the condition a unit.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.measure.units import unit
from asfound.model.facts import Facts
from asfound.model.limits import Test
from asfound.model.number import decimal_of, parted
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import Work, did_you_mean, quantity, works
from asfound.verdicts.context import same

ENTRY = Entry(
    name="condition-word-unknown",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Every condition has a name and a value that the test's protocol knows.",
    reason="A misspelt condition drops a reading out of its limit without a word.",
    source="ISO/IEC 17025:2017, 7.8.3.1 a (test conditions)",
    status="from memory",
    mend="Use the protocol's word, or add it to the organisation's own protocol.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """Constants and columns of sheets, then what the plan asks to be covered."""
    for work in works(facts):
        if work.test is not None:
            yield from _constants(facts, work, work.test)
            yield from _columns(facts, work, work.test)
    for name, planned in (facts.case.plan.tests if facts.case.plan else {}).items():
        test = facts.protocol_test(name)
        if test is None:
            continue
        for condition, values in planned.coverage.items():
            for number, text in enumerate(values):
                wrong = _wrong(test, condition, text, "")
                if wrong is not None:
                    found, needed = wrong
                    yield facts.problem(
                        ENTRY, f"P-{name}", "coverage", condition, number, about=condition, found=found, needed=needed
                    )


def _constants(facts: Facts, work: Work, test: Test) -> Iterator[Problem]:
    for name, text in work.sheet.constants.items():
        wrong = _wrong(test, name, text, "")
        if wrong is not None:
            found, needed = wrong
            yield facts.problem(
                ENTRY,
                work.name,
                "constants",
                name,
                about=name,
                found=found,
                needed=needed,
                level=None if name in test.conditions else Level.WARN,
            )


def _columns(facts: Facts, work: Work, test: Test) -> Iterator[Problem]:
    spoken: set[tuple[str, str]] = set()
    units = work.table.units if work.table else {}
    for row in work.rows:
        for name, text in row.conditions.items():
            about = (name, text if name in test.conditions else "")
            if not text or about in spoken:
                continue
            spoken.add(about)
            wrong = _wrong(test, name, text, units.get(name, ""))
            if wrong is not None:
                found, needed = wrong
                yield facts.problem(
                    ENTRY,
                    row.id,
                    about=name,
                    found=found,
                    needed=needed,
                    level=None if name in test.conditions else Level.WARN,
                )


def _wrong(test: Test, name: str, text: str, column_unit: str) -> tuple[str, str] | None:
    """What is wrong with one condition, as (found, needed); None where nothing is."""
    column = test.conditions.get(name)
    if column is None:
        return (
            f'the condition "{name}" is not one of the test{did_you_mean(name, test.conditions)}',
            "a condition of the test is needed (" + ", ".join(test.conditions) + ")",
        )
    if column.values:
        if any(same(text, word) for word in column.values):
            return None
        return (
            f'{name} is "{text}"{did_you_mean(text, column.values)}',
            "one of these is needed: " + ", ".join(column.values),
        )
    if column.unit is None:
        return None
    wanted = unit(column.unit)
    read = quantity(text, column_unit)
    if wanted is None or (read is not None and read[1].quantity is wanted.quantity):
        return None
    if decimal_of(parted(text)[0]) is None:
        return f'{name} is "{text}", which is not a number', f"a number in {column.unit} is needed"
    if read is None:
        typed = parted(text)[1] or column_unit
        what = f'in "{typed}", which is no unit this program knows' if typed else "without a unit"
        return f'{name} is "{text}" {what}', f"a number in {column.unit} is needed"
    return f'{name} is "{text}" in {read[1].symbol}', f"a number in {column.unit} is needed"
