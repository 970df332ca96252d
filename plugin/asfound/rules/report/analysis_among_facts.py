"""Files of facts hold no analysis: what they say cites no explanation.

Fails: a finding, an account or a caption that cites `[X-1]`.
Passes: the same in `why` of an explanation, or in the conclusion.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.prose import read_prose
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import fact_sections
from asfound.rules._words import ids

ENTRY = Entry(
    name="analysis-among-facts",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Files of facts hold no analysis.",
    reason="Original facts can be asked for where analysis cannot; in one file with it they take it along.",
    source="42 USC 299b-21 (original records are not privileged, analysis may be)",
    status="confirmed",
    mend="Move the sentence to explanations.yml or conclusion.yml; opinions rest on facts, not facts on opinions.",
    rows=("R101",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text."""
    for text in fact_sections(facts):
        cited = [ref for ref in read_prose(text.text).refs if ref[0] == "X"]
        if cited:
            yield facts.problem(
                ENTRY,
                text.where,
                *text.path,
                found=f"{text.name} cites {ids(cited)}, which is analysis",
                needed="facts and analysis in files of their own are needed",
            )
