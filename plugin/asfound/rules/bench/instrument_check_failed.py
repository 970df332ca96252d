"""A check of the instrument or of the bench that failed leaves no reading standing.

Fails: the sheet's check "leads nulled" says `ok: no`, and its readings stand.
Passes: the same with every reading void and a reason; or a check that says `ok: yes`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="instrument-check-failed",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="No reading stands on a sheet whose check of instrument or bench failed.",
    reason="An instrument that failed a check beside the readings cannot vouch for them.",
    source="ISO/IEC 17025:2017, 6.4.9 and 7.7.1",
    status="from memory",
    mend="Void the readings with the reason and repeat them with an instrument that passes its check.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """Failed checks of sheets that hold standing readings, and later checks that found an instrument out."""
    for name, sheet in facts.case.sheets.items():
        rows = facts.case.standing(name)
        if not rows:
            continue
        for number, one in enumerate(sheet.checks):
            if not one.ok:
                yield facts.problem(
                    ENTRY,
                    name,
                    "checks",
                    number,
                    "ok",
                    about=one.what,
                    found=f'the check "{one.what}" failed, and {len(rows)} readings of {name} stand',
                    needed="readings of an instrument and a bench that pass their checks are needed",
                )
        instrument = facts.instruments.get(sheet.instrument)
        if instrument is None:
            continue
        day = sheet.to.at.date()
        since = min((one.on for one in instrument.calibrations if one.on > day), default=None)
        for later in instrument.later_checks:
            if not later.in_tolerance and later.on >= day and (since is None or later.on <= since):
                yield facts.problem(
                    ENTRY,
                    name,
                    "instrument",
                    about="",
                    found=f"{sheet.instrument} was found out of tolerance on {later.on}, after {name} was read with it",
                    needed="an account of what this means for the readings is needed",
                    mend="Say in the finding by how much it was out, or repeat the sheet with another instrument.",
                    level=Level.WARN,
                )
