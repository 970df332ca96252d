"""Authority to examine was on record before the examiner first touched an item.

A spoken authority counts when it was confirmed afterwards; until then it warns.

Fails: no `authority`; an authority dated after `first_touch`.
Passes: a letter dated the day before; a telephone call with `confirmed_at`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="authority-missing",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Somebody entitled to do so allowed the examination before the examiner first touched an item.",
    reason="Work on another's evidence without leave can be challenged as a whole, however well it was done.",
    source="common practice, no source; the general idea is in ASTM E1188-11(2017)",
    status="common practice",
    mend="Record who allowed it, when and how, under authority in case.yml; have a spoken word confirmed.",
    rows=("R4",),
)

_SPOKEN = re.compile(
    r"\b(spoken|oral|orally|verbal|verbally|telephone|phone|call|in person|word of mouth)\b", re.IGNORECASE
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem."""
    head = facts.case.head
    authority = head.authority
    if authority is None:
        yield facts.problem(
            ENTRY,
            "case.yml",
            found="no authority to examine is on record",
            needed="who allowed the examination, when and how, is needed",
        )
    elif head.first_touch is None:
        yield facts.problem(
            ENTRY,
            "case.yml",
            found="nothing says when the examiner first touched an item",
            needed="that time is needed, to show that the authority came before it",
            mend="Add first_touch to case.yml.",
        )
    elif authority.at > head.first_touch:
        yield facts.problem(
            ENTRY,
            "case.yml",
            "authority",
            "at",
            found=f"the authority is of {authority.at.text}, the first touch of {head.first_touch.text}",
            needed="an authority before the first touch is needed",
            mend="If leave was given earlier by word of mouth, record that time and the time of its confirmation.",
        )
    elif authority.confirmed_at is None and _SPOKEN.search(authority.how):
        yield facts.problem(
            ENTRY,
            "case.yml",
            "authority",
            "how",
            found="the authority was spoken and has not been confirmed",
            needed="its confirmation in writing is needed",
            mend="Ask for it in writing and add confirmed_at.",
            level=Level.WARN,
        )
