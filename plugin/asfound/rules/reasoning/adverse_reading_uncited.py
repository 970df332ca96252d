"""Every reading outside its limit, or within its doubt of it, is spoken of in a finding; so is every derived result.

A finding that rests on a whole sheet speaks of what the sheet shows, not of the one reading that does not fit it: an
adverse reading hidden in a sheet is not spoken of. Nor is one behind a result that is itself within its limits, or has
none: a mean that passes hides what did not.

Fails: R-touch-3 fails its limit, and the findings cite its neighbours, its sheet S-touch, or a mean that passes.
Passes: a finding that rests on R-touch-3, prints it, or rests on a derived result that holds it and is adverse too.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.verdict import Outcome, Verdict
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import cited_by_findings, named
from asfound.rules._work import sheet_of

ENTRY = Entry(
    name="adverse-reading-uncited",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every reading and derived result outside its limit, or conditional, is spoken of in a finding.",
    reason="A report that leaves out the readings against it is worth less than none.",
    source="NFPA 921-2014, 4.3.6 (a hypothesis is tested against all known facts)",
    status="secondary",
    mend="Write a finding that rests on them, also where they seem to have nothing to do with the event.",
    rows=("R71",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet, limit and outcome, naming the readings."""
    if facts.case.some_unread("F"):
        return  # the finding that cannot be read may be the one that speaks of it
    cited = cited_by_findings(facts)
    against = {verdict.subject for verdict in facts.verdicts if verdict.outcome.adverse}
    cited.update(ref for name in cited & facts.result.keys() & against for ref in facts.result[name].of)
    sheets = {**sheet_of(facts), **{name: result.sheet for name, result in facts.result.items()}}
    silent: dict[tuple[str, str, Outcome], list[str]] = {}
    for verdict in facts.verdicts:
        if verdict.outcome.adverse and verdict.subject in sheets and not _spoken(verdict, cited):
            about = (sheets[verdict.subject], verdict.limit.id if verdict.limit else "", verdict.outcome)
            silent.setdefault(about, []).append(verdict.subject)
    for (_, limit, outcome), refs in silent.items():
        first = refs[0] if refs[0] not in facts.result else facts.result[refs[0]].of[0]
        yield facts.problem(
            ENTRY,
            first,
            about=limit,
            found=f"no finding speaks of {named(refs)} ({outcome}{' against ' + limit if limit else ''})",
            needed="a finding that rests on each such reading is needed",
        )


def _spoken(verdict: Verdict, cited: set[str]) -> bool:
    """Whether a finding cites what was judged, or every reading of its group."""
    return verdict.subject in cited or (len(verdict.members) > 1 and set(verdict.members) <= cited)
