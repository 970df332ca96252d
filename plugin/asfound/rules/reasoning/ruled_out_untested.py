"""An explanation is ruled out by something, not by the absence of something.

Fails: `status: ruled out` with no test that was done and nothing below `contradicts`.
Passes: a finding below `contradicts`, or below `shown_false_by` of one of its needs.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.reasoning import Explanation, Status
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import answered

ENTRY = Entry(
    name="ruled-out-untested",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="An explanation is ruled out by a finding, or by a test that was done.",
    reason="What was not looked for was not ruled out.",
    source="NFPA 921-2014, 19.6.5 (limits of elimination)",
    status="secondary",
    mend="List what speaks against it below contradicts or shown_false_by, or set its status to not tested.",
    rows=("R75",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """Nothing at all rejects; a test that was done, whose outcome is not listed, warns."""
    for ref, one in facts.case.explanations.items():
        if one.status is not Status.RULED_OUT or one.contradicts or any(need.shown_false_by for need in one.needs):
            continue
        done = [name for name in _tests(one) if _done(facts, name)]
        if not done and any(facts.unread.test(name) for name in _tests(one)):
            continue
        if done:
            yield facts.problem(
                ENTRY,
                ref,
                "status",
                found=f"{ref} is ruled out by {' and '.join(done)}, and no outcome is listed against it",
                needed="the finding that rules it out is needed",
                level=Level.WARN,
            )
        else:
            yield facts.problem(
                ENTRY,
                ref,
                "status",
                found=f"{ref} is ruled out, with no test done and no finding against it",
                needed="a finding against it, or a test able to see it, is needed",
            )


def _tests(one: Explanation) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*one.reached_by, *(test for need in one.needs for test in need.tested_by))))


def _done(facts: Facts, test: str) -> bool:
    return any(answered(facts.case.standing(sheet)) for sheet, _ in facts.case.sheets_of(test))
