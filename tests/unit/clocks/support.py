"""A small case of clocks and events, placed."""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from asfound import intake
from asfound.clocks import place
from asfound.model.base import Moment
from asfound.model.bench import Settings
from asfound.model.case import Case
from asfound.model.placing import Placing
from asfound.model.testimony import Clock, TimelineRow
from tests.rules.support import BASE, CASE

Event = tuple[str, str, str, str]
"""Clock, time, doubt, source."""


@functools.cache
def _case() -> Case:
    found = intake.read_case(BASE, BASE / CASE, intake.read_bench(BASE)).case
    assert found is not None
    return found


def compared(at: str, offset: str, doubt: str = "2 s", reference: str = "network time", **more: str) -> dict[str, str]:
    """One comparison."""
    return {"at": at, "offset": offset, "doubt": doubt, "reference": reference, **more}


def row(number: int, event: Event) -> TimelineRow:
    """One row of a timeline."""
    clock, at, doubt, source = event
    refs = tuple(source.split())
    return TimelineRow(f"T-{number}", number + 1, clock, Moment.read(at), doubt, "something", refs, "examiner")


def placed(clocks: Mapping[str, Mapping[str, Any]], events: Sequence[Event], **settings: str) -> Placing:
    """The events on their base; they are T-1, T-2 and so on. Clocks are as in clocks.yml."""
    read = {ref: Clock.model_validate({"what": "a clock", **fields}) for ref, fields in clocks.items()}
    rows = tuple(row(number, event) for number, event in enumerate(events, 1))
    case = replace(_case(), clocks=read, timeline=rows)
    return place(case, Settings.model_validate(settings), intake.zone_of)
