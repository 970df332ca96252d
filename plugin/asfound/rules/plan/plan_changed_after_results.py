"""What a plan fixes was not changed once its results were in.

Asked of the commits, which tell every wording a plan ever had: the decision rule, the limits, what a test was expected
to show and what it covers. That a test was not done, or cells could not be had, is what a plan learns later, and counts
for nothing here.

A limit set or a protocol that a test added later needs may come with it, where nothing of it speaks to a test that was
planned before.

Fails: `decision_rule` changed in a commit that rests on readings of the plan; a limit set added for a test of old.
Passes: the same change before any reading; a `not_done` written afterwards; a test that is marked `added`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import entered, planned_sheets
from asfound.model.facts import Facts
from asfound.model.past import FieldChange
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="plan-changed-after-results",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="What a plan fixes was not changed once its results were in.",
    reason="A limit, a rule or an expectation moved after the reading may have been moved by the reading.",
    source="ILAC-G8:09/2019 (the rule is agreed before measuring); ISO/IEC 17025:2017, 7.8.6",
    status="confirmed",
    mend="Put the plan back as it was, and record what is new as a test that was added, with the reason.",
    rows=("R42",),
)

_FIXED = {
    "plan.yml": ("decision_rule", "guard_factor", "limit_sets", "protocols"),
    "P-": ("coverage", "expected", "limits", "reaches"),
}


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a field that was changed after the first result of the tests it speaks of."""
    past, plan = facts.past, facts.case.plan
    if not past.known or past.cut or plan is None or facts.case.head.entered_later is not None:
        return
    results: dict[str, list[str]] = {}
    for sheet in planned_sheets(facts.case):
        test = f"P-{facts.case.sheets[sheet].test}"
        brought = (entered(past, row.id) for row in facts.case.standing(sheet))
        results.setdefault(test, []).extend(dict.fromkeys(one for one in brought if one))
    everything = [commit for commits in results.values() for commit in commits]
    for ref in ("plan.yml", *(f"P-{name}" for name, test in plan.tests.items() if test.added is None)):
        first = everything if ref == "plan.yml" else results.get(ref, [])
        for change in past.of(ref):
            after = next((one for one in dict.fromkeys(first) if past.before(one, change.commit)), None)
            if change.kind != "changed" or after is None:
                continue
            for field in change.fields:
                name = field.name.split(" / ")[0]
                if name in _FIXED["plan.yml" if ref == "plan.yml" else "P-"] and not _came_with(facts, name, field):
                    yield _problem(facts, ref, field, change.commit, after)


def _came_with(facts: Facts, name: str, field: FieldChange) -> bool:
    """Whether a list only grew, and by what speaks to tests alone that were added."""
    plan = facts.case.plan
    old, new = ({one.strip() for one in (text or "").split(",")} for text in (field.old, field.new))
    if plan is None or name not in ("limit_sets", "protocols") or not old < new:
        return False
    before = {test.partition("--")[0] for test, one in plan.tests.items() if one.added is None}
    spoken: set[str] = set()
    for one in new - old:
        if name == "protocols" and one in facts.book.protocols:
            spoken |= set(facts.book.protocols[one].tests)
        elif name == "limit_sets" and one in facts.book.sets:
            spoken |= {test for limit in facts.book.sets[one].limits.values() for test in limit.tests}
        else:
            return False
    return not spoken & before


def _problem(facts: Facts, ref: str, field: FieldChange, commit: str, after: str) -> Problem:
    name = field.name.split(" / ")[0]
    return facts.problem(
        ENTRY,
        ref,
        name,
        about=f"{field.name} {commit}",
        found=f"{field.name} was {_words(field.old)} until commit {commit[:10]}, which rests on readings of the plan "
        f"(commit {after[:10]})",
        needed="a plan that stays as it was from its first result on is needed",
    )


def _words(value: str | None) -> str:
    if value is None:
        return "not there"
    line = " ".join(value.split())
    return f"“{line if len(line) <= 60 else line[:59].rstrip() + '…'}”"
