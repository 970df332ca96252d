"""An exception names a rule that exists and that may be lifted.

Fails: `rule: custody-gaps`, a rule nobody knows; `rule: evidence-altered`, which no exception lifts.
Passes: `rule: custody-gap`, with who, when, why and the effect on the conclusion.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="exception-without-effect",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="An exception names a rule that exists and that may be lifted.",
    reason="An exception that lifts nothing looks like a gap that somebody closed.",
    source="ASTM E860-22, 4.2 (deviations are justified and written down)",
    status="confirmed",
    mend="Copy the name of the rule from the problem it is about, or take the exception out.",
    liftable=False,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an exception."""
    # Imported here: the machinery imports this module to find it.
    from asfound.rules.machinery import discover

    known = {rule.entry.name: rule.entry for rule in discover()}
    for ref, exception in facts.case.exceptions.items():
        entry = known.get(exception.rule)
        if entry is None:
            near = get_close_matches(exception.rule, known, 1)
            found = f'no rule that an exception can lift is called "{exception.rule}"'
            found += f"; there is {near[0]}" if near else ""
        elif not entry.liftable:
            found = f"no exception lifts {exception.rule}"
        else:
            continue
        yield facts.problem(
            ENTRY, ref, "rule", found=found, needed="the name of a rule that may be lifted is needed", subject=ref
        )
