"""The instrument was within its calibration when it was used.

Fails: a sheet of 9 March read with an instrument whose calibration was due on 1 March.
Passes: a sheet read on the due date itself. A later check that found the instrument in tolerance makes it a
warning: the readings are then indicative. A check after a new calibration does not: it may have been adjusted there.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="instrument-out-of-date",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every instrument is used between its calibration and its due date.",
    reason="Outside these dates nobody has vouched for what it shows.",
    source="ISO/IEC 17025:2017, 6.4.13 e",
    status="confirmed",
    mend="Have the instrument checked and enter the check below later_checks, or repeat the sheet with another.",
    rows=("R46",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet. The date is that of the sheet's own clock."""
    for name, sheet in facts.case.sheets.items():
        instrument = facts.instruments.get(sheet.instrument)
        if instrument is None or not instrument.calibrations:
            continue
        first, last = sheet.from_.at.date(), sheet.to.at.date()
        if any(one.on <= first and last <= one.due for one in instrument.calibrations):
            continue
        before = [one for one in instrument.calibrations if one.on <= first]
        ref = sheet.instrument
        if before:
            due = max(one.due for one in before)
            found = f"{ref} was due for calibration on {due}, and {name} was read with it on {last}"
        else:
            on = min(one.on for one in instrument.calibrations)
            found = f"{ref} was first calibrated on {on}, and {name} was read with it on {first}"
        later = instrument.next_check(last)
        if later is not None and later.in_tolerance:
            yield facts.problem(
                ENTRY,
                name,
                "instrument",
                found=f"{found}; a check on {later.on} found it in tolerance, so the readings are indicative",
                needed="an instrument within its calibration is needed",
                level=Level.WARN,
            )
            continue
        said = f"; a check on {later.on} found it out of tolerance" if later is not None else ""
        yield facts.problem(
            ENTRY,
            name,
            "instrument",
            found=found + said,
            needed="an instrument within its calibration, or a later check that found it in tolerance, is needed",
        )
