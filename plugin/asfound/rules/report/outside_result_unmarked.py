"""A result from outside is marked as one.

Fails: readings taken by somebody of another organisation than the examiner's, and nothing says so.
Passes: `provider:` on the sheet; the sheet named under `outside_results` in case.yml.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import outside_marked, outside_sheets
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="outside-result-unmarked",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A result that an external provider took is marked as such.",
    reason="Whoever signs a report answers for its results, except for those it says are another's.",
    source="ISO/IEC 17025:2017, 7.8.2.1 p",
    status="confirmed",
    mend="Write provider: on the sheet, in words without a name, or name the sheet under outside_results in case.yml.",
    rows=("R105",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet."""
    for ref in outside_sheets(facts.case):
        sheet = facts.case.sheets[ref]
        if not outside_marked(facts.case, ref, sheet):
            person = facts.case.head.people[sheet.by]
            found = f"{ref} was read by the {person.title}, of {person.organisation}, and nothing marks it so"
            yield facts.problem(
                ENTRY,
                ref,
                "by",
                found=found,
                needed="a mark on results of an external provider is needed",
            )
