"""A case says who may read it.

Fails: no `confidentiality` in case.yml.
Passes: `confidentiality: internal`; `confidentiality: privileged, at the direction of counsel`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.event import Confidentiality
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="confidentiality-unstated",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A case bears a label that says who may read it.",
    reason="A privilege nobody claimed at the time is hard to claim later; whether there is one, counsel decides.",
    source="42 USC 299b-21 (what is and what is not privileged work product)",
    status="confirmed",
    mend=(
        "Ask counsel, and write confidentiality: in case.yml with one of the labels; every page then bears it. As long "
        "as nobody has answered, “internal” is what most houses write (common practice, no source)."
    ),
    rows=("R101",),
)

WORDS = "; or ".join(f"“{one}”" for one in Confidentiality)
"""One of the labels holds a comma, so that a semicolon parts them."""


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem."""
    if facts.case.head.confidentiality is None:
        yield facts.problem(
            ENTRY,
            "case.yml",
            found="the case bears no label of confidentiality",
            needed=f"who may read it is needed, as counsel decides: {WORDS}",
        )
