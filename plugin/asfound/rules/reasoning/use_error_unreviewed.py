"""*User error* is no answer before display, label, training, alarm and layout were looked at.

Fails: "It was a user error" without `use_reviewed` in conclusion.yml; with display and label only.
Passes: the same with all five looked at, each with what was seen or why it could not be; "no use error was found". The
words looked for are the list *use-error*.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._lexicon import word_problems
from asfound.rules._words import listed

ENTRY = Entry(
    name="use-error-unreviewed",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Use is named as the answer only after display, label, training, alarm and layout were looked at.",
    reason="Behind most errors of use stands something of the device or the room that invited them.",
    source="21 CFR 803.3 (a use error counts as device-related); J Med Eng 2014, 314138",
    status="confirmed",
    mend="Look at them and write under use_reviewed in conclusion.yml what was seen, or why it could not be looked at.",
    rows=("R83",),
)

ASKED = ("display", "label", "training", "alarm", "layout")


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text that names use, as long as one of the five is missing."""
    conclusion = facts.case.conclusion
    missing = [name for name in ASKED if conclusion is None or name not in conclusion.use_reviewed]
    if missing:
        needed = f"what was looked at in {listed(missing)} is needed first"
        yield from word_problems(facts, ENTRY, "use-error", needed)
