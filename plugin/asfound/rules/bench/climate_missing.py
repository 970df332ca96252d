"""The climate of the room is on record where a result depends on it.

A protocol says of a test what of the room it depends on: of what temperature the weighed water was, to which
conditions a volume of gas was converted, into what air a surface gave its heat.

Fails: a flow by weighing whose sheet holds no `climate`; a volume of gas without the pressure of the day.
Passes: `climate: {temperature: 22.0 °C}` beside the flow; a leakage current without any.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import works

ENTRY = Entry(
    name="climate-missing",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="The climate of the room is on record where a result depends on it.",
    reason="A number that depends on the air about it cannot be taken again, or converted, without knowing that air.",
    source="ISO/IEC 17025:2017, 7.8.3.1 a",
    status="from memory",
    mend="Enter climate below the sheet: temperature, humidity and pressure, as far as the test depends on them; what "
    "was not measured then is said in the sheet's note, and not made up.",
    rows=("R63",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet that holds readings, naming what is missing."""
    for work in works(facts):
        if work.test is None or not work.rows:
            continue
        climate = work.sheet.climate
        missing = [name for name in work.test.climate if climate is None or getattr(climate, name) is None]
        if missing:
            yield facts.problem(
                ENTRY,
                work.name,
                *(() if climate is None else ("climate",)),
                found=f"the sheet {work.name} does not say the {' and '.join(missing)} of the room, on which "
                f"“{work.test.title}” depends",
                needed="what the room was like while the readings were taken is needed",
            )
