"""Earlier events of the same kind, and recalls, were searched for.

Fails: no `earlier_events` in case.yml.
Passes: where and when was searched and what was found, be it nothing; or why it could not be.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="earlier-events-unsearched",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Earlier events of the same kind and recalls were searched for.",
    reason="What happened before, elsewhere, is the cheapest explanation to find and the most awkward to have missed.",
    source="a handbook of clinical engineering, on accidents (search of public reports and literature)",
    status="confirmed",
    mend="Say under earlier_events in case.yml where and when was searched and what was found.",
    rows=("R88",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem. Silent in the first hours, before anything is weighed."""
    if facts.case.open and not facts.case.explanations:
        return
    if facts.case.head.earlier_events is None:
        yield facts.problem(
            ENTRY,
            "case.yml",
            found="nothing says whether earlier events or recalls were searched for",
            needed="where and when was searched, and what was found, is needed",
        )
