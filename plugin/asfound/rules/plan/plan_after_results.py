"""The plan came before its results, and this can be shown.

It is shown by the digest of a dated paper plan (`sealed`, with `sha256` or the `evidence` it is taken of), or by the
order of the commits. Where a squashed or shallow history cannot tell and nothing was sealed, that is said in a note.
Results that lie in the folder alone come after a plan that is committed.
A test marked `added` is not asked.

Fails: `written_at` after the first reading; a seal dated after it; readings committed before the plan, nothing sealed.
Passes: a paper plan whose digest was sent before the first sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import How, first_result, plan_first
from asfound.model.base import Moment
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="plan-after-results",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The plan, its limits and its decision rule came before the results, and this can be shown.",
    reason="A limit chosen after the reading is a limit chosen by the reading.",
    source="ILAC-G8:09/2019 (the rule is agreed before measuring); ISO/IEC 17025:2017, 7.8.6",
    status="confirmed",
    mend="Seal the dated paper plan by its digest, under sealed in plan.yml; next time, before the first sheet.",
    rows=("R42",),
)

_UNSAVED = (
    "Commit the plan first, with its empty sheets, then the values: that order shows it. Or seal the dated paper plan "
    "by its digest, under sealed in plan.yml."
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem."""
    order = plan_first(facts.case, facts.past)
    if order is None:
        return
    if order.how is How.PAPER:
        yield from _digest(facts)
    elif order.times:
        plan = facts.case.plan
        assert plan is not None
        late = plan.written_at > _first_at(facts)
        yield facts.problem(
            ENTRY,
            "plan.yml",
            *(("written_at",) if late else ("sealed", "at")),
            found=order.why,
            needed=f"a {'plan' if late else 'seal'} before the first results is needed",
            mend="Mark the tests that were there first as added, with the reason; move no time to make it fit."
            if late
            else "",
        )
    elif order.how is How.AGAINST:
        yield facts.problem(
            ENTRY,
            "plan.yml",
            "sealed",
            found=f"readings were committed before the plan, and no dated paper plan was sealed: {order.why}",
            needed="a plan before its results is needed",
            level=Level.WARN,
        )
    elif order.how is How.NOT_PROVABLE:
        yield facts.problem(
            ENTRY,
            "plan.yml",
            "sealed",
            found=f"that the plan came before its results is not provable: nothing was sealed, and {order.why}",
            needed="the digest of a dated paper plan would show it",
            mend=_UNSAVED if order.unsaved else " ".join(filter(None, (facts.past.why.partition(". ")[2], ENTRY.mend))),
            level=Level.NOTE,
        )


def _first_at(facts: Facts) -> Moment:
    first = first_result(facts.case)
    assert first is not None
    return first[1]


def _digest(facts: Facts) -> Iterator[Problem]:
    """A seal that names its paper must be of that paper."""
    seal = facts.case.plan.sealed if facts.case.plan else None
    assert seal is not None
    papers = [facts.case.evidence[ref] for ref in seal.evidence if ref in facts.case.evidence]
    if seal.sha256 and papers and all(paper.sha256.casefold() != seal.sha256.casefold() for paper in papers):
        yield facts.problem(
            ENTRY,
            "plan.yml",
            "sealed",
            "sha256",
            found=f"the digest of the seal is of none of its papers ({', '.join(seal.evidence)})",
            needed="the digest of the sealed paper is needed",
            mend="Compare with the message or letter that carried the digest, and cite the paper it was taken of.",
        )
