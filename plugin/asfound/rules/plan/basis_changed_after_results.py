"""A limit of the organisation's own, or an instrument's accuracy, was not changed once readings were held against it.

The plan names a set; what it says lies beside the case, and so does what an instrument can do. Asked of the commits.
Packaged limits change with versions of the program, and the edition tells of those.

Fails: a bound of `.asfound/limits/house.yml` moved in a commit that rests on readings it judges; the accuracy of the
instrument that took them.
Passes: the same before the readings; another limit of the set; a calibration that was added.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.past import FieldChange, RecordChange
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._past import changes_after, owned_up, results, told_of, when
from asfound.rules._words import ids, short

ENTRY = Entry(
    name="basis-changed-after-results",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Neither a limit nor the accuracy of an instrument is changed once readings rest on it.",
    reason="A bound, or a doubt, that moved after the reading may have been moved by the reading.",
    source="ILAC-G8:09/2019 (the rule is agreed before measuring); ISO/IEC 17025:2017, 7.8.6",
    status="confirmed",
    mend="Put it back, and enter what holds from now on as a set, or a function, of its own; or name it, with the "
    "reason, under limits_of_work in conclusion.yml.",
    rows=("R42",),
)

_OF_A_LIMIT = ("bound", "low", "high", "sense", "when", "only", "unless", "test", "quantity", "answer")


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a limit or an instrument, at the records of the case that rest on it."""
    if not told_of(facts):
        return
    judged: dict[str, set[str]] = {}
    for verdict in facts.verdicts:
        row = facts.case.reading.get(verdict.subject)
        if verdict.limit is not None and row is not None:
            judged.setdefault(verdict.limit.id, set()).add(row.sheet)
    for limit, sheets in judged.items():
        yield from _moved(facts, limit, tuple(sorted(sheets)), _OF_A_LIMIT, "plan.yml")
    used: dict[str, list[str]] = {}
    for name, sheet in facts.case.sheets.items():
        if facts.case.standing(name):
            used.setdefault(sheet.instrument, []).append(name)
    for instrument, names in used.items():
        yield from _moved(facts, instrument, tuple(names), ("functions",), names[0])


def _moved(facts: Facts, ref: str, sheets: tuple[str, ...], names: tuple[str, ...], where: str) -> Iterator[Problem]:
    commits = results(facts, sheets)
    moved: dict[str, tuple[FieldChange, FieldChange, RecordChange]] = {}
    for change in changes_after(facts, ref, commits):
        for field in change.fields if change.kind == "changed" else ():
            known = moved.get(field.name)
            if field.name.split(" / ")[0] in names and (known or field.old is not None):
                moved[field.name] = (known[0] if known else field, field, change)
    # What was put back as it was moved nothing.
    stays = [(first, change) for first, now, change in moved.values() if first.old != now.new]
    if not stays:
        return
    first, last = stays[0][0], stays[-1][1]
    if not owned_up(facts, last):
        yield facts.problem(
            ENTRY,
            where,
            *(("limit_sets",) if where == "plan.yml" else ("instrument",)),
            about=ref,
            found=f"{first.name} of {ref} was “{short(str(first.old), 40)}” when {ids(sheets, 3)} "
            f"{'were' if sheets[1:] else 'was'} read, and was changed {when(last.commit)}",
            needed="what the readings were held against when they were taken is needed",
        )
