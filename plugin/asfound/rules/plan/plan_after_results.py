"""The plan came before its results, and this can be shown.

It is shown by the digest of a dated paper plan (`sealed`, with `sha256` or the `evidence` it is taken of), or by the
order of the commits. Where a squashed or shallow history cannot tell and nothing was sealed, that is said in a note.
A test marked `added` is not asked.

Fails: `written_at` after the first reading; a seal dated after it; readings committed before the plan, nothing sealed.
Passes: a paper plan whose digest was sent before the first sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

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


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem."""
    plan = facts.case.plan
    first = _first(facts)
    if plan is None or first is None:
        return
    ref, at = first
    if plan.written_at > at:
        yield facts.problem(
            ENTRY,
            "plan.yml",
            "written_at",
            found=f"the plan was written at {plan.written_at.text}, the first results are of {at.text} ({ref})",
            needed="a plan before the first results is needed",
            mend="Mark the tests that were there first as added, with the reason; move no time to make it fit.",
        )
        return
    seal = plan.sealed
    if seal is not None and seal.at > at:
        yield facts.problem(
            ENTRY,
            "plan.yml",
            "sealed",
            "at",
            found=f"the plan was sealed at {seal.at.text}, the first results are of {at.text} ({ref})",
            needed="a seal before the first results is needed",
        )
        return
    if seal is not None and (seal.sha256 or seal.evidence):
        yield from _digest(facts)
        return
    yield from _history(facts)


def _first(facts: Facts) -> tuple[str, Moment] | None:
    tests = facts.case.plan.tests if facts.case.plan else {}
    found = [
        (sheet.from_.at, ref, sheet.from_)
        for ref, sheet in facts.case.sheets.items()
        if sheet.test in tests and tests[sheet.test].added is None and facts.case.standing(ref)
    ]
    first = min(found, key=lambda one: one[:2], default=None)
    return None if first is None else (first[1], first[2])


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


def _history(facts: Facts) -> Iterator[Problem]:
    """Without a seal, what the order of the commits can tell."""
    past = facts.past
    plan = _position(facts, "P-")
    results = _position(facts, "R-")
    if not past.known or past.gaps or plan is None or results is None or plan == results:
        why = past.why if not past.known else past.gaps[0] if past.gaps else "they came in one commit"
        yield facts.problem(
            ENTRY,
            "plan.yml",
            "sealed",
            found=f"that the plan came before its results is not provable: nothing was sealed, and {_clause(why)}",
            needed="the digest of a dated paper plan would show it",
            level=Level.NOTE,
        )
    elif results < plan:
        yield facts.problem(
            ENTRY,
            "plan.yml",
            "sealed",
            found="readings were committed before the plan, and no dated paper plan was sealed",
            needed="a plan before its results is needed",
            level=Level.WARN,
        )


def _clause(sentence: str) -> str:
    return (sentence[:1].lower() + sentence[1:]).rstrip(".")


def _position(facts: Facts, letter: str) -> int | None:
    """Place, among the commits, of the first that added a record of a kind."""
    order = {commit.id: place for place, commit in enumerate(facts.past.commits)}
    found = [
        order[change.commit]
        for change in facts.past.changes
        if change.kind == "added" and change.ref.startswith(letter) and change.commit in order
    ]
    return min(found, default=None)
