"""The report can say what qualifies those who examine and review for this kind of device.

Fails: `people: {examiner: {title: examiner}}`.
Passes: `qualification: biomedical equipment technician, eleven years with infusion pumps`; or a reason why not.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="qualification-blank",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="What qualifies the examiner and the reviewer for this kind of device is written down.",
    reason="Whether somebody may give an opinion at all is the first thing a court decides.",
    source="Federal Rules of Evidence, rule 702 (as amended 2023); ASTM E860-22, 1.3",
    status="confirmed",
    mend="Add qualification to the person's entry under people in case.yml.",
    rows=("R5",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a role. A role that is not among people is another rule's matter."""
    head = facts.case.head
    for what, role in (("examiner", head.examiner), ("reviewer", head.reviewer)):
        person = head.people.get(role) if role is not None else None
        if role is None or person is None or person.qualification is not None:
            continue
        if what == "reviewer" and role == head.examiner:
            continue
        yield facts.problem(
            ENTRY,
            "case.yml",
            "people",
            role,
            about="",
            found=f"nothing says what qualifies the {what}",
            needed="training and experience with this kind of device are needed, or why they are not stated",
        )
