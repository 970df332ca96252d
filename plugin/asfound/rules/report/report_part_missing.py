"""The report carries the parts that ISO/IEC 17025:2017 asks of one.

Fails: no `report:` block in case.yml, so that place, customer and who authorises are not known.
Passes: `report:` with `examined_at`, `customer` and `authorised_by`; name and address in the organisation's settings.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import ReportPart, report_parts
from asfound.model.facts import Facts
from asfound.model.ids import KINDS
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import stands

ENTRY = Entry(
    name="report-part-missing",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The report carries every part that a test report must carry.",
    reason="A report that lacks its customer, its place or its signatory invites the question what else it lacks.",
    source="ISO/IEC 17025:2017, 7.8.2.1 a to p, 7.8.6 and 7.8.7 (the last from memory)",
    status="confirmed",
    mend="Fill in what is named; report: in case.yml holds examined_at, customer and authorised_by.",
    rows=("R102", "R104", "R106"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem that lists the parts that are missing, each with its clause.

    Outside results that are not marked have a rule of their own, and a file that cannot be read has its own problems.
    """
    missing = [
        part
        for part in report_parts(facts.case, facts.settings)
        if part.missing and part.clause != "7.8.2.1 p" and not _unread(facts, part)
    ]
    if missing:
        shown = "; ".join(
            f"{part.asks} ({part.clause.removeprefix('7.8.2.1 ')}: {part.field or part.file})" for part in missing
        )
        yield facts.problem(
            ENTRY,
            "case.yml",
            "report",
            found="the report lacks " + shown,
            needed="every part of ISO/IEC 17025:2017, 7.8.2.1, is needed",
        )


def _unread(facts: Facts, part: ReportPart) -> bool:
    """Whether the file of a part is there, and it or a record in it could not be read."""
    case = facts.case
    if any(case.some_unread(letter) for letter, (_, file) in KINDS.items() if file == part.file):
        return True
    empty = {"plan.yml": case.plan is None, "items.yml": not case.items, "conclusion.yml": case.conclusion is None}
    return empty.get(part.file, False) and stands(facts, part.file)
