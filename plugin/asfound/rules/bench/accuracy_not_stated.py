"""The range a sheet was read with states an accuracy, or its certificate a doubt.

Fails: a range whose resolution, accuracy and certificate are all nought: its readings would be printed with a doubt
of 0.
Passes: a count, which is exact. A range with a resolution alone is noted: what a record shows is known to its last
digit, what a meter measures is not.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.measure.units import Quantity
from asfound.model.bench import Function, Range
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="accuracy-not-stated",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="An instrument's range states an accuracy, or its certificate a doubt.",
    reason="Nothing is measured without doubt; an accuracy of nought is one that nobody looked up.",
    source="JCGM 100:2008, F.2.2.1 and F.2.2.3 (resolution and calibration are parts of the doubt)",
    status="from memory",
    mend="Enter in .asfound/instruments.yml what its maker states for the range, or the doubt on its certificate.",
    rows=("R50",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a function that a sheet was read with; a note where the last digit alone makes the doubt."""
    used = {(str(sheet.instrument), str(sheet.function)) for sheet in facts.case.sheets.values()}
    for ref, name in sorted(used):
        instrument = facts.instruments.get(ref)
        function = None if instrument is None else instrument.functions.get(name)
        if function is None or function.quantity == Quantity.COUNT or _certified(function):
            continue
        bare = [number for number, one in enumerate(function.ranges) if not _states(one)]
        if not bare:
            continue
        nought = [number for number in bare if not function.ranges[number].resolution.value]
        first = (nought or bare)[0]
        told = "a doubt of 0" if nought else "the doubt of their last digit alone"
        yield facts.problem(
            ENTRY,
            ref,
            "functions",
            name,
            "ranges",
            first,
            "accuracy",
            found=f'{ref} states no accuracy for the range {_spoken(function, first)} of "{name}", '
            f"so its readings have {told}",
            needed="an accuracy, or a doubt on the certificate, is needed"
            if nought
            else "an accuracy is needed unless what is shown is itself what is asked, as in the record of a device",
            level=None if nought else Level.NOTE,
        )


def _certified(function: Function) -> bool:
    return function.certificate_doubt is not None and bool(function.certificate_doubt.value)


def _states(one: Range) -> bool:
    plus = one.accuracy.plus
    return bool(one.accuracy.percent or one.accuracy.digits or (plus is not None and plus.value))


def _spoken(function: Function, number: int) -> str:
    one = function.ranges[number]
    return f"{one.from_.text} to {one.to.text}"
