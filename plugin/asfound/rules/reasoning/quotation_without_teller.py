"""Quoted words in a finding lead to whoever said or wrote them.

Fails: 'The user said: “it was defective from the start”.' in a finding that cites no statement and no evidence.
Passes: the same with [W-2] in the sentence, or W-2 among what the finding rests on; `“READY”`, a word or two.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.prose import read_prose
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import QUOTED, findings, whole_sentences
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
_WORDS = re.compile(r"\w+")


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text, at its first quotation of three words or more that nobody is named for."""
    for text in findings(facts):
        told = any(ref[0] in _TELLERS for ref in text.rests_on)
        if told:
            continue
        if any(node.kind == "quote" for node in read_prose(text.text).walk()) and not read_prose(text.text).refs:
            yield _problem(facts, text.where, text.path, text.name, "a passage")
            continue
        for sentence in whole_sentences(text.text, quotes=True):
            words = next((said for said in QUOTED.findall(sentence.text) if len(_WORDS.findall(said)) > 2), None)
            if words is not None and not any(ref[0] in _TELLERS for ref in sentence.refs):
                yield _problem(facts, text.where, text.path, text.name, short(words.strip('“”‘’"'), 40))
                break


def _problem(facts: Facts, where: str, path: tuple[str | int, ...], name: str, words: str) -> Problem:
    return facts.problem(
        ENTRY,
        where,
        *path,
        found=f"{name} quotes {words!r} of nobody",
        needed="the statement or the evidence in which the words stand is needed",
    )
