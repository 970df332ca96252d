"""A finding says what was found, and leaves causes and judgement to the conclusion.

Fails: "The output was 30 % above the setting because the relay was defective."
Passes: "The output was [=R-out-3]; the contacts of the relay were welded [E-9]." Words in quotation marks are
somebody's own and are let pass. The words looked for are the list *opinion*.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._lexicon import word_problems

ENTRY = Entry(
    name="opinion-in-facts",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Findings, summary, account of the event and captions state facts, not causes or judgement.",
    reason="Opinion told among facts is what a cross-examination looks for first.",
    source="ASTM E1020-13e1, 4.2 (a report of an incident is factual, without opinion or blame)",
    status="confirmed",
    mend="Say what was seen or read; move the inference to the conclusion; put what others said in quotation marks.",
    rows=("R73",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text, naming each word once, with the reason of the first."""
    yield from word_problems(facts, ENTRY, "opinion", "what was seen, read or told is needed, without opinion")
