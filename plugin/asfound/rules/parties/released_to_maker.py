"""A thing goes to its maker only through counsel, with a procedure, the right to attend and a copy of the results.

Fails: a custody line to the maker's representative, and no notice that states the terms.
Passes: a notice with `concerns: C-8` and `release: {by_counsel: yes, procedure: [E-9], right_to_attend: yes,
copy_of_results: yes}`, sent before the line.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.reasoning import Notice
from asfound.model.things import CustodyLine
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, listed
from asfound.rules.parties._parties import MAKER, sort_of

ENTRY = Entry(
    name="released-to-maker",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A thing goes to its maker only through counsel, with a procedure, the right to attend and the results.",
    reason="What one side takes away to examine alone, the other can only take its word for.",
    source="clinical-engineering handbook, chapter on accident investigation; the list of terms is common practice",
    status="common practice",
    mend="Record the terms in notices.yml, with concerns and release; if there were none, ask for them now.",
    rows=("ST10",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a line of custody."""
    people = facts.case.head.people
    makers = {
        role
        for role, person in people.items()
        if sort_of(person.party or "") == MAKER or sort_of(person.organisation or "") == MAKER
    }
    for line in facts.case.custody:
        if line.received_by not in makers or line.released_by in makers:
            continue
        # The latest terms count, wherever they stand in the file.
        terms = sorted(
            (notice for notice in facts.case.notices.values() if _covers(notice, line)), key=lambda one: one.sent_at.at
        )
        lacks = list(_lacks(terms[-1])) if terms else ["its terms"]
        if lacks:
            yield facts.problem(
                ENTRY,
                line.id,
                found=f"{ids(line.items)} went to the {people[line.received_by].title}, "
                f"and the release lacks {listed(lacks)}",
                needed="counsel, a procedure, the right to attend and a copy of the results are needed before it goes",
            )


def _covers(notice: Notice, line: CustodyLine) -> bool:
    at = line.released_at or line.received_at
    named = {line.id, *line.items}.intersection({notice.concerns, *notice.consents_to})
    return notice.release is not None and bool(named) and (at is None or notice.sent_at <= at)


def _lacks(notice: Notice) -> Iterator[str]:
    terms = notice.release
    assert terms is not None
    if not terms.by_counsel:
        yield "counsel"
    if not terms.procedure:
        yield "the procedure of the examination"
    if not terms.right_to_attend:
        yield "the right to attend"
    if not terms.copy_of_results:
        yield "a copy of the results"
