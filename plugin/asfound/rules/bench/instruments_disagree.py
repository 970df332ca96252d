"""Where two instruments do not agree within their doubts, a finding says so.

Fails: the balance gave 106 mL/h where the analyser gave 112 mL/h, beyond the doubts of both, and the findings print
both figures and say nothing of the difference.
Passes: a finding that rests on the result in which they are compared, or prints it.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.verdict import SECOND_INSTRUMENT, Outcome
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import cited_by_findings
from asfound.verdicts.second import compared_sheets

ENTRY = Entry(
    name="instruments-disagree",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Where two instruments do not agree within their doubts, a finding says so.",
    reason="One of the two is wrong by more than it admits, or they did not measure the same; the reader has to know.",
    source="ISO/IEC 17043, annex B (an En number above 1 in size is unsatisfactory)",
    status="from memory",
    mend="Look for what differed, measure again, and write a finding that rests on the comparison and says what it was "
    "or that it is not known.",
    rows=("R71",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a comparison, at the first reading of the second instrument's sheet."""
    if facts.case.some_unread("F"):
        return  # the finding that cannot be read may be the one that speaks of it
    cited = cited_by_findings(facts)
    for name, result in facts.result.items():
        if result.kind != SECOND_INSTRUMENT or result.outcome is not Outcome.FAIL or name in cited:
            continue
        mine, other = compared_sheets(result, facts.case)
        repeated = "of what it repeats" if facts.case.sheets[mine].repeats_of == other else f"of {other}"
        size = "" if result.value is None else f", the largest En number {abs(result.value):.2f} in size"
        yield facts.problem(
            ENTRY,
            result.of[0],
            about=name,
            found=f"no finding speaks of {name}: the instruments of {mine} and {repeated} do not agree{size}",
            needed="at most 1, or a finding that rests on the comparison is needed",
        )
