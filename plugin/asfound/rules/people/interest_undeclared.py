"""The examiner has declared every tie to the things examined, and said what balances each.

Fails: no `declaration`; a declaration by somebody else; `bought: yes` without `mitigation`.
Passes: every question answered by the examiner, each yes with a mitigation.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed

ENTRY = Entry(
    name="interest-undeclared",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The examiner has declared every tie to the things examined, and what balances it.",
    reason="A tie that comes out later takes the whole report down; one that was declared can be weighed.",
    source="ISO/IEC 17025:2017, 4.1.4 and 4.1.5",
    status="from memory",
    mend="Fill in declaration in case.yml: maintained, set_up, used, bought, sold, supervised_user, paid_by.",
    rows=("R2",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem: what is missing first."""
    head = facts.case.head
    declaration = head.declaration
    if declaration is None:
        nobody = "no examiner is named and no" if head.examiner is None else "no"
        yield facts.problem(
            ENTRY,
            "case.yml",
            found=f"{nobody} declaration of interest is on record",
            needed="the name of the examiner's role and a signed declaration are needed"
            if head.examiner is None
            else "the examiner's signed declaration is needed",
        )
    elif head.examiner is None:
        yield facts.problem(
            ENTRY,
            "case.yml",
            "declaration",
            "by",
            found="a declaration stands here, but no examiner is named",
            needed="the examiner's role is needed under examiner",
            mend="Add examiner: and the role to case.yml.",
        )
    elif declaration.by != head.examiner:
        yield facts.problem(
            ENTRY,
            "case.yml",
            "declaration",
            "by",
            found=f'the declaration is by "{declaration.by}", the examiner is "{head.examiner}"',
            needed="the examiner's own declaration is needed",
        )
    elif declaration.ties and declaration.mitigation is None:
        yield facts.problem(
            ENTRY,
            "case.yml",
            "declaration",
            declaration.ties[0],
            found=f"yes to {listed(name.replace('_', ' ') for name in declaration.ties)}, without a mitigation",
            needed="a word on what balances it is needed",
            mend="Add mitigation: who outside reviews the work, or who examines beside the examiner.",
        )
