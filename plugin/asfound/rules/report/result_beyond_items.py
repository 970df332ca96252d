"""Results speak of the items that were examined, and of no others.

Fails: "All units of this model deliver too much."
Passes: "I-1 delivered [=R-flow-4]." and "Nothing is said of other units of this model."
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import said, whole_sentences

ENTRY = Entry(
    name="result-beyond-items",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Findings and conclusion speak of the items examined, not of a model, a make or a fleet.",
    reason="One item is no sample; what it shows of others nobody has measured.",
    source="ISO/IEC 17025:2017, 7.8.2.1 l",
    status="confirmed",
    mend="Name the item that was examined; put a concern for others into a notice, as a question.",
    rows=("R106",),
)

_THINGS = (
    r"(?:units?|devices?|generators?|pumps?|ventilators?|defibrillators?|incubators?|monitors?|warmers?|beds?|machines?|"
    r"instruments?|pads?|cables?|cords?|sets?|models?|products?|equipment)"
)
_KIND = r"(?:this|that|the same|its|these)\s+(?:model|type|kind|make|series|design|maker|lot|batch|age)"
_BEYOND = re.compile(
    rf"\b(?:(?:all|every|each|any|most|many|other|no)\s+(?:other\s+|such\s+|similar\s+)?{_THINGS}\s+(?:of|from|in)\s+{_KIND}"
    rf"|(?:all|every)\s+(?:other|such|similar)\s+{_THINGS}"
    rf"|(?:this|that)\s+(?:model|type|make|design)\s+(?:\w+\s+)?(?:is|are|has|have|does|fails?|passes|delivers?|gives?|tends?)"
    r"|the (?:whole |entire |hospital's |rest of the )*fleet"
    rf"|(?:{_THINGS})\s+(?:of|from)\s+{_KIND}\s+(?:are|have|do|fail|pass|deliver|give|tend|will))\b",
    re.IGNORECASE,
)
_NOT_SAID = re.compile(
    r"\b(?:nothing|not|no opinion|neither|cannot|whether|without|does not|do not)\b|\?", re.IGNORECASE
)
_ADVICE = re.compile(
    r"\b(?:should|recommend\w*|ask\w*|advis\w*|propos\w*|suggest\w*|to be|be) (?:\w+ )*?"
    r"(?:check|inspect|test|examin|look|withdraw|quarantin)\w*",
    re.IGNORECASE,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text, at its first such sentence. Denials, questions and advice are let pass."""
    for text in said(facts):
        for sentence in whole_sentences(text.text):
            words = beyond(sentence.text)
            if words:
                yield facts.problem(
                    ENTRY,
                    text.where,
                    *text.path,
                    about="",
                    found=f'{text.name} speaks of more than was examined ("{words}")',
                    needed="a statement about the items examined is needed",
                )
                break


def beyond(sentence: str) -> str:
    """The words of a sentence that reach beyond the items; empty where none do."""
    match = _BEYOND.search(sentence)
    if match is None or _ADVICE.search(sentence) or _NOT_SAID.search(sentence[: match.start()]):
        return ""
    return match.group(0)
