"""Every reading outside its limit, or within its doubt of it, is spoken of in a finding.

Fails: R-touch-3 fails its limit and no finding rests on it or cites it.
Passes: a finding that rests on R-touch-3, on its whole sheet, or on a derived result that holds it.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.prose import read_prose
from asfound.model.verdict import Outcome, Verdict
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import findings, named
from asfound.rules._work import sheet_of

ENTRY = Entry(
    name="adverse-reading-uncited",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every reading outside its limit, or conditional, is spoken of in a finding.",
    reason="A report that leaves out the readings against it is worth less than none.",
    source="NFPA 921-2014, 4.3.6 (a hypothesis is tested against all known facts)",
    status="secondary",
    mend="Write a finding that rests on them, also where they seem to have nothing to do with the event.",
    rows=("R71",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet, limit and outcome, naming the readings."""
    cited: set[str] = set()
    for text in findings(facts):
        cited.update(text.rests_on)
        cited.update(read_prose(text.text).refs)
    cited.update(ref for name in cited & facts.result.keys() for ref in facts.result[name].of)
    sheets = sheet_of(facts)
    silent: dict[tuple[str, str, Outcome], list[str]] = {}
    for verdict in facts.verdicts:
        if verdict.outcome.adverse and verdict.subject in sheets and not _spoken(verdict, cited, sheets):
            about = (sheets[verdict.subject], verdict.limit.id if verdict.limit else "", verdict.outcome)
            silent.setdefault(about, []).append(verdict.subject)
    for (_, limit, outcome), refs in silent.items():
        yield facts.problem(
            ENTRY,
            refs[0],
            found=f"no finding speaks of {named(refs)} ({outcome}{' against ' + limit if limit else ''})",
            needed="a finding that rests on each such reading is needed",
        )


def _spoken(verdict: Verdict, cited: set[str], sheets: dict[str, str]) -> bool:
    """Whether a finding cites the reading judged, its sheet, or every reading of its group."""
    if verdict.subject in cited or sheets[verdict.subject] in cited:
        return True
    return len(verdict.members) > 1 and set(verdict.members) <= cited
