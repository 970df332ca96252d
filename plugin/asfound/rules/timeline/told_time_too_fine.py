"""A time that a person told is not given as finely as an instrument would give it.

Fails: an event whose only source is W-1, with a doubt of `5 s`; or without a doubt and written to the second.
Passes: the same with `2 min`; the same with the record of a device beside the statement.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.measure import show_number
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="told-time-too-fine",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A time that a person told is not given as finely as an instrument would give it.",
    reason="Somebody who remembers a time remembers it in minutes. Seconds on such a time lend it a weight it has not.",
    source="ASTM E1020-13e1, 5.1.1 (a narrative names its sources)",
    status="confirmed",
    mend="State the doubt such a memory has, or cite the record of a device beside the statement.",
    rows=("R94",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an event."""
    least = facts.settings.told_time_least_seconds
    for row in facts.case.timeline:
        one = facts.placing.placed(row.id)
        if one is None or not one.told:
            continue
        fine = f"our least for a time that a person told is {show_number(least)} s"
        by = " and ".join(row.source) or "nothing"
        if one.stated is not None and one.stated < float(least):
            found = f"a doubt of {row.doubt} stands on a time that rests on {by} alone"
        elif one.stated is None and (row.at.at.second or row.at.at.microsecond):
            found = f"a time to the second, without a doubt, rests on {by} alone"
        else:
            continue
        yield facts.problem(ENTRY, row.id, "doubt", found=found, needed=f"the doubt of a memory is needed: {fine}")
