"""Quoted words in a finding lead to whoever said or wrote them.

Fails: 'The user said: “it was defective from the start”.' in a finding that cites no statement and no evidence.
Passes: the same with [W-2] in the sentence, or W-2 among what the finding rests on; `“READY”`, a word or two.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.prose import quotations, read_prose
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import findings
from asfound.rules._words import short

ENTRY = Entry(
    name="quotation-without-teller",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Quoted words in a finding lead to whoever said or wrote them.",
    reason="Opinion and times may stand in quoted words, since they are told and not found; then somebody told them.",
    source="ASTM E1020-13e1, 5.1.1 (a narrative names its sources)",
    status="confirmed",
    mend="Cite the statement, as in [W-2], or the evidence in which the words stand.",
    rows=("R73", "R94"),
)

_TELLERS = frozenset("ACEHNVW")


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text, where quoted words stand in it and neither it nor what it rests on names who told them."""
    for text in findings(facts):
        words = quotations(text.text)
        cited = (*text.rests_on, *read_prose(text.text).refs)
        if words and not any(ref[0] in _TELLERS for ref in cited):
            yield facts.problem(
                ENTRY,
                text.where,
                *text.path,
                found=f"{text.name} quotes “{short(words[0], 40)}” of nobody",
                needed="the statement or the evidence in which the words stand is needed",
            )
