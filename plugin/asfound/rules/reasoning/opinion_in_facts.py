"""A finding says what was found, and leaves causes and judgement to the conclusion.

Fails: "The output was 30 % above the setting because the relay was defective."
Passes: "The output was [=R-out-3]; the contacts of the relay were welded [E-9]." Words in quotation marks are
somebody's own and are let pass.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.case import Path
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import findings, whole_sentences
from asfound.rules.reasoning._opinion_words import WORDS

ENTRY = Entry(
    name="opinion-in-facts",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Findings, the account of the event and captions state facts, not causes or judgement.",
    reason="Opinion told among facts is what a cross-examination looks for first.",
    source="ASTM E1020-13e1, 4.2 (a report of an incident is factual, without opinion or blame)",
    status="confirmed",
    mend="Say what was seen or read; move the inference to the conclusion; put what others said in quotation marks.",
    rows=("R73",),
)

_PATTERNS = tuple((re.compile(rf"\b(?:{word.pattern})\b", re.IGNORECASE), word.reason) for word in WORDS)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text, naming each word with its reason once."""
    for where, path, name, text in _facts(facts):
        found = opinion_words(text)
        if found:
            words, reason = [word for word, _ in found], found[0][1]
            shown = ", ".join(f'"{word}"' for word in words[:4])
            yield facts.problem(
                ENTRY,
                where,
                *path,
                found=f"{name} says {shown}, which {reason}",
                needed="what was seen, read or told is needed, without opinion",
            )


def opinion_words(text: str) -> tuple[tuple[str, str], ...]:
    """The words of opinion in a text, outside quotation marks, each once with its reason."""
    found: dict[str, str] = {}
    for sentence in whole_sentences(text):
        at = sorted(
            (match.start(), match.group(0).lower(), reason)
            for pattern, reason in _PATTERNS
            for match in pattern.finditer(sentence.text)
        )
        for _, word, reason in at:
            found.setdefault(word, reason)
    return tuple(found.items())


def _facts(facts: Facts) -> Iterator[tuple[str, Path, str, str]]:
    yield "case.yml", ("event", "account"), "the account of the event", facts.case.head.event.account
    for text in findings(facts):
        yield text.where, text.path, text.name, text.text
    for ref, evidence in facts.case.evidence.items():
        yield ref, ("shows",), ref, evidence.shows
    for row in facts.case.inspection:
        if row.what:
            yield row.id, ("what",), row.id, row.what
