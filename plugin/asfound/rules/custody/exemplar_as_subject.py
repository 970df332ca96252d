"""A finding about the thing itself does not rest on another like it, unless it says so.

Asked of readings, derived results, inspection rows and photographs that are of an exemplar only; and of readings where
an exemplar was fitted instead of the very accessory that the finding is about.

Fails: a finding `about: [I-3]` that rests on a reading of I-4, the unused set, and does not mention it.
Passes: "The exemplar of the same lot reads …".
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.prose import read_prose
from asfound.model.reasoning import Finding
from asfound.model.things import ItemRole
from asfound.model.work import Sheet
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids

ENTRY = Entry(
    name="exemplar-as-subject",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A finding about the thing itself does not rest on an exemplar, unless it says so.",
    reason="An exemplar shows what things of its kind can do, never what this one did.",
    source="hospital accident-investigation training, 2007 (comparison with an exemplar)",
    status="confirmed",
    mend="Say in the finding that it was an exemplar, make the finding about the exemplar, or cite the thing itself.",
    rows=("R18",),
)

_SAYS_SO = re.compile(r"\b(exemplars?|compar(?:e|es|ed|ison|isons))\b", re.IGNORECASE)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a finding, at the first citation concerned."""
    exemplars = {ref for ref, item in facts.case.items.items() if item.role is ItemRole.EXEMPLAR}
    for ref, finding in facts.case.findings.items():
        subjects = [item for item in finding.about if item not in exemplars]
        if not subjects or _SAYS_SO.search(read_prose(finding.text).plain):
            continue
        cited = [*finding.rests_on, *(one for one in read_prose(finding.text).refs if one not in finding.rests_on)]
        wrong = {one: item for one in cited if (item := _only_exemplar(facts, one, finding, exemplars))}
        if wrong:
            first = next(iter(wrong))
            listed_at = finding.rests_on.index(first) if first in finding.rests_on else None
            yield facts.problem(
                ENTRY,
                ref,
                *(("rests_on", listed_at) if listed_at is not None else ("text",)),
                found=f"a finding about {ids(subjects)} rests on {ids(wrong)}, of the exemplar {ids(wrong.values())}",
                needed="a record of the thing itself, or the word exemplar in the text, is needed",
            )


def _only_exemplar(facts: Facts, ref: str, finding: Finding, exemplars: set[str]) -> str:
    """The exemplar a record is of, where it is not of a subject of the finding."""
    case = facts.case
    items: tuple[str, ...] = ()
    if ref in case.reading:
        return _sheet_exemplar(facts, case.sheets.get(case.reading[ref].sheet), finding, exemplars)
    if ref in case.sheets:
        return _sheet_exemplar(facts, case.sheets[ref], finding, exemplars)
    if ref in facts.result:
        return _sheet_exemplar(facts, case.sheets.get(facts.result[ref].sheet), finding, exemplars)
    if ref in case.evidence:
        items = case.evidence[ref].items
    else:
        items = tuple(row.item for row in case.inspection if row.id == ref)
    if items and all(item in exemplars for item in items):
        return items[0]
    return ""


def _sheet_exemplar(facts: Facts, sheet: Sheet | None, finding: Finding, exemplars: set[str]) -> str:
    if sheet is None:
        return ""
    if sheet.item in exemplars:
        return sheet.item
    for accessory in sheet.accessories:
        stands_for = facts.case.items[accessory].compares_with if accessory in exemplars else None
        if stands_for in finding.about and stands_for not in sheet.accessories:
            return accessory
    return ""
