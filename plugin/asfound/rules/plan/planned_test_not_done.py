"""A planned test was done, or the plan says why not.

Fails: `gel-print` stands in the plan; no sheet of it holds a reading, and there is no `not_done`.
Passes: the same with `not_done: the pad's gel had dried before it reached the bench`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named
from asfound.rules._work import answered, stands

ENTRY = Entry(
    name="planned-test-not-done",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every planned test has readings, or a reason why it was not done.",
    reason="A test that was planned and vanished looks like a result that was not wanted.",
    source="ISO/IEC 17025:2017, 7.8.2.1 n (deviations from the method)",
    status="confirmed",
    mend="Enter the readings, or write not_done with the reason below the planned test.",
    rows=("R43",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """Planned tests with neither a standing reading nor `not_done`; one problem where nothing was measured at all."""
    if facts.case.plan is None:
        return
    waiting = [name for name, planned in facts.case.plan.tests.items() if planned.not_done is None]
    if len(waiting) > 1 and not facts.case.sheets and not facts.case.prepared and not stands(facts, "sheets.yml"):
        yield facts.problem(
            ENTRY,
            "plan.yml",
            "tests",
            found=f"none of the {len(waiting)} planned tests has a sheet of readings",
            needed="their readings, or the reasons why they were not done, are needed",
        )
        return
    for name, planned in facts.case.plan.tests.items():
        if planned.not_done is not None:
            continue
        sheets = [sheet for sheet, _ in facts.case.sheets_of(name)]
        rows = [row for sheet in sheets for row in facts.case.standing(sheet)]
        if rows and (answered(tuple(rows)) or all(row.value.why for row in rows)):
            continue
        ready = [ref for ref, sheet in facts.case.prepared.items() if sheet.test == name]
        if facts.unread.any((*ready, *sheets)) or (not sheets and facts.unread.test(name)):
            # What stands in the way of reading it is told there; whether it holds a value is not known.
            continue
        if ready and not rows:
            lie = "lies" if len(ready) == 1 else "lie"
            found = f"{named(ready)} of the planned test {name} {lie} ready, without a value"
        elif not sheets:
            found = f"the planned test {name} has no sheet"
        elif rows:
            found = f"the planned test {name} has {len(rows)} blank readings and no value"
        elif any(sheet in facts.case.readings for sheet in sheets):
            found = f"the planned test {name} has no reading that stands"
        else:
            found = f"the planned test {name} has a sheet and no file of readings"
        yield facts.problem(
            ENTRY, f"P-{name}", found=found, needed="its readings, or the reason why it was not done, are needed"
        )
