"""The first result outside its limit is not the end of the work.

Asked where a test that the plan puts later was not done, and no sheet was begun after the one that failed first,
whatever reason stands beside the test. A warning: the reason may be good, and a reader must see that the work stopped
there.

Fails: the leakage fails at 13:20, and the two tests planned after it were not done.
Passes: the rest of the plan was done after it; or no planned test is left.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.verdict import Outcome
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named
from asfound.rules._work import works

ENTRY = Entry(
    name="plan-unfinished-after-failure",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="The plan is finished although a test has failed: the first fault may not be the cause.",
    reason="Whoever stops at the first fault has looked for a culprit, not for the cause.",
    source="NFPA 921-2014, 4.3.6 (all known facts)",
    status="secondary",
    mend="Do the rest of the plan, or own up to it under limits_of_work in conclusion.yml.",
    rows=("ST11",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem, at the sheet that failed first."""
    plan = facts.case.plan
    if plan is None:
        return
    failed = [
        (work.sheet.from_.at, work.name, work.sheet)
        for work in works(facts)
        if any(
            verdict.outcome is Outcome.FAIL and verdict.subject == row.id
            for row in work.rows
            for verdict in facts.verdicts_of.get(row.id, ())
        )
    ]
    if not failed:
        return
    _, ref, sheet = min(failed, key=lambda one: one[:2])
    names = list(plan.tests)
    after = names[names.index(sheet.test) + 1 :] if sheet.test in names else []
    left = [
        name
        for name in after
        if not any(facts.case.standing(one) for one, _ in facts.case.sheets_of(name)) and not facts.unread.test(name)
    ]
    later = any(other.from_ > sheet.from_ for name, other in facts.case.sheets.items() if name != ref)
    if left and not later:
        yield facts.problem(
            ENTRY,
            ref,
            found=f"the work stopped at {ref}, the first to fail, with {named(left)} not done",
            needed="the rest of the plan is needed, since the first fault may not be the cause",
        )
