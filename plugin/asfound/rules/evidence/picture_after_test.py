"""A picture that is offered as found was taken before the thing was tested.

The time is that of the file's own metadata where the camera wrote one, else `taken_at`; the measured error of its
clock is taken off, and its doubt counts in the picture's favour. It is held against the first sheet of readings on a
thing that the picture names (any thing, where it names none). Where metadata and register differ by more than a
minute, that is said too.

Fails: `as_found: yes`, taken at 14:40 by its metadata, and a sheet of the same item from 14:30.
Passes: taken at 11:10; or taken at 14:40 and not offered as found.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.testimony import Evidence
from asfound.model.work import Sheet
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.evidence._pictures import PICTURES, clock_error, written_time

ENTRY = Entry(
    name="picture-after-test",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A picture that is offered as found was taken before the thing was tested.",
    reason="A picture of the state after a test, captioned as found, is the first thing the other side looks for.",
    source="common practice, no source; ASTM E1459-13(2018), 4.1.3 asks for the condition before collection",
    status="common practice",
    mend="Correct the time only from the camera or its log; else say as_found: no.",
    rows=("R29",),
)

_DIFFERS = dt.timedelta(minutes=1)


def check(facts: Facts) -> Iterator[Problem]:
    """At most two problems a picture."""
    for ref, evidence in facts.case.evidence.items():
        if evidence.kind not in PICTURES:
            continue
        written = written_time(facts, evidence)
        stated = evidence.taken_at
        if written is not None and stated is not None and abs(written - stated.at) > _DIFFERS:
            yield facts.problem(
                ENTRY,
                ref,
                "taken_at",
                about="",
                found=f"the register says {stated.text}, the file itself {_shown(written)}",
                needed="the time that the camera wrote, on the camera's clock, is needed",
                mend="Write what the camera wrote; the error of its clock belongs to clocks.yml.",
                level=Level.WARN,
            )
        at = written or (stated.at if stated is not None else None)
        if not evidence.as_found or at is None:
            continue
        first = _first_sheet(facts, evidence)
        error, doubt = clock_error(facts, ref)
        if first is None or at - error - doubt <= first[1].from_.at:
            continue
        whose = "by its own metadata " if written is not None else ""
        sheet, place = first[0], facts.places.of(first[0], "from")
        yield facts.problem(
            ENTRY,
            ref,
            "as_found",
            about="",
            found=f"offered as found, but taken {whose}at {_shown(at)}, after {sheet} began at {first[1].from_.text}",
            needed="a picture from before the first test is needed",
            related=(place,) if place is not None else (),
        )


def _first_sheet(facts: Facts, evidence: Evidence) -> tuple[str, Sheet] | None:
    shown = set(evidence.items)
    sheets = [
        (ref, sheet)
        for ref, sheet in facts.case.sheets.items()
        if not shown or shown.intersection((sheet.item, *sheet.accessories))
    ]
    return min(sheets, key=lambda one: (one[1].from_.at, one[0]), default=None)


def _shown(at: dt.datetime) -> str:
    text = at.isoformat(sep=" ", timespec="seconds")
    return f"{text[:-6]} {text[-6:]}"
