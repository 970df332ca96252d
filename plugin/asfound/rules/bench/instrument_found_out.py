"""An instrument that was found out of tolerance after a reading takes the reading along, until its error is weighed.

What comes first after the reading decides: a later calibration's `as_found`, or a check below `later_checks`.

Fails: a sheet of 3 June, and a calibration of 10 June that found the instrument out of tolerance.
Passes: the same with a check of 4 June that found it in tolerance; a calibration before the reading that found it out,
since it was adjusted then.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator

from asfound.model.bench import Instrument
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="instrument-found-out",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="No reading stands with an instrument that was found out of tolerance after it.",
    reason="The first check after a reading tells what the instrument did on the day, and this one says it erred.",
    source="ISO/IEC 17025:2017, 6.4.9 and 7.10 (the effect on results before is examined)",
    status="from memory",
    mend="Repeat the sheet with another instrument; or have the error at the points used stated, and lift this with an "
    "exception that says what it does to the readings.",
    rows=("R46",),
)

_OUT = re.compile(r"\b(?:out of|outside|not (?:with)?in|beyond|exceed\w*|failed?)\b", re.IGNORECASE)
_BUT = re.compile(r"\bnot (?:out of|outside|beyond|exceed\w*|failed?)\b", re.IGNORECASE)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet."""
    for name, sheet in facts.case.sheets.items():
        instrument = facts.instruments.get(sheet.instrument)
        if instrument is None or not facts.case.standing(name):
            continue
        last = sheet.to.at.date()
        # Of two looks on one day the worse counts, whatever their order in the file.
        first = min(_found(instrument, last), default=None, key=lambda one: (one[0], not one[1]))
        if first is not None and first[1]:
            yield facts.problem(
                ENTRY,
                name,
                "instrument",
                found=f"{name} was read with {sheet.instrument} on {last}, and {first[2]} of {first[0]} found it "
                "out of tolerance",
                needed="an instrument that was found in tolerance afterwards, or its error weighed, is needed",
            )


def _found(instrument: Instrument, day: dt.date) -> Iterator[tuple[dt.date, bool, str]]:
    """Each look at it since a day: its own day, whether it was out, and what the look was."""
    for one in instrument.calibrations:
        if one.on > day and isinstance(one.as_found, str):
            out = _OUT.search(one.as_found) is not None and _BUT.search(one.as_found) is None
            yield one.on, out, f"the calibration {one.certificate}"
    for look in instrument.later_checks:
        if look.on >= day:
            yield look.on, not look.in_tolerance, "the check"
